/* Hands free without a page: when to give a signal, and what to read aloud. */

const SIGNALS_AT_MS = [300000, 120000, 0];

/**
 * The minutes left that were passed between two looks at the clock: 5, 2 or 0, the last of them if several;
 * null where none was. A clock that was set anew, or a page that slept past the end, gives no old signal twice.
 *
 * @param {number | null} before  Milliseconds left at the look before, null where the clock did not run.
 * @param {number | null} after  Milliseconds left now, null where it does not run.
 * @returns {5 | 2 | 0 | null}
 */
export const signalBetween = (before, after) => {
  if (before === null || after === null || after >= before) return null;
  const passed = SIGNALS_AT_MS.filter((at) => before > at && after <= at);
  if (!passed.length) return null;
  return /** @type {5 | 2 | 0} */ (passed[passed.length - 1] / 60000);
};

/**
 * The tones of a signal: 3 short ones for 5 minutes, 2 longer ones for 2, one long one at the end.
 *
 * @param {5 | 2 | 0} minutes
 * @returns {{ at_s: number, long_s: number, pitch_hz: number }[]}
 */
export const tonesFor = (minutes) => {
  if (minutes === 0) return [{ at_s: 0, long_s: 1.5, pitch_hz: 660 }];
  const count = minutes === 5 ? 3 : 2;
  const long_s = minutes === 5 ? 0.15 : 0.35;
  return Array.from({ length: count }, (_, at) => ({ at_s: at * (long_s + 0.15), long_s, pitch_hz: 880 }));
};

/**
 * The same signal for the hand: milliseconds of shaking and of rest in turn.
 *
 * @param {5 | 2 | 0} minutes
 * @returns {number[]}
 */
export const shakesFor = (minutes) =>
  tonesFor(minutes).flatMap(({ long_s }, at) => (at ? [150, long_s * 1000] : [long_s * 1000]));

/**
 * What is read aloud of a step: its order alone, as one text.
 *
 * @param {string} order
 */
export const spokenOrder = (order) => order.replace(/\s+/g, " ").trim();
