/* The guided walk with the warning devices, as a value: what the driver has answered, and which devices stand. Every
   change makes a new value, and nothing here touches the page. A side on which something hides the vehicle has no
   distance until all its questions are answered: a number for a road in full sight would be too short. */

/**
 * @typedef {"behind" | "ahead"} Side
 * @typedef {object} Hidden  What hides the vehicle from one side.
 * @property {string | null} cause  Empty for nothing; null until answered.
 * @property {number} sight  1 and up: a distance of the list; 0 until answered.
 * @property {string | null} end  Where it begins, or ends beside the road: "within", "unknown", or "1" and up.
 *
 * @typedef {object} Walk
 * @property {number} place  Where the vehicle stands: a position in the list of places; -1 until answered.
 * @property {number} kind  Which of that place's roads it is; -1 until answered.
 * @property {Record<string, number>} at  Positions of speed, visibility, grade and surface.
 * @property {boolean} set  Whether the driver has confirmed these.
 * @property {Record<Side, Hidden>} hidden
 * @property {Record<string, number>} carried  Devices carried on after looking back: number to feet.
 * @property {Record<string, boolean>} seen  Devices from which traffic is in view for long enough.
 * @property {Record<string, {at: number, ft: number, where: string}>} stood  When and where each device was set, in words.
 * @property {Record<string, number>} left  Devices left out, with the time.
 * @property {number | null} refused  When the driver said that it is not safe to go.
 *
 * @typedef {object} Offered  What the page offers.
 * @property {{roads: string[]}[]} places
 * @property {Record<string, Side[]>} roads  The sides that traffic comes from.
 * @property {Record<string, number>} sizes  How many choices there are, by name; also of "sight", "near" and "far".
 * @property {Record<string, unknown>} causes
 */

/** @type {Side[]} */
export const WALK_SIDES = ["behind", "ahead"];

const freshHidden = () => ({ cause: null, sight: 0, end: null });
const freshSteps = () => ({ carried: {}, seen: {}, stood: {}, left: {}, refused: null });

/**
 * A walk before anything is answered.
 *
 * @param {Record<string, number>} at  Speed, visibility, grade and surface, as they stand chosen at first.
 * @param {boolean} set  Whether they are remembered and need no confirming.
 * @returns {Walk}
 */
export const freshWalk = (at, set = false) => ({ place: -1, kind: -1, at: { ...at }, set, hidden: { behind: freshHidden(), ahead: freshHidden() }, ...freshSteps() });

/** The kind of road, empty until it is known. @param {Walk} walk @param {Offered} offered */
export const walkRoad = (walk, offered) => {
  const place = offered.places[walk.place];
  return (place && place.roads[place.roads.length === 1 ? 0 : walk.kind]) || "";
};

/** The sides that traffic comes from. @param {Walk} walk @param {Offered} offered @returns {Side[]} */
export const walkSides = (walk, offered) => offered.roads[walkRoad(walk, offered)] || [];

/* On another kind of road the devices stand elsewhere, and sides that it does not have lose their answers. */
const onRoad = (walk, offered) => {
  const sides = walkSides(walk, offered);
  const hidden = {};
  for (const side of WALK_SIDES) hidden[side] = sides.includes(side) ? walk.hidden[side] : freshHidden();
  return { ...walk, hidden, ...freshSteps() };
};

/** @param {Walk} walk @param {number} place @param {Offered} offered @returns {Walk} */
export const withPlace = (walk, place, offered) => (place === walk.place ? walk : onRoad({ ...walk, place, kind: -1 }, offered));

/** @param {Walk} walk @param {number} kind @param {Offered} offered @returns {Walk} */
export const withKind = (walk, kind, offered) => (kind === walk.kind ? walk : onRoad({ ...walk, kind }, offered));

/* New distances: what was found by looking back counts no more; what stands, stands. */
const anew = (walk) => ({ ...walk, carried: {}, seen: {} });

/** Another speed, visibility, grade or surface. @param {Walk} walk @param {string} axis @param {number} position @returns {Walk} */
export const withCondition = (walk, axis, position) => anew({ ...walk, at: { ...walk.at, [axis]: position } });

