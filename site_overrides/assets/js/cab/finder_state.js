/* What the driver has answered in the finder, as a value: every change makes a new one, and nothing here touches
   the page. While a driver has named what hides the vehicle and not yet how far off, that side has no distance:
   a number for a road in full sight would be too short. */

/**
 * @typedef {"behind" | "ahead"} Side
 * @typedef {object} FinderState
 * @property {Record<string, number>} at  The place chosen on each axis; 0 for a side that is not hidden, or not answered.
 * @property {Record<Side, string>} causes  What hides the vehicle from each side; empty for nothing.
 */

/** @type {Side[]} */
export const FINDER_SIDES = ["behind", "ahead"];

/**
 * The state before anything is tapped.
 *
 * @param {Record<string, number>} chosen  The places that stand chosen at first.
 * @returns {FinderState}
 */
export const freshFinder = (chosen) => ({ at: { behind: 0, ahead: 0, ...chosen }, causes: { behind: "", ahead: "" } });

/**
 * Another place on an axis; sides that the road does not have lose their answers.
 *
 * @param {FinderState} state
 * @param {string} axis
 * @param {number} place
 * @param {Side[][]} sidesByRoad  The sides that traffic comes from, for each road.
 * @returns {FinderState}
 */
export const withPlace = (state, axis, place, sidesByRoad) => {
  const at = { ...state.at, [axis]: place };
  const causes = { ...state.causes };
  for (const side of FINDER_SIDES) {
    if (sidesByRoad[at.road].includes(side)) continue;
    at[side] = 0;
    causes[side] = "";
  }
  return { at, causes };
};

/**
 * Another cause on a side. A new cause stands somewhere else, so how far off it is has to be answered anew.
 *
 * @param {FinderState} state
 * @param {Side} side
 * @param {string} cause  Empty where nothing hides the vehicle.
 * @returns {FinderState}
 */
export const withCause = (state, side, cause) => {
  if (cause === state.causes[side]) return state;
  return { at: { ...state.at, [side]: 0 }, causes: { ...state.causes, [side]: cause } };
};

/**
 * The sides that are hidden by something, without an answer yet how far off.
 *
 * @param {FinderState} state
 * @param {Side[][]} sidesByRoad
 * @returns {Side[]}
 */
export const unansweredSides = (state, sidesByRoad) =>
  sidesByRoad[state.at.road].filter((side) => state.causes[side] !== "" && !state.at[side]);

/**
 * The state kept by an earlier page, as far as it still means something.
 *
 * @param {any} kept  Whatever storage held.
 * @param {FinderState} fresh
 * @param {(axis: string, place: unknown) => boolean} offered  Whether the page offers that place on that axis.
 * @param {Record<string, unknown>} causes  The causes that the page offers.
 * @returns {FinderState}
 */
export const recalledFinder = (kept, fresh, offered, causes) => {
  const at = { ...fresh.at };
  const said = { ...fresh.causes };
  const keptAt = (kept && kept.at) || {};
  const keptCauses = (kept && kept.causes) || {};
  for (const axis of Object.keys(at)) if (offered(axis, keptAt[axis])) at[axis] = keptAt[axis];
  for (const side of FINDER_SIDES) {
    if (Object.prototype.hasOwnProperty.call(causes, keptCauses[side])) said[side] = keptCauses[side];
    else at[side] = 0;
  }
  return { at, causes: said };
};
