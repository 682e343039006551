/* The finder: rows of buttons in, the drawing with its words changed and the answer in sentences out.
   Every figure comes from the placement engine. Where it failed its own test the finder stays hidden, and
   the printed tables stand alone. */

part("finder", function () {
  var home = one("[data-finder]");
  var printed = one("[data-printed]");
  if (!trusted) {
    one("[data-finder-off]").hidden = false;
    return;
  }
  const model = data.placement;
  const { words: said } = trusted;
  const roads = Object.keys(model.roads);
  const sidesByRoad = roads.map((road) => model.roads[road]);
  var KEPT_MS = 12 * 3600000;
  const LEAST_GAP_PX = 8;
  const SIDE_WORDS = { behind: "drivers behind you", ahead: "drivers ahead of you" };
  let state = freshFinder(data.finder.chosen);
  var counted = "paces";
  var trailerFt = null;

  const recall = () => {
    const kept = recalledTable("finder");
    const counts = typeof kept.time === "number" && now() - kept.time <= KEPT_MS && kept.edition === data.edition;
    state = recalledFinder(counts ? kept : {}, freshFinder(data.finder.chosen), has, data.finder.causes);
  };

  /* The sides whose numbers wait for the driver to say how far off the vehicle is hidden. */
  const waiting = () => unansweredSides(state, sidesByRoad);

  function has(axis, place) {
    var selector = axis === "behind" || axis === "ahead" ? '[data-hidden="' : '[data-axis="' + axis + '"][data-place="';
    return typeof place === "number" && Boolean(one(selector + place + '"]', home));
  }

  function press(buttons, wanted) {
    buttons.forEach(function (button) {
      button.setAttribute("aria-pressed", String(wanted(button)));
    });
  }

  function drawQuestions() {
    all("[data-axis]", home).forEach(function (button) {
      var chosen = state.at[button.getAttribute("data-axis")] === Number(button.getAttribute("data-place"));
      button.setAttribute("aria-pressed", String(chosen));
    });
    all("[data-ask-side]", home).forEach(function (question) {
      var side = question.getAttribute("data-ask-side");
      question.hidden = !sidesByRoad[state.at.road].includes(side);
      press(all("[data-cause]", question), function (button) {
        return button.getAttribute("data-cause") === state.causes[side];
      });
      one("[data-how-far]", question).hidden = !state.causes[side];
      press(all("[data-hidden]", question), function (button) {
        return Number(button.getAttribute("data-hidden")) === state.at[side];
      });
      drawCounts(question);
    });
  }

  function drawCounts(question) {
    all("[data-count]", question).forEach(function (button) {
      var count = button.getAttribute("data-count");
      button.hidden = count === "trailers" && !trailerFt;
      button.setAttribute("aria-pressed", String(count === counted));
    });
    // One way to count is no choice.
    var row = one(".choices--count", question);
    if (row) row.hidden = all("[data-count]:not([hidden])", row).length < 2;
    all("[data-hidden]", question).forEach(function (button) {
      all("[data-counted]", button).forEach(function (words) {
        words.hidden = words.getAttribute("data-counted") !== counted;
      });
    });
  }

  function words(tag, name, text) {
    return made(tag, { class: name }, held(text));
  }

  function capital(text) {
    return text.charAt(0).toUpperCase() + text.slice(1);
  }

  function where(device) {
    return device.toward === "behind" ? "behind" : "ahead";
  }

  function drawStrip(answer) {
    var strip = emptied(one("[data-strip]"));
    answer.devices.forEach(function (device, place) {
      var number = words("span", "strip__number", String(place + 1));
      if (waiting().includes(device.toward)) {
        strip.appendChild(made("li", { "data-asks": "" }, [number, words("span", "strip__asks", "How far?"), words("span", "strip__where", where(device))]));
        return;
      }
      if (!device.paces) {
        strip.appendChild(made("li", {}, [number, words("span", "strip__beside", capital(device.across))]));
        return;
      }
      strip.appendChild(
        made("li", { "data-moved": device.moved ? "yes" : null }, [
          number,
          words("span", "strip__paces", String(device.paces)),
          words("span", "strip__unit", device.paces === 1 ? "pace" : "paces"),
          made("span", { class: "strip__where" }, [where(device) + ", ", words("span", "together", said.length(device.exact_ft))]),
        ])
      );
    });
    if (!answer.devices.length) strip.appendChild(words("li", "strip__none", "Place no device here"));
  }

  function drawPicture(answer) {
    all("[data-drawing]", home).forEach(function (figure) {
      var mine = figure.getAttribute("data-drawing") === answer.road + "/" + answer.layout;
      figure.hidden = !mine;
      if (mine) relabel(figure, answer);
    });
  }

  function put(prefix, slot, text) {
    var element = document.getElementById(prefix + "-" + slot);
    if (element) element.textContent = text;
  }

  function relabel(figure, answer) {
    var prefix = figure.getAttribute("data-prefix");
    var svg = one("svg", figure);
    answer.devices.forEach(function (device, place) {
      var slot = "d" + (place + 1);
      // What stands beside the vehicle has a place, and no distance to count.
      const asks = waiting().includes(device.toward);
      const away = !asks && device.paces > 0;
      put(prefix, slot + "-distance", asks ? "?" : away ? said.length(device.exact_ft) : "");
      put(prefix, slot + "-paces", away ? said.inPaces(device.exact_ft) : "");
      put(prefix, slot + "-feet", away ? said.otherLength(device.exact_ft) : "");
      var group = document.getElementById(prefix + "-" + slot);
      if (group) group.setAttribute("data-moved", device.moved ? "yes" : "no");
    });
    ["behind", "ahead"].forEach(function (side) {
      var got = answer.sides[side];
      if (!got) return;
      const { hiddenFt } = got;
      const view = hiddenFt === null ? "clear" : hiddenFt <= got.farthestFt ? "near" : "far";
      svg.setAttribute("data-" + side, view);
      if (state.causes[side]) svg.setAttribute("data-" + side + "-cause", state.causes[side]);
      else svg.removeAttribute("data-" + side + "-cause");
      ["near", "far"].forEach(function (one) {
        put(prefix, side + "-" + one, hiddenFt === null ? "" : said.length(hiddenFt));
      });
      put(prefix, "speed-" + side, model.speeds[state.at.speed].text);
    });
    put(prefix, "desc", sentences(answer) + " Not to scale.");
  }

  function sentences(answer) {
    return answer.devices
      .map(function (device, place) {
        if (waiting().includes(device.toward)) return "Device " + (place + 1) + ": how far? " + capital(device.across) + ".";
        var far = said.paced(device.exact_ft) + " " + where(device) + (device.toward === "ahead" ? " of the vehicle, " : " the vehicle, ");
        // What stands beside the vehicle has no distance to name.
        return "Device " + (place + 1) + ": " + (device.paces ? far : "") + device.across + (device.moved ? ", moved out" : "") + ".";
      })
      .join(" ");
  }

  function counts(ft) {
    return [said.length(ft), said.otherLength(ft), said.inLaneLines(ft), trailerFt ? said.inTrailers(ft, trailerFt) : ""]
      .filter(Boolean)
      .join(" \u00b7 ");
  }

  /* A device without a distance yet: on which side of the vehicle it goes, and no number. */
  const askedDevice = (device, place) =>
    made("li", {}, [
      words("span", "devices__number", String(place + 1)),
      made("div", {}, [words("p", "devices__paces", "How far? " + capital(where(device))), words("p", "devices__across", "Across the road: " + device.across + ".")]),
    ]);

  /* What is still to be answered on a side, and a button that leads there. */
  const question = (side) => {
    const button = made("button", { type: "button", "data-lead-to": side }, "How far?");
    on(button, "click", () => leadTo(side));
    const line = capital(data.finder.causes[state.causes[side]]) + " hides you from " + SIDE_WORDS[side] + ". Say how far off it is: until then no distance is shown for that side.";
    return made("div", { class: "asks" }, [words("p", "asks__line", line), made("p", { class: "buttons" }, [button])]);
  };

  /* Bring the row that asks how far into sight, below what sticks to the top of the screen. */
  const leadTo = (side) => {
    const row = one('[data-ask-side="' + side + '"] [data-how-far]', home);
    const strip = one("[data-strip]", home);
    const sticks = getComputedStyle(strip).position === "sticky" ? strip.offsetHeight + parseFloat(getComputedStyle(strip).top) : 0;
    row.style.scrollMarginTop = sticks + LEAST_GAP_PX - (parseFloat(getComputedStyle(root).scrollPaddingTop) || 0) + "px";
    row.scrollIntoView({ block: "start" });
    tell("moved");
  };

  function deviceList(answer) {
    return made(
      "ol",
      { class: "devices" },
      answer.devices.map(function (device, place) {
        if (waiting().includes(device.toward)) return askedDevice(device, place);
        const lines = [words("p", "devices__why", device.reason + " (" + device.source + ")")];
        if (device.paces) {
          lines.unshift(
            words("p", "devices__paces", said.inPaces(device.exact_ft) + " " + where(device)),
            words("p", "devices__counts", counts(device.exact_ft)),
            words("p", "devices__across", "Across the road: " + device.across + ".")
          );
        } else lines.unshift(words("p", "devices__paces", capital(device.across)));
        return made("li", {}, [words("span", "devices__number", String(place + 1)), made("div", {}, lines)]);
      })
    );
  }

  function approachOf(side, { approach }, devices) {
    const reflecting = model.visibility[state.at.visibility].reflecting_ft;
    const alone = devices ? ", " + said.lengthDown(approach.vehicleFt) + " without devices." : ".";
    let line = "To stop takes " + said.lengthUp(approach.neededFt) + ". They get about " + said.lengthDown(approach.warningFt) + " of warning" + alone;
    if (approach.reflectingFt !== null) line += " If a reflector is seen from " + said.length(reflecting) + ": " + said.lengthDown(approach.reflectingFt) + ".";
    const gained = [words("p", "gets__line", line)];
    if (!approach.ample) gained.push(words("p", "gets__short", said.lengthUp(approach.shortfallFt) + " are missing, or " + said.secondsUp(approach.shortfallS) + "."));
    return made("div", { class: "gets" }, [words("h4", "", "Drivers from " + side)].concat(gained));
  }

  function list(tag, items) {
    return made(
      tag,
      {},
      items.map(function (item) {
        return made("li", {}, held(item));
      })
    );
  }

  function drawAnswer(answer) {
    const place = emptied(one("[data-answer]"));
    const asked = waiting();
    const parts = [...asked.map(question), deviceList(answer)];
    // The walk passes every device, and its time hangs on every distance.
    if (answer.order.length && !asked.length) parts.push(...walkParts(answer));
    parts.push(words("h3", "", "What approaching drivers get"));
    Object.keys(answer.sides).forEach((side) => {
      parts.push(asked.includes(side) ? waitingApproach(side) : approachOf(side, answer.sides[side], answer.devices.length));
    });
    // Cautions speak of the whole answer; where no device may stand they are the answer.
    if (answer.cautions.length && !(asked.length && answer.devices.length)) parts.push(words("h3", "", "Take care"), list("ul", answer.cautions));
    parts.forEach((each) => place.appendChild(each));
  }

  const walkParts = (answer) => {
    const { distance_ft: distanceFt, seconds } = answer.walk;
    let time = said.length(distanceFt) + " on foot, " + minutesAndSeconds(seconds);
    if (data.limit) time += ": " + Math.round((100 * seconds) / data.limit) + " percent of the time the rule gives";
    return [words("h3", "", "Walk in this order"), list("ol", answer.order), words("p", "", time + ".")];
  };

  const waitingApproach = (side) =>
    made("div", { class: "gets" }, [words("h4", "", "Drivers from " + side), words("p", "gets__line", "Not known until you say how far off they are hidden.")]);

  function minutesAndSeconds(seconds) {
    return seconds < 60 ? seconds + " s" : Math.floor(seconds / 60) + " min " + (seconds % 60) + " s";
  }

  /* The placement for what is chosen; the finder does not ask where what hides the vehicle begins and ends. */
  const answered = () => {
    const { at, causes } = state;
    const by = { "bend-right": "curve", "bend-left": "curve", hill: "hill", obstruction: "obstruction" };
    const sight = (side) => (at[side] ? model.lengths.sight[at[side] - 1] : null);
    const hides = (side) => (at[side] ? { by: [by[causes[side]]], sight_ft: sight(side), near_ft: null, far_ft: null } : null);
    const found = trusted.place({ road: roads[at.road], speed: at.speed, grade: at.grade, visibility: at.visibility, surface: "normal", hidden: { behind: hides("behind"), ahead: hides("ahead") } });
    const sides = {};
    found.sides.forEach((side) => {
      const farthestFt = Math.max(0, ...side.devices.map((device) => device.exact_ft));
      sides[side.toward] = { ...side, hiddenFt: sight(side.toward), farthestFt };
    });
    const { walk, cautions } = found.values;
    return { road: roads[at.road], layout: model.layouts.indexOf(found.layout), devices: found.devices, sides, walk, order: walk.order, cautions };
  };

  function draw() {
    const answer = answered();
    drawQuestions();
    drawStrip(answer);
    drawPicture(answer);
    drawAnswer(answer);
    one("[data-finder-said]").textContent = answer.devices.length ? sentences(answer) : answer.cautions[0] || "";
  }

  function keep() {
    remember("finder", { time: now(), edition: data.edition, at: state.at, causes: state.causes });
    draw();
  }

  all("[data-axis]", home).forEach(function (button) {
    on(button, "click", function () {
      state = withPlace(state, button.getAttribute("data-axis"), Number(button.getAttribute("data-place")), sidesByRoad);
      keep();
    });
  });

  all("[data-ask-side]", home).forEach(function (question) {
    var side = question.getAttribute("data-ask-side");
    all("[data-cause]", question).forEach(function (button) {
      on(button, "click", function () {
        state = withCause(state, side, button.getAttribute("data-cause"));
        keep();
        if (waiting().includes(side)) leadTo(side);
      });
    });
    all("[data-hidden]", question).forEach(function (button) {
      on(button, "click", function () {
        state = withPlace(state, side, Number(button.getAttribute("data-hidden")), sidesByRoad);
        keep();
      });
    });
    all("[data-count]", question).forEach(function (button) {
      on(button, "click", function () {
        counted = button.getAttribute("data-count");
        draw();
      });
    });
  });

  /* Trailer lengths are offered where the chosen vehicle pulls a trailer of known length. */
  function takeVehicle() {
    var known = currentVehicle && data.finder.trailers[currentVehicle.id];
    trailerFt = known || null;
    recall();
    if (!known && counted === "trailers") counted = "paces";
    all("[data-counted=trailers]", home).forEach(function (words) {
      words.parentNode.removeChild(words);
    });
    if (known) {
      all("[data-hidden]", home).forEach(function (button) {
        const ft = model.lengths.sight[Number(button.getAttribute("data-hidden")) - 1];
        button.appendChild(made("span", { "data-counted": "trailers", hidden: "" }, said.inTrailers(ft, known)));
      });
    }
    draw();
  }

  hear("vehicle", takeVehicle);
  hear("changed-elsewhere", () => {
    recall();
    draw();
  });
  hear("cleared", function () {
    recall();
    draw();
  });

  takeVehicle();
  home.hidden = false;
  printed.open = false;
});
