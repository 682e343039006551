/* The list before the trip without a page: which points are right, since when, and which are still open. */

/**
 * @typedef {{ done: number, of: number, begun: number | null, ended: number | null }} TripState
 *   Points ticked, points that apply, and the times of the first and the last tick; `ended` only when none is open.
 */

/**
 * @param {Record<string, unknown>} ticks  Times by point; what is no time counts as no tick.
 * @param {string[]} points  The points that apply to this vehicle.
 * @returns {TripState}
 */
export const tripState = (ticks, points) => {
  const times = points.map((point) => ticks[point]).filter((at) => typeof at === "number");
  const whole = points.length > 0 && times.length === points.length;
  return {
    done: times.length,
    of: points.length,
    begun: times.length ? Math.min(...times) : null,
    ended: whole ? Math.max(...times) : null,
  };
};
