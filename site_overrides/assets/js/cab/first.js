/* Read before the page is: one screen at a time from the first paint on, so that a slow tablet lays out the start
   screen and nothing else; and the night view and large text of last time, so that no white page flashes up in a
   dark cab. The rest of the script comes at the end of the file. Until it is there and has read what the tablet
   remembers, taps on the start screen count all the same; if it does not come whole, everything is shown again. */

(() => {
  "use strict";
  const root = document.documentElement;
  const READ_ON_MS = 50;
  let tapped = null;
  let whole = false;

  const starting = () => root.classList.contains("is-starting");

  /* The screen that was tapped, as soon as the file is read that far. */
  const open = () => {
    if (!starting()) return;
    const section = document.getElementById(window.location.hash.slice(1));
    if (!section) return void window.setTimeout(open, READ_ON_MS);
    if (!section.classList.contains("screen")) return;
    document.querySelector(".screen.is-open").classList.remove("is-open");
    section.classList.add("is-open");
    document.body.classList.toggle("is-start", section.id === "start");
    window.scrollTo(0, 0);
  };

  /* The database answers too late for the first paint: memory.js leaves a copy of these two where they can be read
     at once. */
  const dress = (key, value) => {
    try {
      if (window.localStorage.getItem("forty-paces/" + key) === JSON.stringify(value)) root.setAttribute("data-" + key, value);
    } catch (fault) {
      /* Nothing is remembered. */
    }
  };

  const undress = () => {
    if (!starting()) return;
    // Nothing could switch the look back.
    root.setAttribute("data-look", "day");
    root.removeAttribute("data-text");
    root.classList.remove("one-screen", "is-starting");
  };

  /* The language of last time, where this file is in another. A file that did not open is not tried again. */
  const changeLanguage = () => {
    try {
      const wanted = JSON.parse(window.localStorage.getItem("forty-paces/language") || "null");
      const file = wanted && root.getAttribute("data-in-" + String(wanted).toLowerCase());
      if (!file) return window.localStorage.removeItem("forty-paces/going");
      if (window.localStorage.getItem("forty-paces/going")) {
        window.localStorage.removeItem("forty-paces/going");
        window.localStorage.removeItem("forty-paces/language");
        return;
      }
      window.localStorage.setItem("forty-paces/going", "1");
      window.location.replace(file + window.location.search + window.location.hash);
    } catch (fault) {
      /* Nothing is remembered. */
    }
  };

  changeLanguage();
  dress("look", "night");
  dress("text", "large");
  root.classList.add("one-screen", "is-starting");
  window.addEventListener("hashchange", open);
  document.addEventListener("click", (event) => {
    if (starting() && event.target.closest) tapped = event.target.closest("button");
  });
  document.addEventListener("cab-read", () => {
    whole = true;
  });
  document.addEventListener("cab-started", () => {
    root.classList.remove("is-starting");
    if (tapped) tapped.click();
  });
  document.addEventListener("cab-failed", undress);
  document.addEventListener("DOMContentLoaded", () => {
    if (!whole) undress();
  });
})();
