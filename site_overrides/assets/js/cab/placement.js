/* The placement model: where the warning devices of a rule set go, and what drivers then get. Pure functions of plain
   data, without a page. The figures, the rule and the templates of every sentence come from Python, which describes
   them in outputs/cab/placement_data.py; the steps are those of geometry/placement.py and geometry/simple_view.py,
   and a test compares both. Lengths are in feet, times in seconds. */

/**
 * @typedef {"behind" | "ahead"} Side
 * @typedef {object} HiddenView  What hides the vehicle from one side.
 * @property {("curve" | "hill" | "obstruction")[]} by  Of several the worst result counts.
 * @property {number} sight_ft  From the vehicle to where its driver loses sight of the pavement of the approaching lane.
 * @property {number | null} near_ft  To the near end of the curve or hill; 0 within it; null where unknown.
 * @property {number | null} far_ft  To the far end of an obstruction beside a straight road; null where unknown.
 *
 * @typedef {object} Situation
 * @property {string} road
 * @property {number} speed  Position in the list of speeds, as the next two in theirs.
 * @property {number} grade
 * @property {number} visibility
 * @property {string} surface
 * @property {Record<Side, HiddenView | null>} hidden
 */

const PLACEMENT_VERSION = 3;

/**
 * @param {any} data  As outputs/cab/placement_data.py describes it.
 */
