/* The guided walk: questions one after another, the plan, one screen for each device, the way back. What was answered
   and which devices stand is one value (walk_state.js), kept with the record of the vehicle; the steps of a procedure
   and the record read it. Where the placement engine failed its own test the walk stays hidden, and the printed tables
   stand alone. */

part("walk", () => {
  const home = one("[data-finder]");
  const printed = one("[data-printed]");
  const bar = one("[data-walk-bar]");
  if (!trusted) {
    one("[data-finder-off]").hidden = false;
    return;
  }
  const model = data.placement;
  const { words: phrases } = trusted;
  const { places, causes, chosen, trailers, shapes } = data.finder;
  const KEPT_MS = 12 * 3600000;
  const LATE_MS = 1000;
  const { lengths } = model;
  const sizes = {
    speed: model.speeds.length,
    visibility: model.visibility.length,
    grade: model.grades.length,
    surface: model.surfaces.length,
    sight: lengths.sight.length,
    near: lengths.near.length,
    far: lengths.far.length,
  };
  const offered = { places, roads: model.roads, sizes, causes };
  const plan = createPlan(home, model, trusted);
  const choices = createWalkChoices(home, model, data.finder, offered);
  const devices = createWalkDevice(home, model, trusted, plan);
  const steps = createWalkSteps(devices);
  const pictures = one("[data-pictures]", home);
  /* Looked for once: the bar stands behind all that the file has to read. */
  const buttons = Object.fromEntries(["next", "other", "previous", "stop", "resume", "change"].map((name) => [name, one("[data-walk-" + name + "]")]));
  let walk = freshWalk(chosen);
  let view = "road";
  let counted = "paces";
  let trailerFt = null;
  // The device that was carried to the end of the rule's range and is still not seen for long enough.
  let limitOf = 0;

  const isFresh = (kept) => typeof kept.time === "number" && Math.abs(now() - kept.time) <= KEPT_MS && kept.edition === data.edition;

  /* Speed and light are remembered by themselves, and outlive the record of one stop. */
  const recall = () => {
    const kept = recalledTable("finder");
    const at = { ...chosen };
    if (isFresh(kept)) Object.keys(at).forEach((axis) => {
      const position = kept.at && kept.at[axis];
      if (Number.isInteger(position) && position >= 0 && position < sizes[axis]) at[axis] = position;
    });
    const fresh = freshWalk(at, isFresh(kept) && kept.set === true);
    const record = recalledTable("walk");
    walk = isFresh(record) ? recalledWalk(record.walk, fresh, offered) : fresh;
  };

  const keep = () => {
    remember("walk", { time: now(), edition: data.edition, walk });
    remember("finder", { time: now(), edition: data.edition, at: walk.at, set: walk.set });
    announce("walked");
  };

  const road = () => walkRoad(walk, offered);
  const layout = () => (road() ? trusted.layout(road(), walk.at.speed) : null);
  const isForbidden = () => walk.set && layout() !== null && !layout().devices.length;
  const isQuestionOfSide = (name) => WALK_SIDES.includes(name.split("-")[0]);
  /* Where no device may stand, what hides the vehicle changes nothing. */
  const openView = () => {
    const open = openQuestion(walk, offered);
    return open && isForbidden() && isQuestionOfSide(open) ? "" : open;
  };

  const situation = () => {
    const made = walkSituation(walk, offered, lengths);
    return { ...made, surface: model.surfaces[walk.at.surface].id };
  };

  /* The plan with everything that its screen shows; null while a question is open. */
  const answer = (now_ = 0) => {
    if (openView()) return null;
    const where = situation();
    const found = trusted.place(where);
    const sides = {};
    found.sides.forEach((side) => {
      const hides = where.hidden[side.toward];
      sides[side.toward] = {
        ...side,
        hiddenFt: hides ? hides.sight_ft : null,
        cause: walk.hidden[side.toward].cause,
        farthestFt: Math.max(0, ...side.devices.map((device) => device.exact_ft)),
        reflectingFt: model.visibility[where.visibility].reflecting_ft,
      };
    });
    const { walk: path, cautions } = found.values;
    return {
      ...found,
      situation: where,
      sides,
      walk: path,
      cautions,
      road: where.road,
      layoutAt: model.layouts.indexOf(found.layout),
      speed: model.speeds[where.speed].text,
      note: places[walk.place].note,
      trailerFt,
      vehicle: currentVehicle ? currentVehicle.title : "",
      shape: (currentVehicle && shapes[currentVehicle.id]) || null,
      now: now_,
    };
  };

  const deviceCount = (found) => (found ? found.ordered.length : 0);
  const views = (found) => walkViews(walk, offered, deviceCount(found)).filter((name) => !(isForbidden() && isQuestionOfSide(name)));
  const numberOf = (name) => (name.startsWith("device-") ? Number(name.slice(7)) : 0);

  /* What was tapped is kept, and the first question that is still open comes up, or else the plan. */
  const answered = (next, to) => {
    walk = next;
    keep();
    go("find", to || openView() || "plan");
  };

  const restMs = () => {
    const stopped = recalledTime("stopped");
    if (!data.limit || !devicesDue()) return null;
    return Math.max(0, Math.min(data.limit * 1000, stopped + data.limit * 1000 - now()));
  };

  /* The seconds of walking that are left: from the vehicle for what is not out yet. */
  const walkSeconds = (found) => {
    const toGo = devicesToGo(walk, deviceCount(found));
    return toGo.length === deviceCount(found) ? found.walk.seconds : null;
  };

  const drawTime = (found) => {
    const line = one("[data-walk-time]", home);
    const rest = restMs();
    line.hidden = !found || !deviceCount(found) || !(view === "plan" || numberOf(view));
    if (line.hidden) return;
    const seconds = walkSeconds(found);
    const limit = rest === null ? data.limit : Math.floor(rest / 1000);
    const parts = [];
    if (seconds !== null) parts.push(filled(words.walk_takes, { time: plan.minutesAndSeconds(seconds) }));
    if (rest !== null) parts.push(rest > 0 ? filled(words.walk_left, { time: plan.minutesAndSeconds(limit) }) : words.walk_over);
    else if (data.limit && view === "plan") parts.push(filled(words.walk_limit, { time: phrases.minutes(data.limit) }));
    const late = limit !== null && data.limit && seconds !== null && seconds > limit;
    if (late && found.layout.leave_out_first) parts.push(trusted.leaveOut(found.layout.leave_out_first));
    const text = parts.join(" ");
    line.classList.toggle("is-late", Boolean(late));
    if (line.textContent !== text) emptied(line).appendChild(made("span", {}, held(text)));
    line.hidden = !text;
  };

  /* As far as the device may be carried on: to the end of the rule's range. */
  const nextStep = (found, device, ft) => {
    const { choices } = found.sides[device.toward];
    return choices.find((each) => each > ft) ?? null;
  };

  const isMoved = (found, number) => found.ordered[number - 1].moved;

  const show = (element, shown) => {
    element.hidden = !shown;
  };

  const drawBar = () => {
    const found = answer();
    const number = numberOf(view);
    const device = number && found ? found.ordered[number - 1] : null;
    const { next, other } = buttons;
    const asksLook = device && device.moved && !walk.stood[number] && !walk.seen[number] && limitOf !== number;
    const labels = {
      conditions: words.walk_next,
      plan: deviceCount(found) ? (devicesToGo(walk, deviceCount(found)).length < deviceCount(found) ? words.walk_go_on : words.walk_first) : "",
      back: words.walk_returned,
    };
    next.textContent = device ? (walk.stood[number] ? words.walk_go_on : asksLook ? words.walk_seen : words.walk_stands) : labels[view] || "";
    show(next, next.textContent);
    other.textContent = asksLook ? words.walk_unseen : "";
    show(other, other.textContent);
    bar.setAttribute("data-bar", next.hidden ? "decision" : "step");
    bar.toggleAttribute("data-answers", !other.hidden);
    show(buttons.stop, view !== "stop");
    showBar(bar, "walk", place.screen === "find");
    one("span", buttons.previous).textContent = words.walk_back;
  };

  const draw = () => {
    if (place.screen !== "find") {
      showBar(bar, "walk", false);
      return;
    }
    const number = numberOf(view);
    const found = answer(number);
    choices.draw(walk, counted, trailerFt !== null);
    choices.drawConditions(walk);
    show(one("[data-walk-line]", home), walk.set && !["conditions", "road", "back", "stop"].includes(view) && !number);
    home.closest(".find").setAttribute("data-shows", number ? "device" : view);
    all("[data-part]", home).forEach((each) => show(each, each.getAttribute("data-part") === (number ? "device" : view)));
    if (found) {
      plan.draw(found);
      // One set of drawings serves the plan and the devices.
      (number ? one("[data-device-picture]", home) : one("[data-part=plan]", home)).insertBefore(pictures, number ? null : one("[data-answer]", home));
      if (number) devices.draw(walk, found, number, { takeBack: () => takeBack(number), leaveOut: () => leaveOut(number) });
      if (view === "back") devices.drawBack(walk, found, { newWalk: () => answered(freshWalk(walk.at, walk.set)) });
    }
    drawTime(found);
    drawBar();
  };
  /* The address may name any screen; only those that the answers lead to are shown. */
  const open = (wanted, moves = true) => {
    const question = openView();
    const found = answer();
    const reached = reachedView(walk, question, deviceCount(found));
    const known = views(found);
    const at = known.indexOf(wanted);
    const limit = question ? known.indexOf(question) : known.length;
    view = walk.refused !== null ? "stop" : at >= 0 && at <= limit ? wanted : reached;
    limitOf = 0;
    draw();
    const heading = one('[data-part="' + (numberOf(view) ? "device" : view) + '"] :is(legend, h3)', home);
    if (!wanted || !moves) return;
    if (heading) focusOn(heading);
    toTop();
  };

  const stand = (number) => {
    const found = answer();
    const device = found.ordered[number - 1];
    const ft = devices.distanceOf(walk, device, number);
    const where = devices.whereOf(device, ft);
    const at = now();
    walk = withStood(walk, number, at, ft, where);
    note("walk/device-" + number, filled(words.log_walk_stands, { number, where }));
    after(found, at);
  };

  /* The next device, or the way back once every one stands or is left out; then the ten minutes are over. */
  const after = (found, at) => {
    const toGo = devicesToGo(walk, deviceCount(found));
    if (!toGo.length && Object.keys(walk.stood).length) {
      note("out", words.log_devices_out);
      announce("devices", { at, out: true });
    }
    answered(walk, reachedFrom(found));
  };

  const leadOn = () => {
    const number = numberOf(view);
    if (view === "conditions") return answered(withConditionsSet(walk));
    const found = answer();
    if (view === "plan") return go("find", reachedFrom(found));
    if (view === "back") return leave();
    if (walk.stood[number]) return go("find", reachedFrom(found));
    if (isMoved(found, number) && !walk.seen[number] && limitOf !== number) return answered(withSeen(walk, number), view);
    return stand(number);
  };

  const reachedFrom = (found) => {
    const toGo = devicesToGo(walk, deviceCount(found));
    return toGo.length ? "device-" + toGo[0] : "back";
  };

  /* Back to the step that the driver came from, or to the start. */
  const leave = () => {
    const back = one("[data-return] a");
    if (back && !one("[data-return]").hidden) back.click();
    else go("start");
  };

  const takeBack = (number) => {
    note("walk/device-" + number, filled(words.log_walk_taken_back, { number }));
    answered(withDeviceOpen(walk, number), "device-" + number);
  };

  const leaveOut = (number) => {
    walk = withLeftOut(walk, number, now());
    note("walk/device-" + number, filled(words.log_walk_left, { number }));
    after(answer(), now());
  };

  const leadOther = () => {
    const number = numberOf(view);
    const found = answer();
    const device = found.ordered[number - 1];
    const further = nextStep(found, device, devices.distanceOf(walk, device, number));
    if (further === null) {
      devices.drawLimit();
      limitOf = number;
      drawBar();
    } else answered(withCarriedOn(walk, number, further), view);
  };

  const leadBack = () => {
    if (view === "stop") return answered(withRefused(walk, null), reachedView(withRefused(walk, null), openView(), deviceCount(answer())));
    const known = views(answer());
    const at = known.indexOf(view);
    if (at > 0) go("find", known[at - 1]);
    else leave();
  };

  on(buttons.next, "click", leadOn);
  on(buttons.other, "click", leadOther);
  on(buttons.previous, "click", leadBack);
  on(buttons.stop, "click", () => {
    note("walk/stop", words.log_walk_refused);
    answered(withRefused(walk, now()), "stop");
  });
  on(buttons.resume, "click", leadBack);
  on(buttons.change, "click", () => go("find", "conditions"));

  all("[data-axis]", home).forEach((each) => {
    on(each, "click", () => {
      const axis = each.getAttribute("data-axis");
      const position = Number(each.getAttribute("data-place"));
      if (axis === "road") return answered(withPlace(walk, position, offered));
      walk = withCondition(walk, axis, position);
      keep();
      draw();
    });
  });
  all("[data-kind]", home).forEach((each) => {
    on(each, "click", () => answered(withKind(walk, places[walk.place].roads.indexOf(each.getAttribute("data-kind")), offered)));
  });
  all("[data-ask-side]", home).forEach((question) => {
    const side = question.getAttribute("data-ask-side");
    const answers = { cause: (value) => withCause(walk, side, value), hidden: (value) => withSight(walk, side, Number(value)), end: (value) => withEnd(walk, side, value) };
    Object.keys(answers).forEach((name) => {
      all("[data-" + name + "]", question).forEach((each) => on(each, "click", () => answered(answers[name](each.getAttribute("data-" + name)))));
    });
    all("[data-count]", question).forEach((each) => {
      on(each, "click", () => {
        counted = each.getAttribute("data-count");
        draw();
      });
    });
  });

  /* The steps that put devices out show the same distances. */
  const spread = () => steps(walk, answer());

  /* Trailer lengths are offered where the chosen vehicle pulls a trailer of known length. */
  const takeVehicle = () => {
    trailerFt = (currentVehicle && trailers[currentVehicle.id]) || null;
    if (!trailerFt && counted === "trailers") counted = "paces";
    all("[data-counted=trailers]", home).forEach((count) => count.remove());
    if (trailerFt) {
      all("[data-hidden], [data-end]", home).forEach((each) => {
        const kind = each.hasAttribute("data-hidden") ? "sight" : each.closest("[data-end-of]").getAttribute("data-end-of");
        const ft = lengths[kind][Number(each.getAttribute("data-hidden") || each.getAttribute("data-end")) - 1];
        if (ft) each.appendChild(made("span", { "data-counted": "trailers", hidden: "" }, phrases.inTrailers(ft, trailerFt)));
      });
    }
    again();
  };

  const again = () => {
    recall();
    spread();
    if (place.screen === "find") open(view, false);
  };

  listen("vehicle", takeVehicle);
  listen("changed-elsewhere", again);
  listen("cleared", again);
  listen("walked", spread);
  /* A second stop is on another road: its questions are asked anew. */
  listen("noted", () => {
    const stops = recalledLog().filter((line) => line.what === "stopped");
    const last = stops.length > 1 ? stops[stops.length - 1].at : 0;
    if (now() - last > LATE_MS || !recalled("walk") || recalledTable("walk").time > last) return;
    walk = freshWalk(walk.at, walk.set);
    remember("walk", null);
    spread();
  });
  listen("shown", (where) => {
    if (where.screen === "find") open(where.view);
    else showBar(bar, "walk", false);
  });
  window.setInterval(
    guarded(() => {
      if (place.screen === "find" && !document.hidden) drawTime(answer());
    }),
    1000
  );

  home.hidden = false;
  printed.open = false;
  takeVehicle();
});
