/* A procedure, piece by piece: what is known by heart, one step at a time or the whole list, the decision,
   the finish. Each mark is kept with its time. One tap leads on; nothing needs more. */

part("procedure", function () {
  var bar = one("[data-bar]");
  var next = one("[data-next]", bar);
  var back = one("[data-back]", bar);
  var list = one("[data-list]", bar);
  var other = one("[data-other]", bar);
  var LONG_AGO_MS = 3600000;
  var listedFrom = { screen: null, view: "" };

  function steps(procedure) {
    return all(".block:not([hidden]) .step:not([hidden])", procedure);
  }

  function keyOf(step) {
    return step.getAttribute("data-step");
  }

  function ticked(step) {
    return keyOf(step) in recalledTable("ticks");
  }

  function tick(step, done) {
    var ticks = recalledTable("ticks");
    if (done === keyOf(step) in ticks) return;
    var at = done ? now() : ticks[keyOf(step)];
    if (done) {
      ticks[keyOf(step)] = at;
      note(keyOf(step) + "/do");
      refuse(step, false);
    } else {
      delete ticks[keyOf(step)];
      unnote(keyOf(step) + "/do");
    }
    remember("ticks", ticks);
    paint(step);
    sayDevices(step, at, done);
  }

  /* Some steps say that the warning devices are out: that stops the ten minutes, and taking it back lets them run. */
  function sayDevices(step, at, out) {
    if (step.hasAttribute("data-devices-out")) tell("devices", { at: at, out: out });
  }

  /* A step that decides whether the driver goes at all has two answers in the bar: the first leads on, the second
     opens what is done instead. It stays open until the first is given. */
  function isRefused(step) {
    return keyOf(step) in recalledTable("answers");
  }

  function refuse(step, no) {
    var answers = recalledTable("answers");
    if (no === isRefused(step)) return;
    if (no) {
      answers[keyOf(step)] = now();
      note(keyOf(step) + "/if_not/title");
    } else delete answers[keyOf(step)];
    remember("answers", answers);
    paint(step);
  }

  function paint(step) {
    var done = ticked(step);
    step.classList.toggle("is-refused", isRefused(step));
    step.classList.toggle("is-ticked", done);
    one("[data-tick]", step).checked = done;
  }

  function untick(some) {
    var ticks = recalledTable("ticks");
    some.forEach(function (step) {
      var at = ticks[keyOf(step)];
      delete ticks[keyOf(step)];
      if (at !== undefined) sayDevices(step, at, false);
      refuse(step, false);
    });
    remember("ticks", ticks);
    some.forEach(paint);
  }

  /* The views of a procedure in order, by the part of the address that names them. */
  function order(procedure) {
    var views = [""].concat(
      steps(procedure).map(function (step, at) {
        return String(at + 1);
      })
    );
    if (one("[data-decision]", procedure)) views.push("decision");
    return views.concat("finished");
  }

  function firstOpen(procedure) {
    var some = steps(procedure);
    for (var at = 0; at < some.length; at += 1) if (!ticked(some[at])) return at;
    return some.length;
  }

  function began(procedure) {
    return steps(procedure).some(ticked);
  }

  /* Whatever is opened within the hour belongs to the same stop, until the driver has said that one is finished
     and the devices are out. */
  function sayStopped() {
    var at = recalledTime("stopped");
    var over = recalledLog().some(function (entry) {
      return entry.at >= at && /^[^/]+\/finished$/.test(entry.what);
    });
    if (at !== null && !(over && recalledTime("out") !== null) && now() - at < LONG_AGO_MS) return;
    tell("stopped");
  }

  function draw(where) {
    var procedure = screens[where.screen];
    if (!procedure || !procedure.hasAttribute("data-procedure")) {
      bar.hidden = true;
      return;
    }
    var some = steps(procedure);
    var at = Number(where.view) - 1;
    var view = where.view === "list" || where.view === "finished" ? where.view : "first";
    if (where.view === "decision" && one("[data-decision]", procedure)) view = "decision";
    if (some[at]) view = "step";
    procedure.setAttribute("data-view", view);
    some.forEach(paint);
    all(".is-now", procedure).forEach(function (element) {
      element.classList.remove("is-now");
    });
    if (view === "step") {
      some[at].classList.add("is-now");
      some[at].closest(".block").classList.add("is-now");
    }
    // On the first step of a block there is nothing to go back to.
    all(".restart", procedure).forEach(function (line) {
      var block = line.closest(".block");
      line.hidden = view === "step" && one(".step:not([hidden])", block) === some[at];
    });
    drawBar(procedure, view, at, some);
    drawProgress(procedure, view, at, some);
    toTop();
    if (view === "step") focusOn(some[at]);
    if (view === "decision") focusOn(one("[data-decision]", procedure));
    if (view === "finished") focusOn(one("[data-finished]", procedure));
    if (view === "list") focusOn(one("[data-heading]", procedure));
  }

  function drawBar(procedure, view, at, some) {
    var open = firstOpen(procedure);
    bar.hidden = false;
    next.hidden = view === "decision";
    back.hidden = false;
    list.hidden = view === "list";
    bar.setAttribute("data-bar", view);
    var answers = view === "step" ? one(".answers", some[at]) : null;
    bar.toggleAttribute("data-answers", Boolean(answers));
    other.hidden = !answers;
    if (answers) other.textContent = one('[data-key$="/if_not/title"]', answers).textContent;
    next.textContent =
      view === "finished" ? "Finished: back to start"
      : view === "step" ? (answers ? one('[data-key$="/if_not/can"]', answers).textContent : "Done, next")
      : !began(procedure) ? "I have stopped: step 1"
      : open < some.length ? "Go on: step " + (open + 1)
      : "Go on";
    one("[data-again]", procedure).hidden = view !== "first" || !began(procedure);
  }

  function drawProgress(procedure, view, at, some) {
    var line = one("[data-progress]", procedure);
    var title = view === "step" ? one("h3", some[at].closest(".block")).textContent : "";
    var marked = view === "step" ? recalledTable("ticks")[keyOf(some[at])] : undefined;
    if (typeof marked === "number") title += " \u00b7 done at " + clockTime(marked);
    line.textContent =
      view === "step" ? "Step " + (at + 1) + " of " + some.length + " \u00b7 " + title
      : view === "first" ? some.length + " steps, after you have stopped"
      : view === "list" ? "The whole list"
      : "";
    line.hidden = !line.textContent;
  }

  function leadOn() {
    var procedure = screens[place.screen];
    var view = procedure.getAttribute("data-view");
    var views = order(procedure);
    if (view === "finished") {
      note(place.screen + "/finished");
      go("start");
    } else if (view === "step") {
      tick(steps(procedure)[Number(place.view) - 1], true);
      go(place.screen, views[views.indexOf(place.view) + 1]);
    } else {
      sayStopped();
      go(place.screen, views[firstOpen(procedure) + 1]);
    }
  }

  function leadBack() {
    var procedure = screens[place.screen];
    var view = procedure.getAttribute("data-view");
    var views = order(procedure);
    var at = views.indexOf(place.view);
    if (view === "list") go(place.screen, listedFrom.screen === place.screen ? listedFrom.view : "");
    else if (at > 0) go(place.screen, views[at - 1]);
    else go(procedure.getAttribute("data-before"));
  }

  on(next, "click", leadOn);
  on(back, "click", leadBack);
  on(other, "click", function () {
    var step = steps(screens[place.screen])[Number(place.view) - 1];
    tick(step, false);
    refuse(step, true);
    var way = one(".other-way", step);
    way.scrollIntoView({ block: "nearest" });
    way.focus({ preventScroll: true });
  });
  on(list, "click", function () {
    listedFrom = { screen: place.screen, view: place.view };
    go(place.screen, "list");
  });

  all("[data-tick]").forEach(function (box) {
    var step = box.closest(".step");
    box.setAttribute("aria-label", "Done: " + one(".step__do", step).textContent.trim());
    on(box, "change", function () {
      tick(step, box.checked);
    });
  });

  all("[data-restart]").forEach(function (button) {
    on(button, "click", function () {
      var procedure = button.closest(".procedure");
      var block = all(".step:not([hidden])", button.closest(".block"));
      untick(block);
      note(button.closest(".block").getAttribute("data-block") + "/title", "Started again");
      go(procedure.id, String(steps(procedure).indexOf(block[0]) + 1));
    });
  });

  all("[data-start-again]").forEach(function (button) {
    on(button, "click", function () {
      var procedure = button.closest(".procedure");
      untick(steps(procedure));
      note(procedure.id + "/title", "Started again");
      sayStopped();
      go(procedure.id, "1");
    });
  });

  all("[data-choice]").forEach(function (link) {
    on(link, "click", function () {
      note(link.getAttribute("data-choice") + "/see");
    });
  });

  hear("shown", draw);
  hear("vehicle", function () {
    if (place.screen) draw(place);
  });
  hear("changed-elsewhere", function () {
    all(".step").forEach(paint);
  });
  hear("cleared", function () {
    all(".step").forEach(paint);
  });
});
