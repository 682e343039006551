/* Answering a lesson on its own page: choose, put the lines in order, type a distance, or say it aloud; sure or not
   before the answer; the correction to what was chosen. What is asked when is decided in lesson_state.js. */
import { attemptOf } from "./score_rows.js";
import { begun, comesBack, commit, give, goOn, judge, linesRight, mayGoOn, nowAsked, resumed, seedOf, sessionOrder, tally, tapLine } from "./lesson_state.js";
import { learner } from "./learner.js";
import { scoreExpiry } from "./score_expiry.js";

(function () {
  "use strict";

  const data = JSON.parse(document.getElementById("lesson-data").textContent);
  const words = data.words;
  const filled = classroom.filled;
  const measure = classroom.measure(data.measure);
  const { store, byId, make } = learner;
  const deck = classroom.deck;
  const root = document.documentElement;
  const dialog = byId("who");
  const replies = byId("replies");

  const expiry = scoreExpiry(words, {});
  let who = null;
  let state = null;
  let missedBefore = [];

  /* --- what a slide asks ------------------------------------------------ */

  function slideNow() { return byId(nowAsked(state)); }

  function kindOf(slide) {
    if (data.devices[slide.id]) { return "devices"; }
    if (slide.classList.contains("slide--by-heart")) { return "lines"; }
    if (slide.querySelector(".options:not(.options--marked)")) { return "choice"; }
    return slide.querySelector("details.reveal") && !slide.classList.contains("is-worked") ? "aloud" : "none";
  }

  function asks() { return kindOf(slideNow()) !== "none"; }

  function linesOf(slide) {
    return Array.prototype.map.call(slide.querySelectorAll(".by-heart li"), function (line) { return line.textContent.replace(/\s+/g, " ").trim(); });
  }

  function optionsOf(slide) {
    return Array.prototype.map.call(slide.querySelectorAll(".options--marked > li"), function (item) {
      const correction = item.querySelector(".options__correction");
      const text = item.querySelector("p").textContent.replace(item.querySelector(".mark").textContent, "").trim();
      return { letter: item.querySelector(".options__letter").textContent, text: text, right: item.classList.contains("is-right"),
        correction: correction ? correction.textContent : "" };
    });
  }

  function shuffledFor(name) { return classroom.seededRandom(seedOf([who.class, who.number, data.lesson, state ? state.session : "", name].join("/"))).shuffled; }

  /* --- beginning and leaving -------------------------------------------- */

  function open() {
    const known = store.learner();
    byId("class").value = known ? known.class : "";
    byId("learner").value = known ? known.number : "";
    byId("who-fault").textContent = "";
    expiry.show();
    dialog.showModal();
  }

  function begin(session) {
    const kept = store.lesson(who, data.lesson);
    const known = deck.idsOf("first");
    missedBefore = kept && Array.isArray(kept.missed) ? kept.missed.filter(function (id) { return known.indexOf(id) >= 0; }) : [];
    const running = kept && kept.running && kept.running.session === session ? resumed(kept.running, known) : null;
    const seed = seedOf([who.class, who.number, data.lesson, session, learner.today()].join("/"));
    const order = sessionOrder({ session: session, slides: deck.idsOf(session), boxes: deck.boxes, missed: missedBefore }, classroom.seededRandom(seed).shuffled);
    state = running ? Object.assign({}, running, { since: Date.now(), given: null, shown: null }) : begun(session, seed, order, Date.now());
    /* An answer that was given and shown is not asked again after a reload. */
    if (running && running.shown && running.shown.right !== null) { state = goOn(state, Date.now()); }
    root.classList.add("is-answering");
    deck.guard = guard;
    keep();
    show();
  }

  function leave() {
    store.leave();
    who = state = null;
    root.classList.remove("is-answering");
    deck.guard = null;
    replies.hidden = true;
    document.querySelectorAll(".slide").forEach(plain);
    byId("kept").hidden = true;
    deck.release();
  }

  function keep() {
    const open_ = comesBack(state);
    const missed = missedBefore.filter(function (id) { return !state.answers[id]; }).concat(open_);
    store.keepLesson(who, data.lesson, { running: state, missed: missed });
    learner.warn(words);
  }

  /* --- showing ----------------------------------------------------------- */

  /* A slide that scrolls can be scrolled by keys. */
  function reachable(slide) {
    if (slide.scrollHeight > slide.clientHeight) { slide.tabIndex = 0; } else { slide.removeAttribute("tabindex"); }
  }

  function plain(slide) {
    slide.removeAttribute("tabindex");
    slide.querySelectorAll(".reply, .answering").forEach(function (part) { part.remove(); });
    slide.querySelectorAll(".options:not(.options--marked)").forEach(function (list) { list.hidden = false; });
  }

  function show() {
    deck.follow(state.order, state.at, state.session);
    const slide = slideNow();
    plain(slide);
    byId("place").textContent = filled(words.place, { who: learner.named(words, who), place: state.at + 1, of: state.order.length });
    ({ choice: showChoices, lines: showLines, devices: showFields, aloud: function () {}, none: function () {} })[kindOf(slide)](slide);
    if (slide.classList.contains("slide--closing")) { showResult(slide); }
    refresh();
  }

  function answering(slide, tag) {
    const box = make(tag, { "class": "answering" });
    slide.querySelector(".slide__words").insertBefore(box, slide.querySelector("details.reveal"));
    return box;
  }

  function showChoices(slide) {
    slide.querySelector(".options:not(.options--marked)").hidden = true;
    const box = answering(slide, "div");
    box.setAttribute("role", "group");
    optionsOf(slide).forEach(function (option, index) {
      const button = make("button", { type: "button", "class": "choice", "data-give": String(index), "aria-keyshortcuts": String(index + 1) });
      button.appendChild(make("span", { "class": "options__letter" }, option.letter));
      button.appendChild(make("span", {}, option.text));
      box.appendChild(button);
    });
  }

  function showLines(slide) {
    const box = answering(slide, "div");
    box.setAttribute("role", "group");
    const lines = linesOf(slide);
    shuffledFor(slide.id + state.at)(lines.map(function (line, index) { return index; })).forEach(function (index) {
      const button = make("button", { type: "button", "class": "choice", "data-line": String(index) });
      button.appendChild(make("span", { "class": "options__letter" }));
      button.appendChild(make("span", {}, lines[index]));
      box.appendChild(button);
    });
  }

  function showFields(slide) {
    const asked = data.devices[slide.id];
    const box = answering(slide, "div");
    for (let index = asked.placed; index < asked.expected.length; index += 1) {
      const names = { number: index + 1, unit: measure.name };
      const row = make("fieldset", { "class": "typed", "data-device": String(index) });
      row.appendChild(make("legend", {}, filled(words.device, names)));
      const sides = make("span", { role: "group", "class": "toggle", "aria-label": filled(words.which_side, names) });
      ["behind", "ahead"].forEach(function (side) { sides.appendChild(make("button", { type: "button", "data-side": side, "aria-pressed": "false" }, words[side])); });
      row.appendChild(sides);
      row.appendChild(make("input", { type: "text", inputmode: "numeric", maxlength: "4", "class": "distance", "aria-label": filled(words.distance, names) }));
      row.appendChild(make("span", { "class": "unit" }, measure.unit));
      box.appendChild(row);
    }
  }

  function typedDevices(slide) {
    const rows = Array.prototype.map.call(slide.querySelectorAll(".typed"), function (row) {
      const pressed = row.querySelector("[aria-pressed='true']");
      const digits = row.querySelector("input").value.replace(/\D/g, "");
      return pressed && digits ? { toward: pressed.dataset.side, distance: Number(digits), across: null } : null;
    });
    return rows.every(Boolean) ? rows : null;
  }

  /* The buttons below the slide: what can be done now. */
  function refresh() {
    const slide = slideNow();
    const kind = kindOf(slide);
    const ready = kind === "aloud" || (kind === "lines" ? Array.isArray(state.given) && state.given.length === linesOf(slide).length : state.given !== null);
    slide.querySelectorAll("[data-give]").forEach(function (button) {
      button.setAttribute("aria-pressed", String(state.given === Number(button.dataset.give)));
      button.disabled = state.shown !== null;
    });
    slide.querySelectorAll("[data-line]").forEach(function (button) {
      const place = Array.isArray(state.given) ? state.given.indexOf(Number(button.dataset.line)) : -1;
      button.firstChild.textContent = place < 0 ? "" : String(place + 1);
      button.setAttribute("aria-pressed", String(place >= 0));
      button.disabled = state.shown !== null;
    });
    slide.querySelectorAll(".typed button, .typed input").forEach(function (part) { part.disabled = state.shown !== null; });
    slide.querySelectorAll(".answering").forEach(function (box) { box.hidden = state.shown !== null && kind !== "devices"; });
    replies.textContent = "";
    replies.hidden = kind === "none";
    reachable(slide);
    byId("controls").classList.toggle("may-go-on", mayGoOn(state, kind !== "none"));
    if (kind === "none") { return; }
    if (!state.shown) {
      const asked = { choice: words.choose, lines: words.order, devices: words.type, aloud: words.aloud }[kind];
      replies.appendChild(make("p", { id: "asked" }, asked + " " + words.then_sure));
      reply("sure", words.sure, !ready, "S");
      reply("unsure", words.unsure, !ready, "U");
      reply("unknown", words.unknown, false, "");
    } else if (state.shown.right === null) {
      replies.appendChild(make("p", { id: "asked" }, words.compare));
      reply("had_it", words.had_it, false, "");
      reply("had_not", words.had_not, false, "");
    } else { replies.hidden = true; }
  }

  function reply(name, text, disabled, key) {
    const button = make("button", { type: "button", "data-reply": name }, key ? text + " (" + key + ")" : text);
    if (key) { button.setAttribute("aria-keyshortcuts", key); }
    button.disabled = disabled;
    replies.appendChild(button);
  }

  /* --- marking and correcting -------------------------------------------- */

  function marksOf(slide) {
    const asked = data.devices[slide.id];
    const expected = asked.expected.map(function (device) { return Object.assign({}, device, { across: null }); });
    const placed = expected.slice(0, asked.placed).map(function (device) { return { toward: device.toward, distance: device.distance, across: null }; });
    return classroom.mark(expected, placed.concat(state.given));
  }

  function isRight(slide) {
    const kind = kindOf(slide);
    if (kind === "choice") { return optionsOf(slide)[state.given].right; }
    if (kind === "lines") { return linesRight(state.given, linesOf(slide).length).every(Boolean); }
    return kind === "devices" ? classroom.counts(marksOf(slide)) : null;
  }

  function answered(sure) {
    if (!asks() || state.shown) { return; }
    const slide = slideNow();
    state = commit(state, sure, sure === null ? false : isRight(slide), Date.now());
    correct(slide);
    if (state.shown.right !== null) { record(slide); }
    keep();
    deck.reveal();
    refresh();
    reachable(slide);
    const box = slide.querySelector(".reply");
    box.focus({ preventScroll: true });
    slide.scrollTop = 0;
    if (!replies.hidden) { replies.querySelector("button").focus(); }
  }

  function own(right) {
    state = judge(state, right);
    record(slideNow());
    keep();
    const old = slideNow().querySelector(".reply");
    correct(slideNow());
    old.remove();
    refresh();
    byId("controls").querySelector("[data-do='next']").focus();
  }

  function verdictWords(shown) {
    if (shown.sure === null) { return words.unknown_shown; }
    if (shown.right === null) { return words.compare; }
    return words[(shown.right ? "right_" : "wrong_") + (shown.sure ? "sure" : "unsure")];
  }

  /* The correction speaks to what was chosen. */
  function correct(slide) {
    const shown = state.shown;
    const box = make("div", { "class": "reply " + (shown.right ? "is-right" : "is-wrong"), role: "status", tabindex: "-1" });
    box.appendChild(make("p", { "class": "reply__verdict" }, verdictWords(shown)));
    if (shown.given !== null) {
      const kind = kindOf(slide);
      if (kind === "choice") {
        const option = optionsOf(slide)[shown.given];
        box.appendChild(make("p", {}, filled(words.chose, option) + (option.correction ? " " + option.correction : "")));
      } else if (kind === "lines" && !shown.right) {
        const lines = linesOf(slide);
        const list = make("ol", { "class": "reply__lines" });
        linesRight(shown.given, lines.length).forEach(function (right, place) {
          list.appendChild(make("li", { "class": right ? "is-right" : "is-wrong" },
            filled(right ? words.line_right : words.line_wrong, { place: place + 1, text: lines[shown.given[place]] })));
        });
        box.appendChild(list);
      } else if (kind === "devices") {
        marksOf(slide).forEach(function (mark) {
          if (!mark.set || mark.verdict === "right") { return; }
          const seconds = Math.round(mark.set.distance * data.walk);
          const more = mark.expected ? seconds - Math.round(mark.expected.distance * data.walk) : seconds;
          const text = filled(data.verdicts[mark.verdict], { seconds: seconds, more: more });
          box.appendChild(make("p", {}, filled(words.verdict, { device: setText(mark.set), verdict: text })));
        });
      }
    }
    slide.querySelector(".slide__words").insertBefore(box, slide.querySelector("details.reveal"));
  }

  function setText(device) { return filled(words.set, { distance: measure.length(device.distance), side: data.sides[device.toward] }); }

  function givenText(slide, given) {
    if (given === null || given === undefined) { return ""; }
    const kind = kindOf(slide);
    if (kind === "choice") { return optionsOf(slide)[given].letter + ": " + optionsOf(slide)[given].text; }
    if (kind === "lines") { return given.map(function (line) { return line + 1; }).join(" "); }
    return kind === "devices" ? given.map(setText).join("; ") : "";
  }

  function answerText(slide) {
    const kind = kindOf(slide);
    if (kind === "choice") { return optionsOf(slide).filter(function (option) { return option.right; })[0].text; }
    if (kind === "lines") { return linesOf(slide).map(function (line, index) { return index + 1; }).join(" "); }
    if (kind === "devices") { return data.devices[slide.id].expected.map(setText).join("; "); }
    const text = slide.querySelector(".answer__text, .line__text");
    return text ? text.textContent : "";
  }

  function record(slide) {
    const shown = state.shown;
    const now = new Date();
    const row = {
      class: who.class, number: who.number, day: learner.today(), time: now.toISOString(), edition: data.edition,
      work: "lesson/" + data.lesson, title: data.title, version: data.version, session: state.session, question: slide.id,
      asked: titleOf(slide.id), attempt: 1, aids: "", seconds: shown.seconds,
      sure: shown.sure === null ? "unknown" : shown.sure ? "yes" : "no", given: givenText(slide, shown.given), answer: answerText(slide),
      verdict: shown.right ? "right" : "wrong", points: shown.right ? 1 : 0, of: 1
    };
    row.attempt = attemptOf(store.rows(who), row);
    store.add(row);
  }

  function titleOf(id) {
    const slide = byId(id);
    const cue = slide.querySelector(".slide__cue");
    return (slide.classList.contains("slide--question") || !cue ? slide.querySelector("h2") : cue).textContent.trim().replace(/[.?]$/, "");
  }

  function showResult(slide) {
    const counted = tally(state);
    const again = comesBack(state);
    const box = make("div", { "class": "reply" });
    box.appendChild(make("p", { "class": "reply__verdict" }, filled(words.tally, { right: counted.right, of: counted.asked })));
    if (counted.sureAndWrong) { box.appendChild(make("p", {}, filled(words.sure_and_wrong, { count: counted.sureAndWrong }))); }
    box.appendChild(make("p", {}, again.length ? filled(words.again, { titles: again.map(titleOf).join("; ") }) : words.again_none));
    const actions = make("p", { "class": "actions" });
    actions.appendChild(make("button", { type: "button", "data-reply": "save" }, words.save_mine));
    actions.appendChild(make("button", { type: "button", "data-reply": "leave" }, words.hand_over));
    box.appendChild(actions);
    slide.querySelector(".slide__words").insertBefore(box, slide.querySelector("h2").nextSibling);
    state = Object.assign({}, state, { ended: true });
    keep();
  }

  /* --- acting ------------------------------------------------------------- */

  function go() {
    if (!mayGoOn(state, asks()) || state.at + 1 >= state.order.length) { return; }
    state = goOn(state, Date.now());
    keep();
    show();
  }

  /* While somebody answers, "next" goes on only after the answer, and nothing else turns the slides. */
  function guard(name) {
    if (name === "next") { go(); }
    return ["blank", "full", "time"].indexOf(name) < 0;
  }

  const REPLIES = {
    sure: function () { answered(true); }, unsure: function () { answered(false); }, unknown: function () { answered(null); },
    had_it: function () { own(true); }, had_not: function () { own(false); },
    save: function () { learner.save(who); }, leave: leave
  };

  document.addEventListener("click", function (event) {
    const button = event.target.closest("button");
    if (!button || !state) { return; }
    if (button.dataset.reply) { return REPLIES[button.dataset.reply](); }
    if (button.dataset.give) { state = give(state, Number(button.dataset.give)); refresh(); }
    if (button.dataset.line) { state = tapLine(state, Number(button.dataset.line)); refresh(); }
    if (button.dataset.side) {
      button.parentNode.querySelectorAll("button").forEach(function (one) { one.setAttribute("aria-pressed", String(one === button)); });
      state = give(state, typedDevices(slideNow()));
      refresh();
    }
  });

  document.addEventListener("input", function (event) {
    if (state && event.target.closest(".typed")) { state = give(state, typedDevices(slideNow())); refresh(); }
  });

  document.addEventListener("keydown", function (event) {
    if (!state || dialog.open || event.ctrlKey || event.altKey || event.metaKey || event.target.closest("input")) { return; }
    const choice = slideNow().querySelector("[data-give='" + (Number(event.key) - 1) + "']");
    if (choice && !choice.disabled) { choice.click(); }
    const name = { s: "sure", u: "unsure" }[event.key.toLowerCase()];
    const button = name && replies.querySelector("[data-reply='" + name + "']");
    if (button && !button.disabled) { button.click(); }
  });

  byId("answer").addEventListener("click", open);
  byId("leave").addEventListener("click", leave);
  byId("who-cancel").addEventListener("click", function () { dialog.close(); });
  byId("who-form").addEventListener("submit", function (event) {
    event.preventDefault();
    const typed = learner.typed();
    if (!typed) { byId("who-fault").textContent = words.who_missing; return; }
    who = typed;
    state = null;
    store.enter(who);
    dialog.close();
    begin(byId("who-form").elements.session.value);
  });

  /* After a reload the same learner goes on where this lesson was left, in this tab only. */
  const known = store.learner();
  const left = known && store.lesson(known, data.lesson);
  if (left && left.running && resumed(left.running, deck.idsOf("first"))) {
    who = known;
    begin(left.running.session);
  }
}());
