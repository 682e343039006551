/* Shows a lesson one slide at a time, with keys, a presenter's clicker or taps.
   Without this script the page is a plain document and every answer opens by itself. */
import { sessionOrder } from "./lesson_state.js";

(function () {
  "use strict";

  const main = document.getElementById("slides");
  const place = document.getElementById("place");
  const clock = document.getElementById("clock");
  const bar = document.querySelector(".controls");
  const all = Array.prototype.slice.call(main.querySelectorAll(".slide"));
  const root = document.documentElement;

  const boxes = all.filter(function (slide) { return slide.classList.contains("slide--by-heart"); }).map(function (slide) { return slide.id; });
  let session = "first";
  let seed = 1;
  let order = [];
  let at = 0;

  /* A return session is shuffled anew each time it is begun; the hash keeps its seed for a reload. */
  function choose(name, wanted) {
    session = name;
    seed = wanted || 1 + Date.now() % 9999;
    order = sessionOrder({ session: name, slides: idsOf(name), boxes: boxes, missed: [] }, classroom.seededRandom(seed).shuffled).map(slideOf);
  }

  function idsOf(name) {
    const asked = all.filter(function (slide) { return slide.hasAttribute("data-" + name); });
    function turnOf(slide) { return Number(slide.getAttribute("data-" + name)); }
    return asked.sort(function (a, b) { return turnOf(a) - turnOf(b); }).map(function (slide) { return slide.id; });
  }

  function slideOf(id) { return all.filter(function (slide) { return slide.id === id; })[0]; }

  function answers(slide) {
    return Array.prototype.slice.call(slide.querySelectorAll("details.reveal"));
  }

  function opened(slide) {
    return answers(slide).filter(function (answer) { return answer.open; }).length;
  }

  function hidden(slide) {
    return answers(slide).filter(function (answer) { return !answer.open; })[0] || null;
  }

  function close(slide) {
    answers(slide).forEach(function (answer) { answer.open = false; });
    slide.classList.remove("is-open");
  }

  function show(index, focused) {
    at = Math.max(0, Math.min(order.length - 1, index));
    const now = order[at];
    stopTime();
    close(now);
    all.forEach(function (slide) { slide.classList.toggle("is-now", slide === now); });
    place.textContent = (session === "first" ? "" : titleOf(session) + ", ") + bar.dataset.place.replace("{at}", String(at + 1)).replace("{count}", String(order.length));
    all.forEach(function (slide) { slide.classList.toggle("is-out", !slide.hasAttribute("data-" + session)); });
    try { history.replaceState(null, "", "#" + (session === "first" ? "" : session + "-" + seed + "/") + now.id); } catch (refused) { /* the place is then lost on reload */ }
    if (focused !== false) { now.querySelector("h2").focus({ preventScroll: true }); }
    now.scrollTop = 0;
    tell();
  }

  function titleOf(name) {
    return document.querySelector("[data-session='" + name + "']").textContent;
  }

  function next(focused) {
    if (root.classList.contains("is-blank")) { return blank(false); }
    const answer = hidden(order[at]);
    if (answer) {
      answer.open = true;
      order[at].classList.add("is-open");
      if (focused !== false) { bodyOf(answer).focus({ preventScroll: true }); }
      answer.scrollIntoView({ block: "nearest" });
      return tell();
    }
    if (at + 1 < order.length) { show(at + 1, focused); }
  }

  function back(focused) {
    if (root.classList.contains("is-blank")) { return blank(false); }
    if (opened(order[at])) {
      close(order[at]);
      if (focused !== false) { order[at].querySelector("h2").focus({ preventScroll: true }); }
      return tell();
    }
    if (at > 0) { show(at - 1, focused); }
  }

  function bodyOf(answer) {
    const body = answer.querySelector(".answer");
    body.tabIndex = -1;
    return body;
  }

  function blank(wanted) {
    root.classList.toggle("is-blank", wanted);
    bar.querySelector("[data-do='blank']").setAttribute("aria-pressed", String(root.classList.contains("is-blank")));
    tell();
  }

  function full() {
    if (document.fullscreenElement) { return document.exitFullscreen(); }
    if (root.requestFullscreen) { root.requestFullscreen().catch(function () { /* not allowed here: F11 does it */ }); }
  }

  /* A count-down for the class to think in. It ends in a word, nothing more. */
  let ends = 0;
  let ticking = null;

  function time() {
    if (ticking) { return stopTime(); }
    ends = Date.now() + 1000 * (Number(order[at].dataset.pause) || 20);
    tick();
    ticking = setInterval(tick, 250);
  }

  function tick() {
    const left = Math.max(0, Math.ceil((ends - Date.now()) / 1000));
    clock.textContent = left ? left + " s" : bar.dataset.time;
    if (!left) { clearInterval(ticking); ticking = null; }
  }

  function stopTime() {
    clearInterval(ticking);
    ticking = null;
    clock.textContent = "";
  }

  /* The teacher's notes live in a second window that this page opened. */
  let notes = null;

  function openNotes() {
    if (!main.dataset.notes) { return; }
    notes = window.open(main.dataset.notes, "notes-" + main.dataset.lesson, "width=900,height=700");
  }

  /* The main button says what it will do. */
  function label() {
    const answer = hidden(order[at]);
    bar.querySelector("[data-do='next']").textContent = answer ? answer.querySelector("summary").textContent : bar.dataset.next;
  }

  function tell() {
    label();
    if (!notes || notes.closed) { return; }
    const following = order[at + 1];
    notes.postMessage({
      classroom: main.dataset.lesson,
      slide: order[at].id,
      next: following ? following.id : "",
      opened: opened(order[at]),
      place: place.textContent,
      blank: root.classList.contains("is-blank")
    }, "*");
  }

  window.addEventListener("message", function (event) {
    const message = event.data;
    if (!message || message.classroom !== main.dataset.lesson || !event.source) { return; }
    if (message.hello) { notes = event.source; return tell(); }
    if (event.source === notes && act[message.act]) { press(message.act, false); }
  });

  function list() {
    const whole = root.classList.toggle("deck");
    root.classList.remove("is-blank");
    if (whole) { show(at); } else { order[at].scrollIntoView(); }
  }

  function first() { show(0); }
  function last() { show(order.length - 1); }

  const act = { next: next, back: back, time: time, notes: openNotes, full: full, list: list, first: first, last: last,
    blank: function () { blank(!root.classList.contains("is-blank")); } };

  /* While somebody answers, the answers decide what the keys do. */
  function press(name, focused) {
    if (!classroom.deck.guard || !classroom.deck.guard(name)) { act[name](focused); }
  }

  const KEYS = {
    ArrowRight: "next", ArrowDown: "next", PageDown: "next", " ": "next", Enter: "next",
    ArrowLeft: "back", ArrowUp: "back", PageUp: "back", Backspace: "back",
    Home: "first", End: "last", ".": "blank", b: "blank", w: "full", t: "time", n: "notes"
  };

  document.addEventListener("keydown", function (event) {
    const name = KEYS[event.key.length === 1 ? event.key.toLowerCase() : event.key];
    if (!root.classList.contains("deck") || !name || event.ctrlKey || event.altKey || event.metaKey) { return; }
    if (event.target.closest && event.target.closest("input, dialog")) { return; }
    const own = event.target.closest && event.target.closest("a, button, summary");
    if (own && (event.key === "Enter" || event.key === " ")) { return; }
    event.preventDefault();
    press(name);
  });

  bar.addEventListener("click", function (event) {
    const button = event.target.closest("button");
    if (!button || !act[button.dataset.do]) { return; }
    /* A pointer's press gives the keys back to the slide; a key's press keeps its place on the button. */
    const pointed = event.detail > 0;
    press(button.dataset.do, pointed);
    if (pointed) { button.blur(); }
  });

  main.addEventListener("click", function (event) {
    const link = event.target.closest("[data-session]");
    if (!link || !root.classList.contains("deck")) { return; }
    event.preventDefault();
    start(link.dataset.session);
    show(1);
  });

  main.addEventListener("toggle", function (event) {
    const slide = event.target.closest(".slide");
    if (slide) { slide.classList.toggle("is-open", opened(slide) > 0); tell(); }
  }, true);

  function start(name, wantedSeed) {
    all.forEach(close);
    choose(name, wantedSeed);
  }

  /* For whoever answers on this page: the slides as they are asked, and the answer when it is due. */
  classroom.deck = {
    guard: null,
    idsOf: idsOf,
    boxes: boxes,
    slide: function () { return order[at]; },
    follow: function (ids, index, name, focused) { session = name; order = ids.map(slideOf); show(index, focused); },
    release: function () { start("first"); show(0); },
    reveal: function () { answers(order[at]).forEach(function (answer) { answer.open = true; }); order[at].classList.add("is-open"); tell(); }
  };

  const kept = /^#(?:(week|month)-(\d+)\/)?(.*)$/.exec(location.hash) || ["", undefined, "", ""];
  start(kept[1] || "first", Number(kept[2]));
  root.classList.add("deck");
  bar.hidden = false;
  const position = order.map(function (slide) { return slide.id; }).indexOf(kept[3]);
  show(position < 0 ? 0 : position, false);
}());
