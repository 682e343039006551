/* When a record is erased: so many days after its last entry, and never without a warning first. Knows no page.

   The warning counts, and not the calendar alone: a tablet that lay in a drawer, or whose clock was wrong, warns when
   it is opened and erases only days later. */

const DAY_MS = 86400000;
export const WARNED_DAYS = 7;

/**
 * @typedef {{ state: "none" | "kept" | "warned" | "due", erases: number | null, warned: number | null }} Expiry
 *   `erases`: when it is erased. `warned`: when the warning began that counts; it is to be kept.
 */

/**
 * How it stands with a record. With "warned" a warning is to be shown.
 *
 * @param {{ touched: number | null, warned: number | null, days: number, now: number }} given
 *   `touched`: its last entry; null where there is none. `warned`: when the first warning was shown since then.
 * @returns {Expiry}
 */
export const expiryOf = ({ touched, warned, days, now }) => {
  if (touched === null) return { state: "none", erases: null, warned: null };
  const usual = touched + days * DAY_MS;
  if (now < usual - WARNED_DAYS * DAY_MS) return { state: "kept", erases: usual, warned: null };
  const since = warned === null || warned < touched || warned > now ? now : warned;
  const erases = Math.max(usual, since + WARNED_DAYS * DAY_MS);
  return { state: now < erases ? "warned" : "due", erases, warned: since };
};
