/* The ten-minute drill on its page: one act at a time, by tap, key or number. The rules of the drill are in drill_state.js. */
import { attemptOf } from "./score_rows.js";
import { drillBegun, drillChoices, drillChosen, minutes, spent, thinking } from "./drill_state.js";
import { learner } from "./learner.js";
import { scoreExpiry } from "./score_expiry.js";

(function () {
  "use strict";

  const data = JSON.parse(document.getElementById("drill-data").textContent);
  const words = data.words;
  const filled = classroom.filled;
  const { store, byId, make } = learner;
  const expiry = scoreExpiry(words, {});
  let who = store.learner();
  let road = 0;
  let run = 0;
  let state = null;
  let choices = [];

  function acts() { return data.roads[road].acts; }

  function begin() {
    run += 1;
    state = drillBegun(Date.now());
    byId("done").textContent = "";
    byId("said").textContent = "";
    byId("result").textContent = "";
    byId("drill").classList.remove("is-over");
    show();
  }

  function pick(index) {
    road = index;
    state = null;
    document.querySelectorAll(".stage__road").forEach(function (stage, place) { stage.hidden = place !== road; });
    document.querySelectorAll("[data-road-button]").forEach(function (button, place) { button.setAttribute("aria-pressed", String(place === road)); });
    byId("task").textContent = data.roads[road].text;
    ["choices", "done", "said", "result", "asked"].forEach(function (id) { byId(id).textContent = ""; });
    byId("clock").textContent = filled(words.clock, { spent: minutes(0), limit: minutes(data.limit) });
  }

  function show() {
    const random = classroom.seededRandom(run * 1000 + road * 50 + state.at);
    choices = drillChoices(acts(), state, random.shuffled);
    byId("asked").textContent = filled(words.question, { number: state.at + 1, of: acts().length });
    const box = byId("choices");
    box.textContent = "";
    choices.forEach(function (choice, index) {
      const button = make("button", { type: "button", "class": "choice", "data-choice": String(index), "aria-keyshortcuts": String(index + 1) });
      button.appendChild(make("span", { "class": "options__letter" }, String(index + 1)));
      button.appendChild(make("span", {}, choice.text));
      box.appendChild(button);
    });
    tick();
  }

  function tick() {
    if (!state) { return; }
    const seconds = spent(state, Date.now());
    const text = filled(words.clock, { spent: minutes(seconds), limit: minutes(data.limit) });
    if (byId("clock").textContent !== text) { byId("clock").textContent = text; }
    byId("over").textContent = seconds > data.limit ? words.time_over : "";
  }

  function choose(index) {
    const choice = choices[index];
    if (!state || state.ended !== null || !choice) { return; }
    const due = acts()[state.at];
    state = drillChosen(acts(), state, choice.id, Date.now());
    if (choice.id !== due.id) {
      byId("said").textContent = choice.why || words.not_yet;
      byId("choices").querySelector("[data-choice='" + index + "']").disabled = true;
      return;
    }
    byId("said").textContent = due.why;
    byId("done").appendChild(make("li", {}, due.seconds ? filled(words.took, due) : due.text));
    if (state.ended !== null) { return finish(); }
    show();
    byId("choices").querySelector("button").focus();
  }

  function finish() {
    const seconds = spent(state, state.ended);
    const inTime = seconds <= data.limit;
    const right = acts().length - state.missed.length;
    const box = byId("result");
    const figures = { spent: minutes(seconds), limit: minutes(data.limit), right: right, of: acts().length, seconds: state.onFoot, thinking: thinking(state, state.ended) };
    byId("choices").textContent = byId("asked").textContent = "";
    byId("drill").classList.add("is-over");
    [inTime ? words.finished : words.late, words.at_first, words.on_foot].forEach(function (text, index) {
      box.appendChild(make(index ? "p" : "h2", {}, filled(text, figures)));
    });
    const missed = acts().filter(function (act) { return state.missed.indexOf(act.id) >= 0; });
    missed.forEach(function (act) { box.appendChild(make("p", {}, filled(words.missed, act))); });
    tick();
    record(seconds, right, inTime, missed);
    box.focus();
  }

  function record(seconds, right, inTime, missed) {
    if (!who) { return; }
    const row = {
      class: who.class, number: who.number, day: learner.today(), time: new Date().toISOString(), edition: data.edition,
      work: "drill", title: words.work, version: data.version, session: "", question: data.roads[road].id, asked: data.roads[road].title,
      attempt: 1, aids: "", seconds: seconds, sure: "", given: missed.map(function (act) { return act.text; }).join("; "),
      answer: minutes(data.limit), verdict: inTime && !missed.length ? "right" : "wrong", points: right, of: acts().length
    };
    row.attempt = attemptOf(store.rows(who), row);
    store.add(row);
    learner.warn(words);
    byId("save").disabled = false;
  }

  function enter(known) {
    who = known;
    byId("class").value = who ? who.class : "";
    byId("learner").value = who ? who.number : "";
    if (who) { store.enter(who); } else { store.leave(); }
    byId("answers-as").textContent = who ? learner.named(words, who) : "";
    byId("save").disabled = !who || !store.rows(who).length;
    byId("leave").disabled = !who;
    learner.warn(words);
  }

  byId("choices").addEventListener("click", function (event) {
    const button = event.target.closest("button");
    if (button) { choose(Number(button.dataset.choice)); }
  });
  document.addEventListener("keydown", function (event) {
    if (event.target.closest("input") || event.ctrlKey || event.altKey || event.metaKey) { return; }
    const button = byId("choices").querySelector("[data-choice='" + (Number(event.key) - 1) + "']");
    if (button && !button.disabled) { choose(Number(event.key) - 1); }
  });
  document.querySelectorAll("[data-road-button]").forEach(function (button, index) { button.addEventListener("click", function () { pick(index); }); });
  byId("begin").addEventListener("click", function () { begin(); byId("choices").querySelector("button").focus(); });
  byId("who-form").addEventListener("submit", function (event) { event.preventDefault(); enter(learner.typed()); });
  byId("save").addEventListener("click", function () { learner.save(who); });
  byId("leave").addEventListener("click", function () { enter(null); pick(0); });
  setInterval(tick, 500);
  document.documentElement.classList.add("wall");
  byId("drill").hidden = false;
  enter(who);
  expiry.show();
  pick(0);
}());
