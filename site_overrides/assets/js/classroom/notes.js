/* The teacher's window: follows the projected page that opened it, and turns its slides.
   Opened by itself it stays a plain document to read or print. */
(function () {
  "use strict";

  var main = document.getElementById("notes");
  var lesson = main.dataset.lesson;
  var wall = window.opener;
  var state = document.getElementById("state");
  var entries = Array.prototype.slice.call(main.querySelectorAll(".note"));
  if (!wall) { return; }

  function hello() {
    if (wall.closed) { state.textContent = "The projected page is closed."; return; }
    wall.postMessage({ classroom: lesson, hello: true }, "*");
  }

  function send(name) {
    if (!wall.closed) { wall.postMessage({ classroom: lesson, act: name }, "*"); }
  }

  window.addEventListener("message", function (event) {
    var said = event.data;
    if (event.source !== wall || !said || said.classroom !== lesson || !said.slide) { return; }
    document.documentElement.classList.add("follows");
    entries.forEach(function (entry) {
      entry.classList.toggle("is-now", entry.dataset.slide === said.slide);
      entry.classList.toggle("is-next", entry.dataset.slide === said.next);
    });
    state.textContent = said.place + (said.blank ? ", wall is blank" : said.opened ? ", answer shown" : "");
  });

  document.querySelector(".controls").hidden = false;
  document.querySelector(".controls").addEventListener("click", function (event) {
    var button = event.target.closest("button");
    if (button) { send(button.dataset.do); }
  });

  var KEYS = {
    ArrowRight: "next", ArrowDown: "next", PageDown: "next", " ": "next", Enter: "next",
    ArrowLeft: "back", ArrowUp: "back", PageUp: "back", Backspace: "back", ".": "blank", b: "blank", t: "time"
  };

  document.addEventListener("keydown", function (event) {
    var name = KEYS[event.key.length === 1 ? event.key.toLowerCase() : event.key];
    if (!name || event.ctrlKey || event.altKey || event.metaKey) { return; }
    if (event.target.closest("button, a") && (event.key === "Enter" || event.key === " ")) { return; }
    event.preventDefault();
    send(name);
  });

  /* Asked again and again, because the projected page forgets this window when it is loaded anew. */
  hello();
  setInterval(hello, 2000);
}());
