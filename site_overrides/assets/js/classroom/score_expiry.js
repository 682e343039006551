/* Results go by the carrier's setting: so many days after the last answer of a class, after a week of warning. They go
   when a page of the classroom is opened or comes to the front, and never while that class answers in this tab. */
import { learner } from "./learner.js";
import { erasedNow, erasures, shownNow, standings, touchedNow } from "./score_expiry_state.js";

/**
 * Erase what is due, and give what a page does with the rest. Without the setting nothing is counted, shown or erased.
 * @param {Record<string, string>} words
 * @param {{ everything?: boolean, erased?: () => void }} page  `everything`: show every class, and let it be kept longer.
 *   `erased`: draw anew what an open page shows of results.
 */
export const scoreExpiry = function (words, page) {
  "use strict";

  const { store, byId, make } = learner;
  const box = byId("expiry");
  const days = box ? Number(box.dataset.days) : 0;
  const filled = classroom.filled;

  function dayOf(at) {
    return new Date(at).toLocaleDateString(document.documentElement.lang, { year: "numeric", month: "long", day: "numeric" });
  }

  function standing() { return standings({ held: store.classes(), times: store.times(), days: days, now: Date.now() }); }

  function note(some) { store.keepTimes(shownNow(store.times(), some, Date.now())); }

  function erase(sparing) {
    const due = standing().filter(function (one) { return one.state === "due" && one.class !== sparing; });
    due.forEach(function (one) {
      store.forgetClass(one.class);
      store.keepTimes(erasedNow(store.times(), one.class, Date.now()));
    });
    note(standing().filter(function (one) { return one.state === "kept"; }));
    return due.map(function (one) { return one.class; });
  }

  function line(text, name) {
    const row = make("p", {}, text);
    if (name && page.everything) {
      row.append(" ", make("button", { type: "button", "data-longer": name }, filled(words.longer, { days: days })));
    }
    return row;
  }

  /* Only what is shown counts as a warning. */
  function draw() {
    const now = standing();
    const warned = now.filter(function (one) { return one.state !== "kept"; });
    note(now);
    const gone = erasures(store.times(), store.classes()).filter(function (one) { return page.everything || erased.includes(one.class); });
    byId("expiry-lines").replaceChildren(
      ...now.filter(function (one) { return page.everything || one.state !== "kept"; }).map(function (one) {
        const text = one.state === "kept" ? words.expiry_kept : words.expiry_warned;
        return line(filled(text, { class: one.class, day: dayOf(one.erases), days: days }), one.state === "kept" ? "" : one.class);
      }),
      ...gone.map(function (one) { return line(filled(words.expiry_erased, { class: one.class, day: dayOf(one.erased), days: days }), ""); })
    );
    const actions = byId("expiry-actions");
    if (actions) { actions.hidden = !warned.length; }
    box.hidden = !byId("expiry-lines").childElementCount;
  }

  /* Whoever answers here, or typed class and number; a fault where nobody did. */
  function mine() {
    const who = learner.typed() || store.learner();
    byId("expiry-said").textContent = !who ? words.who_missing : store.rows(who).length ? "" : words.expiry_no_rows;
    return who && store.rows(who).length ? who : null;
  }

  function act(id, how) {
    const button = byId(id);
    if (button) { button.addEventListener("click", function () { const who = mine(); if (who) { how(who); } }); }
  }

  if (!days) { return { show: function () {} }; }
  let shown = false;
  let erased = erase("");
  act("expiry-save", learner.save);
  act("expiry-print", function (who) { learner.print(words, who); });
  box.addEventListener("click", function (event) {
    const button = event.target.closest("[data-longer]");
    if (!button) { return; }
    store.keepTimes(touchedNow(store.times(), button.dataset.longer, Date.now()));
    draw();
  });
  document.addEventListener("visibilitychange", function () {
    if (document.hidden) { return; }
    const gone = erase((store.learner() || { class: "" }).class);
    erased = erased.concat(gone);
    if (gone.length && page.erased) { page.erased(); }
    if (shown) { draw(); }
  });
  return {
    /** Show the warnings, now and whenever the page comes to the front. */
    show: function () {
      shown = true;
      draw();
    }
  };
};
