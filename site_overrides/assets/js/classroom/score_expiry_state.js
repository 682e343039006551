/* When the results of a class are erased from a device: so many days after its last answer, and never without a warning
   first. Knows no page and no storage. Each class has its own days, because a device serves one class after the other. */
import { expiryOf } from "../cab/expiry_state.js";

/**
 * @typedef {{ touched?: number, warned?: number, erased?: number }} ClassTimes
 *   Its last answer, the first warning since, and when the results before were erased.
 * @typedef {Record<string, ClassTimes>} Times
 * @typedef {{ class: string, state: "kept" | "warned" | "due", erases: number, warned: number | null }} Standing
 */

const timeOf = (/** @type {unknown} */ value) => typeof value === "number" && Number.isFinite(value) ? value : null;

/**
 * How it stands with every class that the device holds results of, in the order of their names. A class without a time
 * is from before the setting: its days begin now.
 * @param {{ held: string[], times: Times, days: number, now: number }} given
 * @returns {Standing[]}
 */
export const standings = ({ held, times, days, now }) => [...new Set(held)].sort().map((name) => {
  const own = times[name] || {};
  const touched = timeOf(own.touched);
  return /** @type {Standing} */ ({ class: name, ...expiryOf({ touched: touched === null ? now : touched, warned: timeOf(own.warned), days, now }) });
});

/** The times once a class has answered, or somebody wants its results kept longer. */
export const touchedNow = (/** @type {Times} */ times, /** @type {string} */ name, /** @type {number} */ now) => ({ ...times, [name]: { touched: now } });

/** The times once the warnings were shown, with the days of classes that had none yet. */
export const shownNow = (/** @type {Times} */ times, /** @type {Standing[]} */ shown, /** @type {number} */ now) => shown.reduce((all, { class: name, warned }) => {
  const touched = timeOf((all[name] || {}).touched);
  const own = { touched: touched === null ? now : touched };
  return { ...all, [name]: warned === null ? own : { ...own, warned } };
}, times);

/** The times once the results of a class are erased: only that, and when. */
export const erasedNow = (/** @type {Times} */ times, /** @type {string} */ name, /** @type {number} */ now) => ({ ...times, [name]: { erased: now } });

/** When the results of classes of which nothing is held any more were erased, latest first. */
export const erasures = (/** @type {Times} */ times, /** @type {string[]} */ held) => Object.entries(times)
  .map(([name, { erased }]) => ({ class: name, erased: timeOf(erased) }))
  .filter((one) => one.erased !== null && !held.includes(one.class))
  .sort((one, other) => Number(other.erased) - Number(one.erased));
