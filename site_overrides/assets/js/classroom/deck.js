/* Shows a lesson one slide at a time, with keys, a presenter's clicker or taps.
   Without this script the page is a plain document and every answer opens by itself. */
(function () {
  "use strict";

  var main = document.getElementById("slides");
  var place = document.getElementById("place");
  var clock = document.getElementById("clock");
  var bar = document.querySelector(".controls");
  var all = Array.prototype.slice.call(main.querySelectorAll(".slide"));
  var root = document.documentElement;

  var session = "first";
  var order = [];
  var at = 0;

  function turnOf(slide) {
    return Number(slide.getAttribute("data-" + session));
  }

  function inSession(slide) {
    return slide.hasAttribute("data-" + session);
  }

  function choose(name) {
    session = name;
    order = all.filter(inSession).sort(function (a, b) { return turnOf(a) - turnOf(b); });
  }

  function answers(slide) {
    return Array.prototype.slice.call(slide.querySelectorAll("details.reveal"));
  }

  function opened(slide) {
    return answers(slide).filter(function (one) { return one.open; }).length;
  }

  function hidden(slide) {
    return answers(slide).filter(function (one) { return !one.open; })[0] || null;
  }

  function close(slide) {
    answers(slide).forEach(function (one) { one.open = false; });
    slide.classList.remove("is-open");
  }

  function show(index, focused) {
    at = Math.max(0, Math.min(order.length - 1, index));
    var now = order[at];
    stopTime();
    close(now);
    all.forEach(function (slide) { slide.classList.toggle("is-now", slide === now); });
    place.textContent = (session === "first" ? "" : titleOf(session) + ", ") + (at + 1) + " of " + order.length;
    try { history.replaceState(null, "", "#" + now.id); } catch (refused) { /* the place is then lost on reload */ }
    if (focused !== false) { now.querySelector("h2").focus({ preventScroll: true }); }
    now.scrollTop = 0;
    tell();
  }

  function titleOf(name) {
    return document.querySelector("[data-session='" + name + "']").textContent;
  }

  function next(focused) {
    if (root.classList.contains("is-blank")) { return blank(false); }
    var answer = hidden(order[at]);
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
    var body = answer.querySelector(".answer");
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
  var ends = 0;
  var ticking = null;

  function time() {
    if (ticking) { return stopTime(); }
    ends = Date.now() + 1000 * (Number(order[at].dataset.pause) || 20);
    tick();
    ticking = setInterval(tick, 250);
  }

  function tick() {
    var left = Math.max(0, Math.ceil((ends - Date.now()) / 1000));
    clock.textContent = left ? left + " s" : "Time";
    if (!left) { clearInterval(ticking); ticking = null; }
  }

  function stopTime() {
    clearInterval(ticking);
    ticking = null;
    clock.textContent = "";
  }

  /* The teacher's notes live in a second window that this page opened. */
  var notes = null;

  function openNotes() {
    if (!main.dataset.notes) { return; }
    notes = window.open(main.dataset.notes, "notes-" + main.dataset.lesson, "width=900,height=700");
  }

  /* The main button says what it will do. */
  function label() {
    var answer = hidden(order[at]);
    bar.querySelector("[data-do='next']").textContent = answer ? answer.querySelector("summary").textContent : "Next";
  }

  function tell() {
    label();
    if (!notes || notes.closed) { return; }
    var following = order[at + 1];
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
    var said = event.data;
    if (!said || said.classroom !== main.dataset.lesson || !event.source) { return; }
    if (said.hello) { notes = event.source; return tell(); }
    if (event.source === notes && act[said.act]) { act[said.act](false); }
  });

  function list() {
    var whole = root.classList.toggle("deck");
    root.classList.remove("is-blank");
    if (whole) { show(at); } else { order[at].scrollIntoView(); }
  }

  function first() { show(0); }
  function last() { show(order.length - 1); }

  var act = { next: next, back: back, time: time, notes: openNotes, full: full, list: list, first: first, last: last,
    blank: function () { blank(!root.classList.contains("is-blank")); } };

  var KEYS = {
    ArrowRight: "next", ArrowDown: "next", PageDown: "next", " ": "next", Enter: "next",
    ArrowLeft: "back", ArrowUp: "back", PageUp: "back", Backspace: "back",
    Home: "first", End: "last", ".": "blank", b: "blank", w: "full", t: "time", n: "notes"
  };

  document.addEventListener("keydown", function (event) {
    var name = KEYS[event.key.length === 1 ? event.key.toLowerCase() : event.key];
    if (!root.classList.contains("deck") || !name || event.ctrlKey || event.altKey || event.metaKey) { return; }
    var own = event.target.closest && event.target.closest("a, button, summary");
    if (own && (event.key === "Enter" || event.key === " ")) { return; }
    event.preventDefault();
    act[name]();
  });

  bar.addEventListener("click", function (event) {
    var button = event.target.closest("button");
    if (!button) { return; }
    /* A pointer's press gives the keys back to the slide; a key's press keeps its place on the button. */
    var pointed = event.detail > 0;
    act[button.dataset.do](pointed);
    if (pointed) { button.blur(); }
  });

  main.addEventListener("click", function (event) {
    var link = event.target.closest("[data-session]");
    if (!link || !root.classList.contains("deck")) { return; }
    event.preventDefault();
    start(link.dataset.session);
    show(1);
  });

  main.addEventListener("toggle", function (event) {
    var slide = event.target.closest(".slide");
    if (slide) { slide.classList.toggle("is-open", opened(slide) > 0); tell(); }
  }, true);

  function start(name) {
    all.forEach(close);
    choose(name);
  }

  start("first");
  root.classList.add("deck");
  bar.hidden = false;
  var wanted = location.hash.slice(1);
  var found = order.map(function (slide) { return slide.id; }).indexOf(wanted);
  show(found < 0 ? 0 : found, false);
}());
