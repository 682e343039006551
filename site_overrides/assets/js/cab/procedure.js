/* A procedure, piece by piece: what is known by heart, one step at a time or the whole list, the decision,
   the finish. Each mark is kept with its time. One tap leads on; nothing needs more. */

/* The number of the first step that is still to do; 0 where there is none. */
let nextStepOf = () => 0;

part("procedure", function () {
  var bar = one("[data-bar]");
  var next = one("[data-next]", bar);
  var back = one("[data-back]", bar);
  var list = one("[data-list]", bar);
  var other = one("[data-other]", bar);
  const notHere = one("[data-not-here]", bar);
  var LONG_AGO_MS = 3600000;
  var listedFrom = { screen: null, view: "" };

  function steps(procedure) {
    return all(".block:not([hidden]) .step:not([hidden])", procedure);
  }

  function keyOf(step) {
    return step.getAttribute("data-step");
  }

  const marks = () => ({ done: recalledTable("ticks"), absent: recalledTable("absent"), earlier: recalledTable("earlier") });

  const keepMarks = (kept) => {
    remember("ticks", kept.done);
    remember("absent", kept.absent);
    remember("earlier", kept.earlier);
  };

  const stateIs = (step) => stateOf(keyOf(step), marks());

  const marksOf = (step, before) => before.done[keyOf(step)] || before.absent[keyOf(step)] || before.earlier[keyOf(step)];

  const STATE_WORDS = { done: "done_at", absent: "not_here_at", earlier: "done_earlier_at" };

  const named = (step) => ({ key: keyOf(step), text: one('[data-key$="/do"]', step).textContent });

  /* What the procedures that led here had done before is not asked again. */
  const takeEarlier = (procedure) => {
    const stopped = recalledTime("stopped");
    const led = leftProcedures().filter((screen) => screen !== procedure.id);
    if (stopped === null || !led.length) return;
    const before = marks();
    const found = doneBefore(steps(procedure).map(named), led.flatMap((screen) => steps(screens[screen]).map(named)), before, stopped);
    if (!Object.keys(found).length) return;
    keepMarks({ ...before, earlier: { ...before.earlier, ...found } });
    steps(procedure).forEach(paint);
  };

  /* Done, not here, or open again. What the step said before is taken off the record: it has one line there. */
  const mark = (step, state) => {
    const key = keyOf(step);
    const before = marks();
    const was = stateOf(key, before);
    if (was === state) return;
    const at = state === "open" ? marksOf(step, before) : now();
    const after = marked(before, key, state, at);
    if (was === "done" || was === "absent") unnote(key + "/do");
    const shown = step.hasAttribute("data-computed") ? named(step).text : "";
    if (state === "done") note(key + "/do", "", shown);
    if (state === "absent") note(key + "/do", words.not_here, shown);
    if (state !== "open") refuse(step, false);
    keepMarks(after);
    paint(step);
    if (was === "done") sayDevices(step, before.done[key], false);
    if (state === "done") sayDevices(step, at, true);
  };

  /* Some steps say that the warning devices are out: that stops the ten minutes, and taking it back lets them run. */
  function sayDevices(step, at, out) {
    if (step.hasAttribute("data-devices-out")) announce("devices", { at: at, out: out });
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
    const state = stateIs(step);
    step.classList.toggle("is-refused", isRefused(step));
    step.classList.toggle("is-ticked", state === "done");
    step.classList.toggle("is-absent", state === "absent");
    step.classList.toggle("is-earlier", state === "earlier");
    const earlier = one("[data-earlier-at]", step);
    earlier.hidden = state !== "earlier";
    if (state === "earlier") earlier.textContent = filled(words.done_earlier_at, { time: clockTime(marksOf(step, marks())) });
    one("[data-tick]", step).checked = state === "done";
    one("[data-absent]", step).setAttribute("aria-pressed", String(state === "absent"));
  }

  /* The marks go, their lines in the record stay: what was done once is not made undone by doing it again. */
  function untick(some) {
    const before = marks();
    let after = before;
    some.forEach((step) => {
      after = marked(after, keyOf(step), "open", 0);
      if (keyOf(step) in before.done) sayDevices(step, before.done[keyOf(step)], false);
      refuse(step, false);
    });
    keepMarks(after);
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

  const firstOpen = (procedure) => firstOpenStep(steps(procedure).map(keyOf), marks());

  const began = (procedure) => steps(procedure).some((step) => ["done", "absent"].includes(stateIs(step)));

  /* Whatever is opened within the hour belongs to the same stop, until the driver has said that one is finished
     and the devices are out. */
  function sayStopped(procedure) {
    const placesDevices = procedure.hasAttribute("data-places-devices");
    var at = recalledTime("stopped");
    var over = recalledLog().some(function (entry) {
      return entry.at >= at && /^[^/]+\/finished$/.test(entry.what);
    });
    if (at !== null && !(over && recalledTime("out") !== null) && now() - at < LONG_AGO_MS) {
      if (placesDevices && recalledTime("no_devices") !== null) remember("no_devices", null);
      return;
    }
    announce("stopped", placesDevices);
  }

  function draw(where) {
    var procedure = screens[where.screen];
    if (!procedure || !procedure.hasAttribute("data-procedure")) {
      showBar(bar, "steps", false);
      return;
    }
    takeEarlier(procedure);
    drawEarlier(procedure);
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

  /* On the first screen: what is not asked again, in words. */
  const drawEarlier = (procedure) => {
    const line = one("[data-earlier]", procedure);
    const texts = steps(procedure).filter((step) => stateIs(step) === "earlier").map((step) => named(step).text);
    line.hidden = !texts.length;
    line.textContent = texts.length ? filled(words.done_earlier, { steps: texts.join(" ") }) : "";
  };

  function drawBar(procedure, view, at, some) {
    var open = firstOpen(procedure);
    showBar(bar, "steps", true);
    next.hidden = view === "decision";
    back.hidden = false;
    list.hidden = view === "list";
    notHere.hidden = view !== "step";
    bar.setAttribute("data-bar", view);
    var answers = view === "step" ? one(".answers", some[at]) : null;
    bar.toggleAttribute("data-answers", Boolean(answers));
    other.hidden = !answers;
    if (answers) other.textContent = one('[data-key$="/if_not/title"]', answers).textContent;
    next.textContent =
      view === "finished" ? words.bar_finished
      : view === "step" ? (answers ? one('[data-key$="/if_not/can"]', answers).textContent : words.bar_done)
      : !began(procedure) && !cameFrom() ? words.bar_stopped
      : open < some.length ? filled(words.bar_go_on_step, { step: open + 1 })
      : words.bar_go_on;
    one("[data-again]", procedure).hidden = view !== "first" || !began(procedure);
  }

  function drawProgress(procedure, view, at, some) {
    var line = one("[data-progress]", procedure);
    var title = view === "step" ? one("h3", some[at].closest(".block")).textContent : "";
    const state = view === "step" ? stateIs(some[at]) : "open";
    if (state !== "open") title += " \u00b7 " + filled(words[STATE_WORDS[state]], { time: clockTime(marksOf(some[at], marks())) });
    line.textContent =
      view === "step" ? filled(words.progress_step, { step: at + 1, steps: some.length, title })
      : view === "first" ? filled(words.progress_first, { steps: some.length })
      : view === "list" ? words.progress_list
      : "";
    line.hidden = !line.textContent;
  }

  /* The step that is shown gets its mark, and the next one comes up. */
  const leadFrom = (state) => {
    const procedure = screens[place.screen];
    const views = order(procedure);
    const keys = steps(procedure).map(keyOf);
    mark(steps(procedure)[Number(place.view) - 1], state);
    go(place.screen, views[nextAsked(keys, marks(), Number(place.view) - 1, 1) + 1]);
  };

  function leadOn() {
    var procedure = screens[place.screen];
    var view = procedure.getAttribute("data-view");
    var views = order(procedure);
    if (view === "finished") {
      note(place.screen + "/finished");
      go("start");
    } else if (view === "step") {
      leadFrom("done");
    } else {
      sayStopped(procedure);
      go(place.screen, views[firstOpen(procedure) + 1]);
    }
  }

  function leadBack() {
    var procedure = screens[place.screen];
    var view = procedure.getAttribute("data-view");
    var views = order(procedure);
    var at = views.indexOf(place.view);
    if (view === "list") go(place.screen, listedFrom.screen === place.screen ? listedFrom.view : "");
    else if (view === "step") go(place.screen, views[nextAsked(steps(procedure).map(keyOf), marks(), at - 1, -1) + 1]);
    else if (at > 0) go(place.screen, views[at - 1]);
    else if (cameFrom()) go(cameFrom().screen, cameFrom().view);
    else go(procedure.getAttribute("data-before"));
  }

  on(next, "click", leadOn);
  on(back, "click", leadBack);
  on(notHere, "click", () => leadFrom("absent"));
  on(other, "click", function () {
    var step = steps(screens[place.screen])[Number(place.view) - 1];
    mark(step, "open");
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
    box.setAttribute("aria-label", filled(words.done_label, { text: one(".step__do", step).textContent.trim() }));
    on(box, "change", function () {
      mark(step, box.checked ? "done" : "open");
    });
  });

  all("button[data-absent]").forEach((button) => {
    const step = button.closest(".step");
    on(button, "click", () => mark(step, stateIs(step) === "absent" ? "open" : "absent"));
  });

  all("[data-restart]").forEach(function (button) {
    on(button, "click", () => askTwice(button, words.start_block_again, () => {
      const procedure = button.closest(".procedure");
      const block = all(".step:not([hidden])", button.closest(".block"));
      untick(block);
      note(button.closest(".block").getAttribute("data-block") + "/title", words.started_again);
      go(procedure.id, String(steps(procedure).indexOf(block[0]) + 1));
    }));
  });

  all("[data-start-again]").forEach(function (button) {
    on(button, "click", () => askTwice(button, words.start_procedure_again, () => {
      const procedure = button.closest(".procedure");
      untick(steps(procedure));
      note(procedure.id + "/title", words.started_again);
      sayStopped(procedure);
      go(procedure.id, "1");
    }));
  });

  all("[data-choice]").forEach(function (link) {
    on(link, "click", function () {
      note(link.getAttribute("data-choice") + "/see");
    });
  });

  /* What the bar and the line at the head say, after another page wrote something; the focus stays where it is. */
  const redraw = () => {
    const procedure = screens[place.screen];
    if (!procedure || !procedure.hasAttribute("data-procedure")) return;
    const some = steps(procedure);
    const view = procedure.getAttribute("data-view");
    drawBar(procedure, view, Number(place.view) - 1, some);
    drawProgress(procedure, view, Number(place.view) - 1, some);
  };

  nextStepOf = (screen) => {
    const at = firstOpen(screens[screen]);
    return at < steps(screens[screen]).length ? at + 1 : 0;
  };

  listen("shown", draw);
  listen("vehicle", function () {
    if (place.screen) draw(place);
  });
  listen("changed-elsewhere", function () {
    all(".step").forEach(paint);
    redraw();
  });
  listen("cleared", function () {
    all(".step").forEach(paint);
  });
});
