/* The teacher's window: follows the projected page that opened it, and turns its slides.
   Opened by itself it stays a plain document to read or print. */
(function () {
  "use strict";

  const main = document.getElementById("notes");
  const lesson = main.dataset.lesson;
  const wall = window.opener;
  const state = document.getElementById("state");
  const entries = Array.prototype.slice.call(main.querySelectorAll(".note"));
  if (!wall) { return; }

  function hello() {
    if (wall.closed) { state.textContent = state.dataset.closed; return; }
    wall.postMessage({ classroom: lesson, hello: true }, "*");
  }

  function send(name) {
    if (!wall.closed) { wall.postMessage({ classroom: lesson, act: name }, "*"); }
  }

  window.addEventListener("message", function (event) {
    const message = event.data;
    if (event.source !== wall || !message || message.classroom !== lesson || !message.slide) { return; }
    document.documentElement.classList.add("follows");
    entries.forEach(function (entry) {
      entry.classList.toggle("is-now", entry.dataset.slide === message.slide);
      entry.classList.toggle("is-next", entry.dataset.slide === message.next);
    });
    state.textContent = message.place + (message.blank ? ", wall is blank" : message.opened ? ", answer shown" : "");
  });

  document.querySelector(".controls").hidden = false;
  document.querySelector(".controls").addEventListener("click", function (event) {
    const button = event.target.closest("button");
    if (button) { send(button.dataset.do); }
  });

  const KEYS = {
    ArrowRight: "next", ArrowDown: "next", PageDown: "next", " ": "next", Enter: "next",
    ArrowLeft: "back", ArrowUp: "back", PageUp: "back", Backspace: "back", ".": "blank", b: "blank", t: "time"
  };

  document.addEventListener("keydown", function (event) {
    const name = KEYS[event.key.length === 1 ? event.key.toLowerCase() : event.key];
    if (!name || event.ctrlKey || event.altKey || event.metaKey) { return; }
    if (event.target.closest("button, a") && (event.key === "Enter" || event.key === " ")) { return; }
    event.preventDefault();
    send(name);
  });

  /* Asked again and again, because the projected page forgets this window when it is loaded anew. */
  hello();
  setInterval(hello, 2000);
}());
