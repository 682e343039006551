/* The plan of a walk put on the screen: the strip of numbers, the drawing with its words changed, the reasons, what
   drivers get and what to take care of. Every figure comes from the placement engine. */

/**
 * @param {any} home  The element of the walk.
 * @param {any} model  The placement data.
 * @param {any} engine  Made from them.
 */
const createPlan = (home, model, engine) => {
  const { words: said } = engine;
  const text = (tag, name, written) => made(tag, { class: name }, held(written));
  const capital = (written) => written.charAt(0).toUpperCase() + written.slice(1);
  const where = (device) => (device.toward === "behind" ? words.side_behind : words.side_ahead);
  const list = (tag, items) => made(tag, {}, items.map((item) => made("li", {}, held(item))));
  const minutesAndSeconds = (seconds) =>
    filled(seconds < 60 ? words.time_seconds : words.time_minutes_seconds, { minutes: Math.floor(seconds / 60), seconds: seconds % 60 });

  /* A device's distance in every count that the driver can use. */
  const counts = (ft, trailerFt) =>
    [said.length(ft), said.otherLength(ft), said.inLaneLines(ft), trailerFt ? said.inTrailers(ft, trailerFt) : ""].filter(Boolean).join(" \u00b7 ");

  const drawStrip = ({ devices }) => {
    const strip = emptied(one("[data-strip]", home));
    devices.forEach((device, at) => {
      const number = text("span", "strip__number", String(at + 1));
      if (!device.paces) {
        strip.appendChild(made("li", {}, [number, text("span", "strip__beside", capital(device.across))]));
        return;
      }
      const far = made("span", { class: "strip__where" }, [where(device) + ", ", text("span", "together", said.length(device.exact_ft))]);
      const unit = text("span", "strip__unit", device.paces === 1 ? words.plan_pace : words.plan_paces);
      strip.appendChild(made("li", { "data-moved": device.moved ? "yes" : null }, [number, text("span", "strip__paces", String(device.paces)), unit, far]));
    });
    if (!devices.length) strip.appendChild(text("li", "strip__none", words.plan_none));
  };

  const put = (prefix, slot, written) => {
    const element = document.getElementById(prefix + "-" + slot);
    if (element) element.textContent = written;
  };

  const sentences = ({ devices }) =>
    devices
      .map((device, at) => {
        const place = filled(device.toward === "ahead" ? words.place_ahead : words.place_behind, { distance: said.paced(device.exact_ft) });
        // What stands beside the vehicle has no distance to name.
        const sentence = !device.paces ? words.plan_device_beside : device.moved ? words.plan_device_moved : words.plan_device;
        return filled(sentence, { number: at + 1, place, across: device.across });
      })
      .join(" ");

  /* The chosen vehicle in place of the plain one; where none is chosen, or its length is not known, the plain one. */
  const drawVehicle = (prefix, svg, shape) => {
    const wanted = prefix + "-vehicle" + (shape ? "-" + shape.slot : "");
    all(".fp-vehicle-choice", svg).forEach((choice) => {
      if (choice.id === wanted) choice.removeAttribute("display");
      else choice.setAttribute("display", "none");
    });
  };

  const USUAL = { trailer: words.plan_usual_trailer, bus: words.plan_usual_bus, single: words.plan_usual_single };

  const vehicleWordsOf = ({ vehicle, shape }) =>
    shape ? [filled(words.plan_vehicle, { vehicle, length: shape.length }), USUAL[shape.usual]].filter(Boolean).join(" ") : "";

  const relabel = (figure, answer) => {
    const prefix = figure.getAttribute("data-prefix");
    const svg = one("svg", figure);
    drawVehicle(prefix, svg, answer.shape);
    answer.devices.forEach((device, at) => {
      const slot = "d" + (at + 1);
      put(prefix, slot + "-distance", device.paces ? said.length(device.exact_ft) : "");
      put(prefix, slot + "-paces", device.paces ? said.inPaces(device.exact_ft) : "");
      const group = document.getElementById(prefix + "-" + slot);
      if (!group) return;
      group.setAttribute("data-moved", device.moved ? "yes" : "no");
      group.setAttribute("data-now", answer.now === at + 1 ? "yes" : "no");
    });
    Object.values(answer.sides).forEach(({ toward, hiddenFt, farthestFt, cause }) => {
      svg.setAttribute("data-" + toward, hiddenFt === null ? "clear" : hiddenFt <= farthestFt ? "near" : "far");
      if (cause) svg.setAttribute("data-" + toward + "-cause", cause);
      else svg.removeAttribute("data-" + toward + "-cause");
      ["near", "far"].forEach((one) => put(prefix, toward + "-" + one, hiddenFt === null ? "" : said.length(hiddenFt)));
      put(prefix, "speed-" + toward, answer.speed);
    });
    put(prefix, "desc", [sentences(answer), vehicleWordsOf(answer), words.plan_not_to_scale].filter(Boolean).join(" "));
  };

  const drawPicture = (answer) => {
    all("[data-drawing]", home).forEach((figure) => {
      const mine = figure.getAttribute("data-drawing") === answer.road + "/" + answer.layoutAt;
      figure.hidden = !mine;
      if (mine) relabel(figure, answer);
    });
    const line = emptied(one("[data-plan-vehicle]", home));
    line.appendChild(made("span", {}, held(vehicleWordsOf(answer))));
    line.hidden = !answer.shape || !answer.devices.length;
  };

  const deviceList = ({ devices, trailerFt }) =>
    made(
      "ol",
      { class: "devices" },
      devices.map((device, at) => {
        const lines = [text("p", "devices__why", filled(model.messages.phrases.cited, { text: device.reason, citation: device.source }))];
        if (device.paces) {
          lines.unshift(
            text("p", "devices__paces", filled(words.plan_where, { paces: said.inPaces(device.exact_ft), side: where(device) })),
            text("p", "devices__counts", counts(device.exact_ft, trailerFt)),
            text("p", "devices__across", filled(words.plan_across, { across: device.across }))
          );
        } else lines.unshift(text("p", "devices__paces", capital(device.across)));
        return made("li", {}, [text("span", "devices__number", String(at + 1)), made("div", {}, lines)]);
      })
    );

  const approachOf = ({ toward, approach, reflectingFt }, devices) => {
    const figures = { needed: said.lengthUp(approach.neededFt), warning: said.lengthDown(approach.warningFt), vehicle: said.lengthDown(approach.vehicleFt) };
    let line = filled(devices ? words.plan_gets_gain : words.plan_gets, figures);
    if (approach.reflectingFt !== null) line += " " + filled(words.plan_gets_reflector, { reach: said.length(reflectingFt), warning: said.lengthDown(approach.reflectingFt) });
    const gained = [text("p", "gets__line", line)];
    if (!approach.ample) gained.push(text("p", "gets__short", filled(words.plan_gets_short, { length: said.lengthUp(approach.shortfallFt), time: said.secondsUp(approach.shortfallS) })));
    return made("div", { class: "gets" }, [text("h4", "", filled(words.plan_gets_from, { side: where({ toward }) }))].concat(gained));
  };

  const drawAnswer = (answer) => {
    const parts = [];
    if (answer.note) parts.push(text("p", "walk__note", answer.note));
    parts.push(deviceList(answer));
    if (answer.walk.order.length) {
      const time = filled(words.plan_on_foot, { length: said.length(answer.walk.distance_ft), time: minutesAndSeconds(answer.walk.seconds) });
      parts.push(text("h3", "", words.plan_order), list("ol", answer.walk.order), text("p", "", time));
    }
    parts.push(text("h3", "", words.plan_gets_title));
    Object.values(answer.sides).forEach((side) => parts.push(approachOf(side, answer.devices.length)));
    parts.push(text("h3", "", words.plan_care), list("ul", answer.cautions));
    const place = emptied(one("[data-answer]", home));
    parts.forEach((part) => place.appendChild(part));
  };

  return {
    draw: (answer) => {
      drawStrip(answer);
      drawPicture(answer);
      drawAnswer(answer);
      one("[data-finder-said]", home).textContent = answer.devices.length ? sentences(answer) : answer.cautions[0] || "";
    },
    drawPicture,
    text,
    capital,
    where,
    counts,
    minutesAndSeconds,
  };
};
