/* A position that the receiver gave, in words to read out. Knows no page and asks no receiver. */

/**
 * @typedef {{ latitude: number, longitude: number, accuracy_m: number, at: number }} Position
 */

const FEET_IN_A_METER = 1 / 0.3048;
/** Five decimals are about 1 m (4 ft) on the ground. */
const DECIMALS = 5;

/**
 * What a receiver gave, or null where it is no place on earth.
 *
 * @param {any} given  Coordinates as browsers give them, with the time.
 * @returns {Position | null}
 */
export const checkedPosition = (given) => {
  const within = (value, most) => typeof value === "number" && Math.abs(value) <= most;
  if (!given || !within(given.latitude, 90) || !within(given.longitude, 180)) return null;
  if (!Number.isFinite(given.accuracy_m) || given.accuracy_m < 0 || !Number.isFinite(given.at)) return null;
  return { latitude: given.latitude, longitude: given.longitude, accuracy_m: given.accuracy_m, at: given.at };
};

/**
 * Latitude and longitude in degrees, in the order in which they are read out.
 *
 * @param {Position} position
 * @returns {string}
 */
export const coordinates = ({ latitude, longitude }) => latitude.toFixed(DECIMALS) + ", " + longitude.toFixed(DECIMALS);

/**
 * How far off it may be, rounded up to whole figures: never better than the receiver said.
 *
 * @param {Position} position
 * @returns {{ feet: number, meters: number }}
 */
export const accuracyIn = ({ accuracy_m }) => ({ feet: Math.ceil(accuracy_m * FEET_IN_A_METER), meters: Math.ceil(accuracy_m) });

/**
 * Which text tells why there is no position: the code of a GeolocationPositionError, or none at all.
 *
 * @param {any} code
 * @returns {"position_refused" | "position_unavailable" | "position_late" | "position_none"}
 */
export const whyNoPosition = (code) => (code === 1 ? "position_refused" : code === 2 ? "position_unavailable" : code === 3 ? "position_late" : "position_none");
