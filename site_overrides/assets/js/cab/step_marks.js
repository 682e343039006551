/* Which steps of a procedure are done, which do not apply here, and which one is next. Knows no page. */

/**
 * @typedef {{ [key: string]: number }} Times  A time by the key of a step.
 * @typedef {{ done: Times, absent: Times, earlier: Times }} Marks  A step stands in one of them, or in none.
 *   Earlier: the procedure that led to this one has the same step, and it was done there.
 * @typedef {"done" | "absent" | "earlier" | "open"} StepState
 * @typedef {{ key: string, text: string }} NamedStep
 */

/**
 * @param {string} key
 * @param {Marks} marks
 * @returns {StepState}
 */
export const stateOf = (key, marks) => (key in marks.done ? "done" : key in marks.absent ? "absent" : key in marks.earlier ? "earlier" : "open");

/**
 * The position of the first step that is still to do; as many as there are steps if there is none.
 *
 * @param {string[]} keys
 * @param {Marks} marks
 * @returns {number}
 */
export const firstOpenStep = (keys, marks) => {
  const at = keys.findIndex((key) => stateOf(key, marks) === "open");
  return at < 0 ? keys.length : at;
};

/**
 * The marks after one step got another state; the marks passed in stay as they are.
 *
 * @param {Marks} marks
 * @param {string} key
 * @param {StepState} state
 * @param {number} at
 * @returns {Marks}
 */
export const marked = (marks, key, state, at) => {
  const without = (times) => Object.fromEntries(Object.entries(times).filter(([other]) => other !== key));
  const done = without(marks.done);
  const absent = without(marks.absent);
  if (state === "done") done[key] = at;
  if (state === "absent") absent[key] = at;
  const earlier = without(marks.earlier);
  if (state === "earlier") earlier[key] = at;
  return { done, absent, earlier };
};

/* The id that shared steps have in every procedure: the last part of the key. */
const sharedId = (key) => key.slice(key.lastIndexOf("/") + 1);

/**
 * Which open steps were done before, in the procedures that led here: same id, same words, and since the vehicle
 * stopped. Whoever is led on does not do them again unasked.
 *
 * @param {NamedStep[]} steps  Of the procedure that was opened.
 * @param {NamedStep[]} before  Of the procedures that led to it.
 * @param {Marks} marks
 * @param {number} since  When the vehicle stopped.
 * @returns {Times}
 */
export const doneBefore = (steps, before, marks, since) => {
  const found = {};
  for (const { key, text } of steps.filter((step) => stateOf(step.key, marks) === "open")) {
    const same = before.find((other) => other.key !== key && sharedId(other.key) === sharedId(key) && other.text === text && marks.done[other.key] >= since);
    if (same) found[key] = marks.done[same.key];
  }
  return found;
};

/**
 * The next position from `at` on, in steps of `by`, that is not a step done earlier; the ends count as positions.
 *
 * @param {string[]} keys
 * @param {Marks} marks
 * @param {number} at
 * @param {1 | -1} by
 * @returns {number}
 */
export const nextAsked = (keys, marks, at, by) => {
  let next = at + by;
  while (next >= 0 && next < keys.length && stateOf(keys[next], marks) === "earlier") next += by;
  return next;
};