/** @param {Walk} walk @returns {Walk} */
export const withConditionsSet = (walk) => ({ ...walk, set: true });

const withHidden = (walk, side, hidden) => anew({ ...walk, hidden: { ...walk.hidden, [side]: hidden } });

/** What hides the vehicle. A new cause is somewhere else, so all its distances are asked anew. @param {Walk} walk @param {Side} side @param {string} cause @returns {Walk} */
export const withCause = (walk, side, cause) => (cause === walk.hidden[side].cause ? walk : withHidden(walk, side, { ...freshHidden(), cause }));

/** How far the pavement is in sight; where it begins or ends is asked anew. @param {Walk} walk @param {Side} side @param {number} sight @returns {Walk} */
export const withSight = (walk, side, sight) => (sight === walk.hidden[side].sight ? walk : withHidden(walk, side, { ...walk.hidden[side], sight, end: null }));

/** @param {Walk} walk @param {Side} side @param {string} end @returns {Walk} */
export const withEnd = (walk, side, end) => withHidden(walk, side, { ...walk.hidden[side], end });

/** Every screen of the walk in its order, as far as the answers go. @param {Walk} walk @param {Offered} offered @param {number} devices  How many there are; 0 before the plan. @returns {string[]} */
export const walkViews = (walk, offered, devices) => {
  const views = ["road"];
  const place = offered.places[walk.place];
  if (place && place.roads.length > 1) views.push("kind");
  views.push("conditions");
  for (const side of walkSides(walk, offered)) {
    views.push(side);
    if (walk.hidden[side].cause) views.push(side + "-sight", side + "-end");
  }
  views.push("plan");
  for (let number = 1; number <= devices; number += 1) views.push("device-" + number);
  return devices ? [...views, "back"] : views;
};

/** Whether a question has its answer. @param {Walk} walk @param {string} view */
const isAnswered = (walk, view) => {
  if (view === "road") return walk.place >= 0;
  if (view === "kind") return walk.kind >= 0;
  if (view === "conditions") return walk.set;
  const [side, part] = view.split("-");
  const { cause, sight, end } = walk.hidden[side];
  return part === "sight" ? sight > 0 : part === "end" ? end !== null : cause !== null;
};

/** The first question without an answer; empty when all have one. @param {Walk} walk @param {Offered} offered */
export const openQuestion = (walk, offered) => walkViews(walk, offered, 0).find((view) => view !== "plan" && !isAnswered(walk, view)) || "";

/** The devices that neither stand nor are left out, by number. @param {Walk} walk @param {number} devices */
export const devicesToGo = (walk, devices) =>
  Array.from({ length: devices }, (_, at) => at + 1).filter((number) => !(number in walk.stood) && !(number in walk.left));

/** The screen that the driver has reached. @param {Walk} walk @param {string} open  The open question, if any. @param {number} devices */
export const reachedView = (walk, open, devices) => {
  if (walk.refused !== null) return "stop";
  if (open) return open;
  const toGo = devicesToGo(walk, devices);
  const begun = toGo.length < devices;
  return !begun ? "plan" : toGo.length ? "device-" + toGo[0] : "back";
};

/** A device carried on to another distance, from which the driver has to look back again. @param {Walk} walk @param {number} number @param {number} ft @returns {Walk} */
export const withCarriedOn = (walk, number, ft) => ({ ...walk, carried: { ...walk.carried, [number]: ft }, seen: { ...walk.seen, [number]: false } });

/** @param {Walk} walk @param {number} number @returns {Walk} */
export const withSeen = (walk, number) => ({ ...walk, seen: { ...walk.seen, [number]: true } });

const withoutDevice = (table, number) => Object.fromEntries(Object.entries(table).filter(([key]) => key !== String(number)));

/** @param {Walk} walk @param {number} number @param {number} at @param {number} ft @param {string} where @returns {Walk} */
export const withStood = (walk, number, at, ft, where) => ({ ...walk, stood: { ...walk.stood, [number]: { at, ft, where } }, left: withoutDevice(walk.left, number) });

