/* Where a driver came from: the places left for another procedure, oldest first. Nothing here knows the page. */

/**
 * @typedef {{ screen: string, view: string }} Place
 * @typedef {Place & { before: Place | null }} Left  With the step that the tools of that place led back to.
 */

/** Longer chains than this come from going round in circles; the oldest place is forgotten. */
const MOST_LEFT = 8;

/**
 * The trail after somebody left `from` for another procedure. A screen stands in it once.
 *
 * @param {Left[]} trail
 * @param {Place} from
 * @param {Place | null} before
 * @returns {Left[]}
 */
export const departed = (trail, from, before) => [...trail.filter((left) => left.screen !== from.screen), { screen: from.screen, view: from.view, before }].slice(-MOST_LEFT);

/**
 * The trail after somebody arrived at a screen: whoever is back at a place left everything behind it.
 *
 * @param {Left[]} trail
 * @param {string} screen
 * @returns {Left[]}
 */
export const returned = (trail, screen) => {
  const at = trail.findIndex((left) => left.screen === screen);
  return at < 0 ? trail : trail.slice(0, at);
};

/**
 * What was kept, as far as it names screens of this page.
 *
 * @param {any} kept
 * @param {(screen: string) => boolean} known
 * @returns {Left[]}
 */
export const recalledTrail = (kept, known) => {
  const place = (one) => Boolean(one) && typeof one.screen === "string" && typeof one.view === "string" && known(one.screen);
  const found = Array.isArray(kept) ? kept.filter(place) : [];
  return found.map(({ screen, view, before }) => ({ screen, view, before: place(before) ? { screen: before.screen, view: before.view } : null })).slice(-MOST_LEFT);
};