export const createPlacement = (data) => {
  if (!data || data.version !== PLACEMENT_VERSION) throw new Error("placement data of another version");
  const { rules, constants, messages } = data;
  const { fuzz } = constants;
  const SIDES = ["behind", "ahead"];

  /* Rounding as in Python: halves go to the even digit. */
  const rounded = (value, decimals = 0) => {
    const scaled = value * 10 ** decimals;
    const tie = Number.isInteger(value * 2 ** (decimals + 1)) && Math.abs(scaled % 1) === 0.5;
    return tie ? (2 * Math.round(scaled / 2)) / 10 ** decimals : Number(value.toFixed(decimals));
  };
  const wholeUp = (value, step = 1) => Math.ceil((value - fuzz) / step) * step;
  const wholeDown = (value, step = 1) => Math.floor((value + fuzz) / step) * step;
  const upFt = (ft) => (ft === Infinity ? ft : wholeUp(ft, rules.unit_ft));
  const downFt = (ft) => (ft === Infinity ? ft : wholeDown(ft, rules.unit_ft));
  const tenths = (value) => rounded(value, 1) + 0;
  const tenthsUp = (value) => tenths(wholeUp(value, 0.1));
  const feetPerSecond = (mph) => (mph * constants.feet_per_mile) / constants.seconds_per_hour;
  const secondsAt = (ft, mph) => ft / feetPerSecond(mph);
  const paces = (ft) => wholeUp(ft / rules.pace_ft);
  const own = (ft) => (rules.metric ? ft * constants.meters_per_foot : ft);

  /* Words: every template comes with the data, and only its slots are filled here. */
  const fill = (template, slots) => template.replace(/\{(\w+)\}/g, (slot, name) => (name in slots ? slots[name] : slot));
  const number = (value, decimals = 0) => {
    const [whole, part] = Math.abs(rounded(value, decimals)).toFixed(decimals).split(".");
    const grouped = whole.replace(/\B(?=(\d{3})+$)/g, ",") + (part ? "." + part : "");
    return rounded(value, decimals) < 0 ? "-" + grouped : grouped;
  };
  const quantity = (kind, n) => fill(messages.quantities[kind], { n });
  const unit = rules.metric ? "meters" : "feet";
  const length = (ft) => quantity(unit, number(own(ft)));
  const otherLength = (ft) => (rules.metric ? "" : quantity("meters", number(ft * constants.meters_per_foot)));
  const lengthUp = (ft) => quantity(unit, number(wholeUp(own(ft))));
  const lengthDown = (ft) => quantity(unit, number(wholeDown(own(ft))));
  const hiddenLength = (ft) => (ft === Infinity ? "" : rules.hidden && ft > rules.hidden.within_ft ? lengthUp(ft) : lengthDown(ft));
  const inPaces = (ft) => quantity(paces(ft) === 1 ? "pace" : "paces", number(paces(ft)));
  const quarters = (value) => {
    const count = Math.floor(value * 4 + 0.5);
    const [whole, rest] = [Math.floor(count / 4), count % 4];
    return (whole || !rest ? number(whole) : "") + constants.quarters[rest];
  };
  const counted = (count, kind) => quantity(count === "1" || constants.quarters.slice(1).includes(count) ? kind : kind + "s", count);
  const inLaneLines = (ft) => counted(quarters(ft / rules.lane_line_ft), "lane_line");
  const inTrailers = (ft, trailerFt) => counted(quarters(ft / trailerFt), "trailer_length");
  const withCounts = (text, counts) => fill(messages.phrases.counted, { length: text, counts: counts.join(messages.phrases.joint) });
  const paced = (ft) => withCounts(length(ft), [inPaces(ft)]);
  const lookLength = (ft) => {
    const counts = [inPaces(ft)];
    if (rules.lane_line_ft) counts.push(inLaneLines(wholeUp(ft, rules.lane_line_ft / 4)));
    return withCounts(lengthUp(ft), counts);
  };
  const lookSeconds = (s) => quantity("seconds", quarters(s));
  const secondsUp = (s) => quantity("seconds", number(wholeUp(s, 0.1), 1));
  const minutes = (s) => {
    const written = number(s / 60, s % 60 ? 1 : 0);
    return quantity(written === "1" ? "minute" : "minutes", written);
  };
  const caution = (key, slots = {}) => fill(messages.cautions[key], slots);
  const timeCaution = (key, leaveOut = "") => {
    const written = caution(key, { limit: minutes(rules.limit_s || 0), source: rules.limit_source });
    return leaveOut ? written + " " + caution("leave-out", { device: leaveOut }) : written;
  };

  /* What drivers from one side can see: the simple model, with one thing at most that hides the vehicle. */
  const viewOf = (situation, toward) => {
    const { detection_ft: detectionFt, reflecting_ft: reflectingFt } = data.visibility[situation.visibility];
    const leastFt = constants.least_view_s * feetPerSecond(data.speeds[situation.speed].mph) + constants.slack_ft;
    const { by, sight_ft: sightFt, near_ft: nearFt, far_ft: farFt } = situation.hidden[toward] || { by: ["curve"], sight_ft: Infinity, near_ft: null, far_ft: null };
    const pastNearEnd = (cause) => (cause === "hill" ? constants.hill_factor : 1) * Math.max(sightFt - (nearFt || 0), 0);
    const isCounted = (cause) => (cause === "obstruction" ? farFt !== null : nearFt !== null && pastNearEnd(cause) >= leastFt);
    const byCause = (cause, ft, reachFt) => {
      if (!isCounted(cause)) return 0;
      if (cause === "obstruction") return ft >= farFt + constants.beyond_ft - fuzz ? ft + reachFt : 0;
      const inViewFt = cause === "hill" ? Math.min(pastNearEnd(cause), constants.hill_span * ft) : pastNearEnd(cause);
      if (inViewFt < leastFt) return 0;
      return ft + Math.min(inViewFt, reachFt);
    };
    const deviceFt = (ft, across, reachFt) => {
      if (sightFt === Infinity) return ft + reachFt;
      if (by.includes("curve") && constants.near_traffic.includes(across)) return 0;
      return Math.min(...by.map((cause) => byCause(cause, ft, reachFt)));
    };
    const vehicleFt = Math.min(sightFt, detectionFt);
    return {
      hiddenFt: sightFt,
      vehicleFt,
      beyondFt: sightFt === Infinity || by.every(isCounted) ? null : sightFt + constants.beyond_ft,
      overHill: sightFt < Infinity && by.includes("hill"),
      detectionFt,
      reflectingFt,
      /* The longest warning that the vehicle and these devices give, measured to the vehicle. */
      warningFt: (spots, reachFt = detectionFt) => Math.max(vehicleFt, ...spots.map(([ft, across]) => deviceFt(ft, across, reachFt))),
    };
  };

  const layoutOf = (situation) => {
    const { posted } = data.speeds[situation.speed];
    const found = data.layouts.find((one) => one.road === situation.road && one.from <= posted && (one.below === null || posted < one.below));
    if (!found) throw new Error("no layout for this road and speed");
    return found;
  };

  const neededFt = (situation, toward) => {
    // Traffic from ahead travels on the opposite grade.
    const grade = toward === "behind" ? situation.grade : data.grades.length - 1 - situation.grade;
    return data.needed_ft[situation.surface][situation.speed][grade];
  };

  const nearestFirst = (layout, toward) => layout.devices.filter((rule) => rule.toward === toward).sort((one, other) => one.distance_ft - other.distance_ft);

  const steps = (lowFt, highFt, stepFt) => {
    const count = Math.max(0, Math.floor((highFt - lowFt) / stepFt + fuzz));
    return Array.from({ length: count + 1 }, (_, step) => lowFt + step * stepFt);
  };

  /* Every distance at which the outermost device may stand, nearest first. */
  const candidatesFt = (rule, hiddenFt) => {
    const { hidden } = rules;
    if (hidden && hiddenFt <= hidden.within_ft) return steps(Math.max(rule.distance_ft, hidden.from_ft), hidden.to_ft, hidden.step_ft);
    if (rule.at_most_ft !== null && rule.step_ft !== null) return steps(rule.distance_ft, rule.at_most_ft, rule.step_ft);
    return [rule.distance_ft];
  };

  /* The first choice whose warning is long enough, else the first of those with the longest. */
  const chooseFt = (choices, warningFt, wantedFt) => {
    const enough = choices.find((choice) => warningFt(choice) >= wantedFt);
    if (enough !== undefined) return enough;
    return choices.reduce((best, choice) => (warningFt(choice) > warningFt(best) ? choice : best));
  };

  const lookBackAt = (situation, toward, distanceFt) => {
    const view = viewOf(situation, toward);
    const { mph } = data.speeds[situation.speed];
    const reachFt = view.reflectingFt === null ? view.detectionFt : view.reflectingFt;
    const lookFt = upFt(Math.min(reachFt, Math.max(neededFt(situation, toward) - distanceFt, constants.least_view_s * feetPerSecond(mph))));
    const lookS = wholeUp(secondsAt(lookFt, mph), 0.5) + (view.overHill ? constants.hill_glow_s : 0);
    return { look_ft: lookFt, look_s: lookS };
  };

  const findingOf = (rule, hiddenFt, moved, ample) => {
    if (rules.hidden && hiddenFt <= rules.hidden.within_ft) return (moved ? "moved" : "stays") + (ample ? "" : "-short");
    if (rule.at_most_ft !== null && rule.step_ft !== null) return moved ? "range-moved" : ample ? "range" : "range-short";
    if (hiddenFt === Infinity) return "clear";
    return rules.hidden ? "beyond" : "unmoved";
  };

  const asDevice = (rule, distanceFt, reason, source) => ({
    toward: rule.toward,
    distance_ft: tenths(distanceFt),
    paces: paces(distanceFt),
    across: messages.across[rule.across],
    moved: distanceFt > rule.distance_ft,
    reason,
    source,
    reached: true,
    exact_ft: distanceFt,
  });
  const asSet = (rule) => asDevice(rule, rule.distance_ft, messages.reasons.set + (rule.remark ? " " + rule.remark : ""), rule.source);

  const approachOf = (situation, toward, view, spots) => {
    const needed = neededFt(situation, toward);
    const { mph } = data.speeds[situation.speed];
    const warningFt = downFt(view.warningFt(spots));
    const shortFt = Math.max(0, upFt(needed) - warningFt);
    return {
      neededFt: needed,
      warningFt,
      vehicleFt: downFt(view.vehicleFt),
      ample: shortFt < fuzz,
      shortfallFt: shortFt >= fuzz ? shortFt : 0,
      shortfallS: secondsAt(shortFt, mph),
      reflectingFt: view.reflectingFt === null ? null : downFt(view.warningFt(spots, view.reflectingFt)),
      look_ft: 0,
      look_s: 0,
    };
  };

  const placeSide = (situation, layout, toward) => {
    const view = viewOf(situation, toward);
    const asked = nearestFirst(layout, toward);
    if (!asked.length) return { toward, devices: [], approach: approachOf(situation, toward, view, []), finding: "set", choices: [] };
    const inner = asked.slice(0, -1);
    const outermost = asked[asked.length - 1];
    const fixed = inner.map((rule) => [rule.distance_ft, rule.across]);
    const bestFt = (ft) => downFt(view.warningFt([...fixed, [ft, outermost.across]]));
    const wantedFt = upFt(neededFt(situation, toward));
    const choices = candidatesFt(outermost, view.hiddenFt);
    const last = choices[choices.length - 1];
    let chosenFt = chooseFt(choices, bestFt, wantedFt);
    const unknown =
      view.beyondFt !== null && choices.length > 1 && (rules.hidden !== null || view.hiddenFt <= last + fuzz) && bestFt(chosenFt) < wantedFt;
    if (unknown) chosenFt = choices.find((one) => one >= view.beyondFt - fuzz) ?? last;
    const moved = chosenFt > outermost.distance_ft;
    const approach = approachOf(situation, toward, view, [...fixed, [chosenFt, outermost.across]]);
    if (moved) Object.assign(approach, lookBackAt(situation, toward, chosenFt));
    const finding = unknown && moved ? "moved-unknown" : findingOf(outermost, view.hiddenFt, moved, approach.ample);
    const slots = {
      base: length(outermost.distance_ft),
      low: length(choices[0]),
      high: length(last),
      hidden: hiddenLength(view.hiddenFt),
      limit: rules.hidden ? length(rules.hidden.within_ft) : "",
      warning: lengthDown(approach.warningFt),
      base_warning: lengthDown(bestFt(outermost.distance_ft)),
      needed: lengthUp(approach.neededFt),
      look: lookLength(approach.look_ft),
      look_s: lookSeconds(approach.look_s),
    };
    const sentences = [fill(messages.reasons[finding], slots)];
    if (outermost.remark) sentences.push(outermost.remark);
    if (moved) sentences.push(fill(messages.reasons[view.reflectingFt === null ? "look-day" : "look-night"], slots));
    const byHiddenView = rules.hidden && ["moved", "moved-short", "moved-unknown"].includes(finding);
    const devices = inner.map(asSet);
    devices.push(asDevice(outermost, chosenFt, sentences.join(" "), byHiddenView ? rules.hidden.source : outermost.source));
    return { toward, devices, approach, finding, choices };
  };

  const walkOf = (devices) => {
    const ordered = [...devices].sort((one, other) => SIDES.indexOf(one.toward) - SIDES.indexOf(other.toward) || one.exact_ft - other.exact_ft);
    const farthest = (toward) => Math.max(0, ...devices.filter((one) => one.toward === toward).map((one) => one.exact_ft));
    const distanceFt = 2 * (farthest("behind") + farthest("ahead"));
    let outOn = null;
    const legs = ordered.map((device, at) => {
      const sentences = [];
      if (outOn !== null && outOn !== device.toward) {
        sentences.push(messages.legs.back);
        outOn = null;
      }
      const leg = !device.exact_ft ? "beside" : outOn === device.toward ? "next" : "first";
      if (device.exact_ft) outOn = device.toward;
      const slots = { number: at + 1, across: device.across, direction: messages.directions[device.toward], distance: paced(device.exact_ft) };
      sentences.push(fill(messages.legs[leg], slots));
      return sentences;
    });
    const order = legs.flat();
    if (outOn !== null) order.push(messages.legs.back);
    return { distance_ft: tenths(distanceFt), seconds: rounded(distanceFt / constants.walking_speed_fps), order, legs, devices: ordered };
  };

  const cautionsOf = (situation, layout, sides, walk) => {
    const seen = data.visibility[situation.visibility];
    const said = layout.forbidden ? [layout.forbidden] : [];
    sides.forEach(({ toward, approach }) => {
      if (approach.ample) return;
      const slots = {
        side: messages.sides[toward],
        warning: lengthDown(approach.warningFt),
        needed: lengthUp(approach.neededFt),
        shortfall: lengthUp(approach.shortfallFt),
        shortfall_s: secondsUp(approach.shortfallS),
      };
      said.push(caution("short", slots));
    });
    if (sides.some(({ finding, approach }) => finding === "beyond" && !approach.ample)) said.push(caution("beyond"));
    if (rules.limit_s !== null && walk.seconds / rules.limit_s > 1) said.push(timeCaution("too-slow", layout.leave_out_first));
    if (situation.hidden.ahead && !sides.some(({ toward }) => toward === "ahead")) said.push(caution("no-traffic-ahead", { road: messages.roads[layout.road] }));
    if (layout.note) said.push(layout.note);
    if (layout.devices.length) {
      said.push(caution("measured"), caution("carry"));
      if (rules.limit_s !== null) said.push(timeCaution("time"));
    }
    const reaches = { detection: length(seen.detection_ft) };
    if (seen.reflecting_ft === null) said.push(caution("detection", reaches));
    else said.push(caution("two-reaches", { ...reaches, reflecting: length(seen.reflecting_ft) }));
    const { friction } = data.surfaces.find(({ id }) => id === situation.surface);
    if (friction) said.push(caution("surface", { surface: messages.surfaces[situation.surface], friction }));
    return [...said, ...rules.cautions, caution("computed"), caution("local")];
  };

  /* As the command line's JSON gives it. */
  const approachValues = (approach) => ({
    needed_ft: tenths(approach.neededFt),
    warning_ft: tenths(approach.warningFt),
    ample: approach.ample,
    shortfall_ft: tenthsUp(approach.shortfallFt),
    shortfall_s: tenthsUp(approach.shortfallS),
    look_ft: tenths(approach.look_ft),
    look_s: approach.look_s,
    warning_reflecting_ft: approach.reflectingFt === null ? null : tenths(approach.reflectingFt),
    needed_by: "car",
  });

  /**
   * The placement for a situation: the values of `fortypaces place --json`, and beside them the layout, the sides
   * unrounded, and the devices in walking order with their exact distance.
   *
   * @param {Situation} situation
   */
  const placementFor = (situation) => {
    const layout = layoutOf(situation);
    const sides = data.roads[situation.road].map((toward) => placeSide(situation, layout, toward));
    const devices = sides.flatMap((side) => side.devices);
    devices.push(...layout.devices.filter((rule) => !data.roads[situation.road].includes(rule.toward)).map(asSet));
    const walk = walkOf(devices);
    const values = {
      rules: rules.id,
      road: situation.road,
      devices: devices.map(({ exact_ft, ...device }) => device),
      approach: Object.fromEntries(sides.map((side) => [side.toward, approachValues(side.approach)])),
      walk: { distance_ft: walk.distance_ft, seconds: walk.seconds, order: walk.order, limit_s: rules.limit_s, stops: [] },
      cautions: cautionsOf(situation, layout, sides, walk),
    };
    return { values, layout, sides, devices, ordered: walk.devices, legs: walk.legs };
  };

  const inOwn = (ft) => (ft === null ? null : tenths(own(ft)));

  const agrees = (example) => {
    const { ordered, sides } = placementFor(example.situation);
    const found = ordered.map((device) => ({ toward: device.toward, distance: inOwn(device.exact_ft), moved: device.moved }));
    if (JSON.stringify(found) !== JSON.stringify(example.devices)) return false;
    return Object.entries(example.sides).every(([toward, expected]) => {
      const side = sides.find((one) => one.toward === toward);
      if (!side) return false;
      const { neededFt: needed, warningFt: warning, reflectingFt, look_ft: look, ample } = side.approach;
      const figures = { needed, warning, reflecting: reflectingFt === null ? warning : reflectingFt, look };
      if (expected.ample !== ample) return false;
      return Object.entries(figures).every(([name, ft]) => expected[name] === null || expected[name] === inOwn(ft));
    });
  };

  /* The sentence of the look-back check, with how far the device may be carried on. */
  const lookText = (situation, toward, distanceFt, farthestFt) => {
    const { look_ft: lookFt, look_s: lookS } = lookBackAt(situation, toward, distanceFt);
    const night = data.visibility[situation.visibility].reflecting_ft !== null;
    return fill(messages.reasons[night ? "look-night" : "look-day"], { look: lookLength(lookFt), look_s: lookSeconds(lookS), high: length(farthestFt) });
  };

  return {
    place: placementFor,
    /** The layout in force on a road at the speed of that position. */
    layout: (road, speed) => layoutOf({ road, speed }),
    /** The look-back check of a device of a side that stands at a distance. */
    lookBack: lookBackAt,
    lookText,
    /** Where the driver goes on to with a device that is carried farther. */
    legOn: (device, at, ft) => fill(messages.legs.next, { number: at, across: device.across, distance: paced(ft) }),
    leaveOut: (device) => caution("leave-out", { device }),
    /** The ids of worked examples that come out otherwise; none: the answers can be shown. */
    disagreements: () => data.examples.filter((example) => !agrees(example)).map(({ id }) => id),
    words: { length, otherLength, lengthUp, lengthDown, inPaces, inLaneLines: (ft) => (rules.lane_line_ft ? inLaneLines(ft) : ""), inTrailers, paced, lookLength, lookSeconds, secondsUp, minutes, timeCaution },
    paces,
  };
};
