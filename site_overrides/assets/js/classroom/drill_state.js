/* The ten-minute drill without a page: which act is due, what was missed, and the clock.
   The clock runs while the learner thinks; walking adds the seconds that were computed for it. */

/**
 * @typedef {{ id: string, text: string, why: string, seconds: number, wrong: { text: string, why: string }[] }} Act
 * @typedef {{ at: number, began: number, ended: number | null, onFoot: number, missed: string[] }} DrillState
 */

/** How many acts that come later stand among the choices. */
export const LATER = 2;

/** @returns {DrillState} */
export const drillBegun = (/** @type {number} */ now) => ({ at: 0, began: now, ended: null, onFoot: 0, missed: [] });

/**
 * The choices now: the act that is due, what must not be done instead, and acts that come later.
 * @param {Act[]} acts
 * @param {DrillState} state
 * @param {(items: any[]) => any[]} shuffled
 */
export const drillChoices = (acts, state, shuffled) => {
  const due = acts[state.at];
  const later = acts.slice(state.at + 1).filter((act) => act.text !== due.text);
  const wrong = due.wrong.map((one) => ({ id: "", text: one.text, why: one.why }));
  const others = shuffled(later).slice(0, LATER).map((act) => ({ id: act.id, text: act.text, why: "" }));
  return shuffled([{ id: due.id, text: due.text, why: "" }, ...wrong, ...others]);
};

/**
 * What a choice leads to: the next act if it was the one due, the same act and a miss if it was not.
 * @param {Act[]} acts
 * @param {DrillState} state
 * @param {string} id  Of the chosen act; "" for what must not be done.
 * @param {number} now
 * @returns {DrillState}
 */
export const drillChosen = (acts, state, id, now) => {
  if (state.ended !== null) return state;
  const due = acts[state.at];
  if (id !== due.id) return state.missed.includes(due.id) ? state : { ...state, missed: [...state.missed, due.id] };
  const at = state.at + 1;
  return { ...state, at, onFoot: state.onFoot + due.seconds, ended: at === acts.length ? now : null };
};

/** Seconds of thinking so far, or until the end. */
export const thinking = (/** @type {DrillState} */ state, /** @type {number} */ now) =>
  Math.max(0, Math.round(((state.ended ?? now) - state.began) / 1000));

/** Seconds on the clock: thinking and walking. */
export const spent = (/** @type {DrillState} */ state, /** @type {number} */ now) => thinking(state, now) + state.onFoot;

/** "9:05", for a number of seconds. */
export const minutes = (/** @type {number} */ seconds) => Math.floor(seconds / 60) + ":" + String(seconds % 60).padStart(2, "0");