/** @param {Walk} walk @param {number} number @param {number} at @returns {Walk} */
export const withLeftOut = (walk, number, at) => ({ ...walk, left: { ...walk.left, [number]: at }, stood: withoutDevice(walk.stood, number) });

/** What was said of a device is taken back. @param {Walk} walk @param {number} number @returns {Walk} */
export const withDeviceOpen = (walk, number) => ({ ...walk, left: withoutDevice(walk.left, number), stood: withoutDevice(walk.stood, number) });

/** Not safe to go, at a time; null takes it back. @param {Walk} walk @param {number | null} at @returns {Walk} */
export const withRefused = (walk, at) => ({ ...walk, refused: at });

/**
 * The situation as the placement model takes it. Call it only when no question is open.
 *
 * @param {Walk} walk
 * @param {Offered} offered
 * @param {Record<"sight" | "near" | "far", number[]>} lengths  The distances of the lists, in feet.
 */
export const walkSituation = (walk, offered, lengths) => {
  const view = (side) => {
    const { cause, sight, end } = walk.hidden[side];
    if (!cause || !walkSides(walk, offered).includes(side)) return null;
    const beside = cause === "obstruction";
    const known = end === "unknown" ? null : end === "within" ? 0 : lengths[beside ? "far" : "near"][Number(end) - 1];
    const by = beside ? "obstruction" : cause === "hill" ? "hill" : "curve";
    return { by: [by], sight_ft: lengths.sight[sight - 1], near_ft: beside ? null : known, far_ft: beside ? known : null };
  };
  return { road: walkRoad(walk, offered), ...walk.at, hidden: { behind: view("behind"), ahead: view("ahead") } };
};

const asTable = (value) => (value && typeof value === "object" && !Array.isArray(value) ? value : {});
const isCount = (value, from, below) => Number.isInteger(value) && value >= from && value < below;
const numbered = (value, isGood) => Object.fromEntries(Object.entries(asTable(value)).filter(([key, one]) => /^[1-9]$/.test(key) && isGood(one)));
const isNumber = (value) => typeof value === "number" && Number.isFinite(value);

/**
 * The walk kept by an earlier page, as far as it still means something.
 *
 * @param {any} kept  Whatever storage held.
 * @param {Walk} fresh
 * @param {Offered} offered
 * @returns {Walk}
 */
export const recalledWalk = (kept, fresh, offered) => {
  const { sizes, causes } = offered;
  const { place, kind, at, set, hidden, carried, seen, stood, left, refused } = asTable(kept);
  const walk = { ...fresh, at: { ...fresh.at } };
  if (!isCount(place, 0, offered.places.length)) return walk;
  walk.place = place;
  const { roads } = offered.places[place];
  if (roads.length > 1 && isCount(kind, 0, roads.length)) walk.kind = kind;
  for (const axis of Object.keys(walk.at)) if (isCount(asTable(at)[axis], 0, sizes[axis])) walk.at[axis] = at[axis];
  walk.set = set === true;
  walk.hidden = { behind: freshHidden(), ahead: freshHidden() };
  for (const side of walkSides(walk, offered)) {
    const found = asTable(asTable(hidden)[side]);
    const mine = walk.hidden[side];
    if (found.cause !== "" && !Object.prototype.hasOwnProperty.call(causes, found.cause)) continue;
    mine.cause = found.cause;
    if (!found.cause || !isCount(found.sight, 1, sizes.sight + 1)) continue;
    mine.sight = found.sight;
    const beside = found.cause === "obstruction";
    const isEnd = found.end === "unknown" || (found.end === "within" && !beside) || isCount(Number(found.end || 0), 1, sizes[beside ? "far" : "near"] + 1);
    if (isEnd) mine.end = String(found.end);
  }
  walk.carried = numbered(carried, isNumber);
  walk.seen = numbered(seen, (one) => one === true || one === false);
  walk.stood = numbered(stood, (one) => isNumber(asTable(one).at) && isNumber(asTable(one).ft) && typeof asTable(one).where === "string");
  walk.left = numbered(left, isNumber);
  walk.refused = isNumber(refused) ? refused : null;
  return walk;
};
