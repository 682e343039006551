/* Answering a lesson without a page: which question is asked, what was answered, and what comes back.
   Every change is a function from one state to the next. */

/**
 * @typedef {{ given: any, sure: boolean | null, right: boolean | null, at: number, seconds: number }} Answer
 *   `sure` is null where the learner said "I do not know"; `right` is null until it is judged.
 * @typedef {{ session: string, seed: number, order: string[], at: number, since: number,
 *   given: any, shown: Answer | null, answers: Record<string, Answer[]>, ended: boolean }} LessonState
 *   `given` is the answer before it is committed, and `shown` the one whose correction is on the screen.
 */

/**
 * The order of a session: a first session as the lesson has it; later ones by-heart boxes first, then shuffled.
 * What was missed or unsure last time comes right after the boxes.
 * @param {{ session: string, slides: string[], boxes: string[], missed: string[] }} what  Slides of the session, in
 *   the lesson's order; the first and the last are its opening and its close.
 * @param {(items: string[]) => string[]} shuffled
 */
export const sessionOrder = ({ session, slides, boxes, missed }, shuffled) => {
  if (session === "first") return slides.slice();
  const [first, last] = [slides[0], slides[slides.length - 1]];
  const asked = slides.slice(1, -1);
  const own = asked.filter((id) => boxes.includes(id));
  const again = missed.filter((id) => !own.includes(id) && id !== first && id !== last);
  const rest = asked.filter((id) => !own.includes(id) && !again.includes(id));
  return [first, ...shuffled(own), ...shuffled(again), ...shuffled(rest), last];
};

/**
 * @param {string} session
 * @param {number} seed
 * @param {string[]} order
 * @param {number} now
 * @returns {LessonState}
 */
export const begun = (session, seed, order, now) =>
  ({ session, seed, order, at: 0, since: now, given: null, shown: null, answers: {}, ended: false });

export const nowAsked = (/** @type {LessonState} */ state) => state.order[state.at];

/** Sets what the learner would answer; nothing changes once the answer is shown. */
export const give = (/** @type {LessonState} */ state, /** @type {any} */ given) =>
  state.shown ? state : { ...state, given };

/** Adds a line to the order in which by-heart lines were tapped; a second tap on the last one takes it back. */
export const tapLine = (/** @type {LessonState} */ state, /** @type {number} */ line) => {
  const taken = Array.isArray(state.given) ? state.given : [];
  if (state.shown) return state;
  if (taken[taken.length - 1] === line) return { ...state, given: taken.length > 1 ? taken.slice(0, -1) : null };
  return taken.includes(line) ? state : { ...state, given: [...taken, line] };
};

/**
 * Commits the answer, and only now may it be shown.
 * @param {LessonState} state
 * @param {boolean | null} sure  Null for "I do not know".
 * @param {boolean | null} right  Null where the learner judges it.
 * @param {number} now
 * @returns {LessonState}
 */
export const commit = (state, sure, right, now) => {
  if (state.shown) return state;
  const shown = { given: sure === null ? null : state.given, sure, right: sure === null ? false : right, at: now, seconds: Math.max(0, Math.round((now - state.since) / 1000)) };
  return recorded({ ...state, shown });
};

/** The learner's own judgment of an answer that was shown. */
export const judge = (/** @type {LessonState} */ state, /** @type {boolean} */ right) =>
  state.shown && state.shown.right === null ? recorded({ ...state, shown: { ...state.shown, right } }) : state;

/** How often a question is asked in one session at most: what is missed three times needs the trainer. */
export const MOST_TRIES = 3;

const recorded = (/** @type {LessonState} */ state) => {
  const { shown } = state;
  if (!shown || shown.right === null) return state;
  const id = nowAsked(state);
  const tries = [...(state.answers[id] || []), shown];
  const waiting = state.order.indexOf(id, state.at + 1) >= 0;
  const order = shown.right || waiting || tries.length >= MOST_TRIES ? state.order : [...state.order.slice(0, -1), id, ...state.order.slice(-1)];
  return { ...state, order, answers: { ...state.answers, [id]: tries } };
};

/** Whether the session may go on: what is asked has been answered and judged. */
export const mayGoOn = (/** @type {LessonState} */ state, /** @type {boolean} */ asks) =>
  !asks || (state.shown !== null && state.shown.right !== null);

/** @returns {LessonState} */
export const goOn = (/** @type {LessonState} */ state, /** @type {number} */ now) => {
  const at = Math.min(state.order.length - 1, state.at + 1);
  return { ...state, at, since: now, given: null, shown: null, ended: at === state.order.length - 1 };
};

/**
 * What comes back next time: whatever was not right, and sure, at the first answer.
 * @param {LessonState} state
 */
export const comesBack = (state) =>
  Object.keys(state.answers).filter((id) => !(state.answers[id][0].right && state.answers[id][0].sure));

/** @param {LessonState} state */
export const tally = (state) => {
  const all = Object.values(state.answers);
  return { asked: all.length, right: all.filter((tries) => tries[0].right).length,
    sureAndWrong: all.filter((tries) => tries[0].sure && !tries[0].right).length };
};

/**
 * A kept state if it can be gone on with: all of its slides are still there, and it is not at its end.
 * @param {any} kept
 * @param {string[]} known
 * @returns {LessonState | null}
 */
export const resumed = (kept, known) => {
  const fits = kept && Array.isArray(kept.order) && kept.order.every((/** @type {string} */ id) => known.includes(id))
    && Number.isInteger(kept.at) && kept.at >= 0 && kept.at < kept.order.length && typeof kept.answers === "object";
  return fits && !kept.ended ? kept : null;
};

/** Which of the tapped lines stand where they belong: the line at place n should be n. */
export const linesRight = (/** @type {number[]} */ tapped, /** @type {number} */ count) =>
  Array.from({ length: count }, (none, place) => tapped[place] === place);

/** A seed from words, the same on every device: FNV-1a over their characters. */
export const seedOf = (/** @type {string} */ words) => {
  let hash = 0x811C9DC5;
  for (const letter of words) { hash = Math.imul(hash ^ letter.codePointAt(0), 0x01000193) >>> 0; }
  return hash;
};
