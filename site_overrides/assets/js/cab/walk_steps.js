/* Steps of procedures that place a device. Once the walk has its distances they show these, as their own order, and
   the rule's plain distance is gone from them: whoever reads the step must not meet two numbers. Without a walk the
   words of the procedure stand. */

/**
 * @param {any} devices  Draws the screens of single devices; names places and distances.
 */
const createWalkSteps = (devices) => {
  const placing = all("[data-places]").map((step) => {
    const [toward, nth] = step.getAttribute("data-places").split(" ");
    const order = one('[data-key$="/do"]', step);
    return { step, toward, nth: Number(nth), order, plain: order.textContent, how: one('[data-key$="/measure/how"]', step), state: one("[data-place-state]", step) };
  });

  const write = ({ step, order }, text) => {
    if (order.textContent === text) return;
    emptied(order);
    held(text).forEach((piece) => order.appendChild(typeof piece === "string" ? document.createTextNode(piece) : piece));
    one("[data-tick]", step).setAttribute("aria-label", filled(words.done_label, { text }));
  };

  /* The nth device of a side, counted from the vehicle, with its number in walking order; null where there is none. */
  const deviceOf = ({ toward, nth }, ordered) => {
    const device = ordered.filter((each) => each.toward === toward)[nth - 1];
    return device ? { device, number: ordered.indexOf(device) + 1 } : null;
  };

  const orderOf = (walk, { device, number }) => {
    const ft = devices.distanceOf(walk, device, number);
    const where = devices.whereOf(device, ft);
    return filled(ft ? words.step_place : words.step_place_beside, { number, where, across: device.across });
  };

  const stateOfDevice = (walk, { number }) => {
    const stood = walk.stood[number];
    return stood ? filled(words.walk_stands_since, { time: dayTime(stood.at) }) : number in walk.left ? words.walk_left_out : "";
  };

  const showOne = (place, walk, found) => {
    const its = found ? deviceOf(place, found.ordered) : null;
    place.step.toggleAttribute("data-computed", Boolean(found));
    write(place, !found ? place.plain : its ? orderOf(walk, its) : words.step_no_device);
    if (place.how) place.how.hidden = Boolean(found);
    place.state.textContent = its ? stateOfDevice(walk, its) : "";
    place.state.hidden = !place.state.textContent;
  };

  /* Steps that speak of the devices in general list them all. */
  const boxes = all("[data-walk-devices]");
  const headings = all("[data-walk-heading]");
  const list = (walk, found) => {
    const lines = found ? devices.linesOf(walk, found.ordered) : [];
    boxes.forEach((box) => {
      emptied(box);
      lines.forEach((line) => box.appendChild(made("li", {}, held(line))));
      box.hidden = !lines.length;
    });
    headings.forEach((heading) => {
      heading.hidden = !lines.length;
    });
  };

  return (walk, found) => {
    placing.forEach((place) => showOne(place, walk, found));
    list(walk, found);
  };
};
