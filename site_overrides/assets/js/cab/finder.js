/* The finder: rows of buttons in, the drawing with its words changed and the answer in sentences out.
   Every word and figure is taken from the table. Where the table failed its own test it stays hidden, and
   the printed tables stand alone. */

part("finder", function () {
  var home = one("[data-finder]");
  var printed = one("[data-printed]");
  if (!trusted) {
    one("[data-finder-off]").hidden = false;
    return;
  }
  var table = trusted.table;
  var lengths = table.lengths;
  var KEPT_MS = 12 * 3600000;
  var at = {};
  var causes = { behind: "", ahead: "" };
  var counted = "paces";
  var trailerWords = null;

  function clean() {
    at = { behind: 0, ahead: 0 };
    causes = { behind: "", ahead: "" };
    Object.keys(data.finder.chosen).forEach(function (axis) {
      at[axis] = data.finder.chosen[axis];
    });
  }

  function recall() {
    clean();
    var kept = recalledTable("finder");
    if (typeof kept.time !== "number" || now() - kept.time > KEPT_MS || kept.edition !== data.edition) return;
    Object.keys(at).forEach(function (axis) {
      if (has(axis, kept.at && kept.at[axis])) at[axis] = kept.at[axis];
    });
    ["behind", "ahead"].forEach(function (side) {
      var cause = kept.causes && kept.causes[side];
      causes[side] = at[side] && data.finder.causes[cause] ? cause : "";
      if (!causes[side]) at[side] = 0;
    });
  }

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
      var chosen = at[button.getAttribute("data-axis")] === Number(button.getAttribute("data-place"));
      button.setAttribute("aria-pressed", String(chosen));
    });
    all("[data-ask-side]", home).forEach(function (question) {
      var side = question.getAttribute("data-ask-side");
      question.hidden = table.axes.sides[at.road].indexOf(side) < 0;
      press(all("[data-cause]", question), function (button) {
        return button.getAttribute("data-cause") === causes[side];
      });
      one("[data-how-far]", question).hidden = !causes[side];
      press(all("[data-hidden]", question), function (button) {
        return Number(button.getAttribute("data-hidden")) === at[side];
      });
      drawCounts(question);
    });
  }

  function drawCounts(question) {
    all("[data-count]", question).forEach(function (button) {
      var count = button.getAttribute("data-count");
      button.hidden = count === "trailers" && !trailerWords;
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
      if (!lengths.paces[device.length]) {
        strip.appendChild(made("li", {}, [number, words("span", "strip__beside", capital(device.across))]));
        return;
      }
      strip.appendChild(
        made("li", { "data-moved": device.moved ? "yes" : null }, [
          number,
          words("span", "strip__paces", String(lengths.paces[device.length])),
          words("span", "strip__unit", lengths.paces[device.length] === 1 ? "pace" : "paces"),
          made("span", { class: "strip__where" }, [where(device) + ", ", words("span", "together", lengths.text[device.length])]),
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
      var away = lengths.paces[device.length] > 0;
      put(prefix, slot + "-distance", away ? lengths.text[device.length] : "");
      put(prefix, slot + "-paces", away ? lengths.paces_text[device.length] : "");
      put(prefix, slot + "-feet", away ? lengths.other[device.length] : "");
      var group = document.getElementById(prefix + "-" + slot);
      if (group) group.setAttribute("data-moved", device.moved ? "yes" : "no");
    });
    ["behind", "ahead"].forEach(function (side) {
      var got = answer.sides[side];
      if (!got) return;
      var hidden = got.hiddenLength;
      var state = hidden < 0 ? "clear" : hidden <= got.length ? "near" : "far";
      svg.setAttribute("data-" + side, state);
      if (causes[side]) svg.setAttribute("data-" + side + "-cause", causes[side]);
      else svg.removeAttribute("data-" + side + "-cause");
      ["near", "far"].forEach(function (one) {
        put(prefix, side + "-" + one, hidden < 0 ? "" : lengths.text[hidden]);
      });
      put(prefix, "speed-" + side, table.axes.speed.text[at.speed]);
    });
    put(prefix, "desc", sentences(answer) + " Not to scale.");
  }

  function sentences(answer) {
    return answer.devices
      .map(function (device, place) {
        var far = lengths.paced[device.length] + " " + where(device) + (device.toward === "ahead" ? " of the vehicle, " : " the vehicle, ");
        // What stands beside the vehicle has no distance to name.
        return "Device " + (place + 1) + ": " + (lengths.paces[device.length] ? far : "") + device.across + (device.moved ? ", moved out" : "") + ".";
      })
      .join(" ");
  }

  function counts(length) {
    return [lengths.text[length], lengths.other[length], lengths.lines[length], trailerWords ? trailerWords[length] : ""]
      .filter(Boolean)
      .join(" \u00b7 ");
  }

  function deviceList(answer) {
    return made(
      "ol",
      { class: "devices" },
      answer.devices.map(function (device, place) {
        var said = [words("p", "devices__why", device.reason + " (" + device.source + ")")];
        if (lengths.paces[device.length]) {
          said.unshift(
            words("p", "devices__paces", lengths.paces_text[device.length] + " " + where(device)),
            words("p", "devices__counts", counts(device.length)),
            words("p", "devices__across", "Across the road: " + device.across + ".")
          );
        } else said.unshift(words("p", "devices__paces", capital(device.across)));
        return made("li", {}, [words("span", "devices__number", String(place + 1)), made("div", {}, said)]);
      })
    );
  }

  function approachOf(side, got, devices) {
    var alone = devices ? ", " + table.warnings.text[got.vehicleOnly] + " without devices." : ".";
    var line = "They need " + got.slots.needed + " to stop. They get " + got.slots.warning + " of warning" + alone;
    var gained = [words("p", "gets__line", line)];
    if (!got.ample) gained.push(words("p", "gets__short", got.slots.shortfall + " too little, or " + got.slots.shortfall_s + "."));
    else gained.push(words("p", "gets__ample", "That is enough."));
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
    var home = emptied(one("[data-answer]"));
    var walks = table.walks;
    var parts = [deviceList(answer)];
    if (answer.order.length) {
      var time = walks.text[answer.walk] + " on foot, " + minutesAndSeconds(walks.seconds[answer.walk]);
      if (walks.share[answer.walk]) time += ": " + walks.share[answer.walk] + " of the time the rule gives";
      parts.push(words("h3", "", "Walk in this order"), list("ol", answer.order), words("p", "", time + "."));
    }
    parts.push(words("h3", "", "What approaching drivers get"));
    Object.keys(answer.sides).forEach(function (side) {
      parts.push(approachOf(side, answer.sides[side], answer.devices.length));
    });
    if (answer.cautions.length) parts.push(words("h3", "", "Take care"), list("ul", answer.cautions));
    parts.forEach(function (part) {
      home.appendChild(part);
    });
  }

  function minutesAndSeconds(seconds) {
    return seconds < 60 ? seconds + " s" : Math.floor(seconds / 60) + " min " + (seconds % 60) + " s";
  }

  function draw() {
    var answer = trusted.lookup(at);
    drawQuestions();
    drawStrip(answer);
    drawPicture(answer);
    drawAnswer(answer);
    var said = answer.devices.length ? sentences(answer) : answer.cautions[0] || "";
    one("[data-finder-said]").textContent = said;
  }

  function keep() {
    remember("finder", { time: now(), edition: data.edition, at: at, causes: causes });
    draw();
  }

  all("[data-axis]", home).forEach(function (button) {
    on(button, "click", function () {
      at[button.getAttribute("data-axis")] = Number(button.getAttribute("data-place"));
      if (table.axes.sides[at.road].indexOf("ahead") < 0) {
        at.ahead = 0;
        causes.ahead = "";
      }
      keep();
    });
  });

  all("[data-ask-side]", home).forEach(function (question) {
    var side = question.getAttribute("data-ask-side");
    all("[data-cause]", question).forEach(function (button) {
      on(button, "click", function () {
        causes[side] = button.getAttribute("data-cause");
        // The first distance stands until the driver says how far: it is the nearest.
        if (!causes[side]) at[side] = 0;
        else if (!at[side]) at[side] = Number(one("[data-hidden]", question).getAttribute("data-hidden"));
        keep();
      });
    });
    all("[data-hidden]", question).forEach(function (button) {
      on(button, "click", function () {
        at[side] = Number(button.getAttribute("data-hidden"));
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
    trailerWords = known || null;
    if (!known && counted === "trailers") counted = "paces";
    all("[data-counted=trailers]", home).forEach(function (words) {
      words.parentNode.removeChild(words);
    });
    if (known) {
      all("[data-hidden]", home).forEach(function (button) {
        var length = table.axes.hidden.length[Number(button.getAttribute("data-hidden"))];
        button.appendChild(made("span", { "data-counted": "trailers", hidden: "" }, known[length]));
      });
    }
    draw();
  }

  hear("vehicle", takeVehicle);
  hear("cleared", function () {
    recall();
    draw();
  });

  recall();
  takeVehicle();
  home.hidden = false;
  printed.open = false;
});
