/* The screens of single devices, and the way back: the distance in every count, the leg of the walk, the look-back
   check. Every figure comes from the placement engine; what is tapped is handed to the functions in `taps`. */

/**
 * @param {any} home  The element of the walk.
 * @param {any} model  The placement data.
 * @param {any} engine  Made from them.
 * @param {any} plan  Draws texts and counts.
 */
const createWalkDevice = (home, model, engine, plan) => {
  const { words: phrases } = engine;

  /* Where a device stands, or is to stand. */
  const distanceOf = (walk, device, number) => {
    if (walk.stood[number]) return walk.stood[number].ft;
    return number in walk.carried ? walk.carried[number] : device.exact_ft;
  };

  const whereOf = (device, ft) => (ft ? filled(device.toward === "behind" ? words.place_behind : words.place_ahead, { distance: phrases.paced(ft) }) : device.across);

  /* One line for each device: number, distance, side, and whether it stands. */
  const linesOf = (walk, ordered) =>
    ordered.map((device, at) => {
      const number = at + 1;
      const stood = walk.stood[number];
      const line = stood ? words.walk_line_stands : number in walk.left ? words.walk_line_left : words.walk_line;
      return filled(line, { number, where: whereOf(device, distanceOf(walk, device, number)), time: stood ? dayTime(stood.at) : "" });
    });

  const tapped = (name, label, act) => {
    const button = made("button", { type: "button", ...(name ? { [name]: "" } : {}) }, label);
    on(button, "click", act);
    return made("p", { class: "buttons" }, button);
  };

  const legOf = (found, device, number, ft) =>
    ft === device.exact_ft ? found.legs[number - 1].join(" ") : engine.legOn(device, number, ft);

  const lookBack = (walk, found, device, number, ft) => {
    const { choices } = found.sides[device.toward];
    const look = engine.lookBack(found.situation, device.toward, ft);
    const night = model.visibility[found.situation.visibility].reflecting_ft !== null;
    const check = made("section", { class: "look-back", "aria-label": words.walk_look }, [
      plan.text("p", "look-back__figure", night ? filled(words.walk_look_seconds, { time: phrases.lookSeconds(look.look_s) }) : phrases.lookLength(look.look_ft)),
      plan.text("p", "look-back__text", engine.lookText(found.situation, device.toward, ft, choices[choices.length - 1])),
    ]);
    if (walk.seen[number]) check.appendChild(plan.text("p", "look-back__seen", words.walk_look_seen));
    return check;
  };

  return {
    distanceOf,
    whereOf,
    linesOf,
    draw(walk, found, number, taps) {
      const device = found.ordered[number - 1];
      const ft = distanceOf(walk, device, number);
      const stood = walk.stood[number];
      const box = emptied(one("[data-device]", home));
      const add = (...parts) => parts.forEach((part) => box.appendChild(part));
      add(plan.text("h3", "walk__number", filled(stood ? words.walk_device_stands : words.walk_device, { number, devices: found.ordered.length })));
      if (ft) {
        add(plan.text("p", "walk__big", phrases.inPaces(ft)), plan.text("p", "walk__counts", plan.counts(ft, found.trailerFt)));
        add(plan.text("p", "walk__where", device.toward === "behind" ? words.walk_side_behind : words.walk_side_ahead));
      } else add(plan.text("p", "walk__big", plan.capital(device.across)));
      add(plan.text("p", "walk__leg", legOf(found, device, number, ft)));
      if (number === 1) add(plan.text("p", "why", model.messages.cautions.carry));
      if (stood) {
        add(plan.text("p", "walk__stood", filled(words.walk_stands_since, { time: dayTime(stood.at) })), tapped("", words.walk_take_back, taps.takeBack));
        return;
      }
      if (device.moved) add(lookBack(walk, found, device, number, ft));
      add(tapped("data-walk-leave", words.walk_leave_out, taps.leaveOut));
    },
    /* At the end of the rule's range nothing is left but to say so. */
    drawLimit() {
      one("[data-device]", home).appendChild(plan.text("p", "look-back__limit", filled(words.walk_farthest, { emergency: data.emergency })));
    },
    drawBack(walk, found, taps) {
      const box = emptied(one("[data-walk-back-text]", home));
      const standing = Object.keys(walk.stood).length;
      box.appendChild(plan.text("h3", "", standing ? words.walk_go_back : words.walk_none_stands));
      if (standing) box.appendChild(plan.text("p", "walk__leg", model.messages.legs.back));
      box.appendChild(made("ol", { class: "walk__list" }, linesOf(walk, found.ordered).map((line) => made("li", {}, held(line)))));
      box.appendChild(plan.text("p", "why", words.walk_recorded));
      box.appendChild(tapped("data-walk-new", words.walk_again, taps.newWalk));
    },
  };
};
