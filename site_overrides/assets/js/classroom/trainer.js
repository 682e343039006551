/* The trainer's page: what is kept on this device, saving it, wiping it, and when lessons are due again. */
import { addDays, calendar, dueDays, isDay } from "./due_state.js";
import { className } from "./score_rows.js";
import { learner } from "./learner.js";
import { scoreExpiry } from "./score_expiry.js";

(function () {
  "use strict";

  const data = JSON.parse(document.getElementById("trainer-data").textContent);
  const words = data.words;
  const filled = classroom.filled;
  const { store, byId, make } = learner;
  const expiry = scoreExpiry(words, { everything: true, erased: showScores });

  /* Numbers and how many rows, never a result: the next learner may be looking. */
  function showScores() {
    const counted = new Map();
    store.rows(null).forEach(function (row) {
      const name = learner.named(words, row);
      counted.set(name, (counted.get(name) || 0) + 1);
    });
    const list = byId("numbers");
    list.textContent = "";
    counted.forEach(function (count, name) { list.appendChild(make("li", {}, name + ": " + filled(words.rows, { count: count }))); });
    if (!counted.size) { list.appendChild(make("li", {}, words.none)); }
    byId("save-all").disabled = byId("print-all").disabled = !counted.size;
    expiry.show();
  }

  function due() {
    const day = byId("day").value.trim();
    const chosen = Array.prototype.filter.call(document.querySelectorAll("[name='lesson']"), function (box) { return box.checked; });
    const fits = isDay(day) && chosen.length > 0;
    const list = byId("due");
    list.textContent = "";
    byId("calendar").disabled = !fits;
    byId("due-fault").textContent = fits ? "" : words.due_missing;
    if (!fits) { return []; }
    const name = className(byId("due-class").value);
    const events = dueDays(day, chosen.map(function (box) { return { id: box.value, title: box.dataset.title }; })).map(function (one) {
      const summary = filled(name ? words.due_class : words.due_event, { class: name, lesson: one.title, session: words["due_" + one.session] });
      return Object.assign({ summary: summary }, one);
    });
    events.forEach(function (event) { list.appendChild(make("li", {}, event.day + " " + event.summary)); });
    return events;
  }

  /* Wiping takes two taps, and the second one says what goes. */
  function twice(first, second, act) {
    byId(first).addEventListener("click", function () { byId(second).hidden = false; byId(second).focus(); });
    byId(second).addEventListener("click", function () {
      act();
      byId(second).hidden = true;
      byId("wiped").textContent = words.wiped;
      showScores();
    });
  }

  twice("wipe-scores", "really-scores", function () { store.wipe(false); });
  twice("wipe-all", "really-all", function () { store.wipe(true); });
  byId("save-all").addEventListener("click", function () { learner.save(null); });
  byId("print-all").addEventListener("click", function () { learner.print(words, null); });
  byId("due-form").addEventListener("input", due);
  byId("due-form").addEventListener("submit", function (event) { event.preventDefault(); });
  byId("calendar").addEventListener("click", function () {
    const events = due();
    const name = className(byId("due-class").value);
    const day = byId("day").value.trim();
    learner.download(["due-again", name || "class", addDays(day, 0)].join("-") + ".ics", calendar(events, { now: new Date(), name: name }), "text/calendar");
  });
  window.addEventListener("storage", showScores);
  byId("day").value = learner.today();
  byId("trainer").hidden = false;
  showScores();
  due();
}());
