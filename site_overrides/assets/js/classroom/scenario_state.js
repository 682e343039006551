/* A scenario as it is played, as a value: the choices taken so far. Every change makes a new value, and nothing here
   touches the page. Whatever was played can be written as a short text, and read again after a reload. */

/**
 * @typedef {object} Choice
 * @property {string} to  The question or end that follows.
 * @property {boolean} best
 * @property {number} seconds  On foot beside traffic.
 *
 * @typedef {object} Play  The scenario, as the page carries it.
 * @property {string} start
 * @property {Record<string, {choices: Choice[]}>} moments
 * @property {string[]} ends
 *
 * @typedef {object} Played
 * @property {number[]} path  Positions of the choices taken.
 * @property {boolean} told  Whether what follows from the last choice is still on the screen.
 * @property {number} back  How many choices were taken back.
 *
 * @typedef {object} Place
 * @property {"moment" | "choice" | "end"} kind
 * @property {string} id  Of the question or end; of a choice, the question that it answers.
 * @property {number} choice  The choice that was taken; -1 where none is.
 */

const LETTERS = "abcdef";

/** @returns {Played} */
export const begun = () => ({ path: [], told: false, back: 0 });

/**
 * The question or end that a path leads to, and each question before it with the choice taken.
 *
 * @param {Play} play
 * @param {number[]} path
 * @returns {{at: string, taken: {moment: string, choice: number}[]} | null}  Null for a path that the scenario lacks.
 */
export const followed = (play, path) => {
  let at = play.start;
  const taken = [];
  for (const choice of path) {
    const moment = play.moments[at];
    if (!moment || !moment.choices[choice]) { return null; }
    taken.push({ moment: at, choice });
    at = moment.choices[choice].to;
  }
  return { at, taken };
};

/**
 * Where a game stands.
 *
 * @param {Play} play
 * @param {Played} played
 * @returns {Place}
 */
export const placeOf = (play, played) => {
  const { at, taken } = followed(play, played.path) || { at: play.start, taken: [] };
  const last = taken[taken.length - 1];
  if (played.told && last) { return { kind: "choice", id: last.moment, choice: last.choice }; }
  return { kind: play.ends.includes(at) ? "end" : "moment", id: at, choice: -1 };
};

/**
 * The game after a choice; unchanged where no question is on the screen or it has no such choice.
 *
 * @param {Play} play
 * @param {Played} played
 * @param {number} choice
 * @returns {Played}
 */
export const chosen = (play, played, choice) => {
  const place = placeOf(play, played);
  if (place.kind !== "moment" || !play.moments[place.id].choices[choice]) { return played; }
  return { ...played, path: [...played.path, choice], told: true };
};

/**
 * The game after somebody has read what follows.
 *
 * @param {Played} played
 * @returns {Played}
 */
export const readOn = (played) => (played.told ? { ...played, told: false } : played);

/**
 * One screen back. From what follows to its question, the choice is taken back, and counted.
 *
 * @param {Played} played
 * @returns {Played}
 */
export const steppedBack = (played) => {
  if (!played.path.length) { return played; }
  if (!played.told) { return { ...played, told: true }; }
  return { path: played.path.slice(0, -1), told: false, back: played.back + 1 };
};

/**
 * The path of the best choices, from the start.
 *
 * @param {Play} play
 * @returns {number[]}
 */
export const bestPath = (play) => {
  const path = [];
  let at = play.start;
  while (play.moments[at]) {
    const choice = play.moments[at].choices.findIndex((one) => one.best);
    path.push(choice);
    at = play.moments[at].choices[choice].to;
  }
  return path;
};

/**
 * @param {Play} play
 * @param {number[]} path
 * @returns {number}  Seconds on foot beside traffic.
 */
export const secondsOf = (play, path) => {
  const way = followed(play, path);
  return way ? way.taken.reduce((sum, { moment, choice }) => sum + play.moments[moment].choices[choice].seconds, 0) : 0;
};

/**
 * What there is to say about a game that has ended.
 *
 * @param {Play} play
 * @param {Played} played
 */
export const lookedBack = (play, played) => {
  const { at, taken } = followed(play, played.path) || { at: play.start, taken: [] };
  const rows = taken.map(({ moment, choice }) => {
    const { choices } = play.moments[moment];
    return { moment, choice, best: choices.findIndex((one) => one.best), right: choices[choice].best };
  });
  const best = bestPath(play);
  return {
    end: at,
    rows,
    off: rows.findIndex((row) => !row.right),
    wrong: rows.filter((row) => !row.right).length,
    seconds: secondsOf(play, played.path),
    bestSeconds: secondsOf(play, best),
    bestRows: /** @type {{taken: {moment: string, choice: number}[]}} */ (followed(play, best)).taken,
    back: played.back,
  };
};

/**
 * A game as a short text for the page's address: the letters of the choices, a dot while what follows is on the
 * screen, and how many were taken back.
 *
 * @param {Played} played
 * @returns {string}
 */
export const written = (played) => `at-${played.path.map((choice) => LETTERS[choice]).join("")}${played.told ? "." : ""}${played.back ? "-" + played.back : ""}`;

/**
 * The game that a text stands for; null for any other text, or one that the scenario has no path for.
 *
 * @param {Play} play
 * @param {string} text
 * @returns {Played | null}
 */
export const readAgain = (play, text) => {
  const found = /^at-([a-f]{0,40})(\.?)(?:-([1-9][0-9]{0,3}))?$/.exec(text);
  if (!found) { return null; }
  const path = [...found[1]].map((letter) => LETTERS.indexOf(letter));
  if (!followed(play, path) || (found[2] && !path.length)) { return null; }
  return { path, told: Boolean(found[2]), back: Number(found[3] || 0) };
};
