/* Read before the page is: one screen at a time from the first paint on, so that a slow tablet lays out the start
   screen and nothing else; and the night view and large text of last time, so that no white page flashes up in a
   dark cab. The rest of the script comes at the end of the file. Until it is there, taps on the
   start screen count all the same; if it does not come whole, everything is shown again. */

(function () {
  "use strict";
  var root = document.documentElement;
  var READ_ON_MS = 50;
  var tapped = null;

  function starting() {
    return root.classList.contains("is-starting");
  }

  /* The screen that was tapped, as soon as the file is read that far. */
  function open() {
    if (!starting()) return;
    var section = document.getElementById(window.location.hash.slice(1));
    if (!section) return void window.setTimeout(open, READ_ON_MS);
    if (!section.classList.contains("screen")) return;
    document.querySelector(".screen.is-open").classList.remove("is-open");
    section.classList.add("is-open");
    document.body.classList.toggle("is-start", section.id === "start");
    window.scrollTo(0, 0);
  }

  /* As the look's own script does when it comes, store.js naming the keys. */
  function dress(key, value) {
    try {
      if (window.localStorage.getItem("forty-paces/" + key) === JSON.stringify(value)) {
        root.setAttribute("data-" + key, value);
      }
    } catch (fault) {
      /* Nothing is remembered. */
    }
  }

  dress("look", "night");
  dress("text", "large");
  root.classList.add("one-screen", "is-starting");
  window.addEventListener("hashchange", open);
  document.addEventListener("click", function (event) {
    if (starting() && event.target.closest) tapped = event.target.closest("button");
  });
  document.addEventListener("cab-started", function () {
    root.classList.remove("is-starting");
    if (tapped) tapped.click();
  });
  document.addEventListener("DOMContentLoaded", function () {
    if (!starting()) return;
    // Nothing could switch the look back.
    root.setAttribute("data-look", "day");
    root.removeAttribute("data-text");
    root.classList.remove("one-screen", "is-starting");
  });
})();
