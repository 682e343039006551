/* The driver's seat. Frames, what is in view and every result come from the table in the page; this script
   steps through the frames, by tap or at the chosen speed, and looks up what the braking driver gets. */
(function () {
  "use strict";

  const table = JSON.parse(document.getElementById("table").textContent);
  const measure = classroom.measure(table.measure);
  const unpack = classroom.unpacker(table.alphabet);
  const words = table.words;
  const filled = classroom.filled;
  const hundreds = classroom.hundreds(table.hundred, measure);
  const still = window.matchMedia("(prefers-reduced-motion: reduce)");
  const state = { scene: 0, side: 0, light: 0, speed: 0, place: 0, frame: 0, braked: false, over: false, beside: false, telling: false };

  let side, run, paint, playing, started, counted;

  function byId(id) { return document.getElementById(id); }

  function options(id, titles, chosen) {
    byId(id).replaceChildren.apply(byId(id), titles.map(function (title, index) {
      const option = document.createElement("option");
      option.value = String(index);
      option.textContent = title;
      return option;
    }));
    byId(id).value = String(chosen);
  }

  function lines(id, texts) {
    byId(id).replaceChildren.apply(byId(id), texts.map(function (text) {
      const line = document.createElement("p");
      line.textContent = text;
      return line;
    }));
  }

  /* --- choosing -------------------------------------------------------- */

  function chooseScene() {
    const scene = table.scenes[state.scene];
    state.side = 0;
    options("side", scene.sides.map(function (one) { return words["from-" + one.toward]; }), 0);
    byId("side").disabled = scene.sides.length < 2;
    chooseSide();
  }

  function chooseSide() {
    side = table.scenes[state.scene].sides[state.side];
    run = classroom.seatSide(side, unpack, table.pool);
    paint = classroom.seatPainter(side, run, unpack);
    state.light = 0;
    state.speed = side.own;
    options("light", side.lights.map(function (light) { return light.title; }), 0);
    options("speed", side.speeds.map(function (speed) { return measure.speed(speed.posted); }), state.speed);
    state.place = Math.min(side.places, placeOf(compared()[0]));
    restart();
  }

  /* The rule's distance of the far device, then the moved one: each with its warning and its end. */
  function compared() {
    const row = side.runs[state.speed][state.light];
    const found = [];
    for (let at = 0; at < row.length; at += 3) { found.push({ distance: row[at], warning: row[at + 1], end: row[at + 2] }); }
    return found;
  }

  function placeOf(one) { return one ? Math.round(one.distance / table.step) : 0; }

  /* The nearer devices that stand in this setting: those of the scene nearer than the far one. */
  function nearer() {
    return Array.from({ length: side.count }, function (nothing, index) { return index; });
  }

  function put(place) {
    state.place = Math.max(1, Math.min(side.places, place));
    restart();
  }

  /* --- driving --------------------------------------------------------- */

  function restart() {
    stop();
    state.frame = 0;
    state.braked = false;
    state.over = false;
    show();
  }

  function go(by) {
    stop();
    state.braked = false;
    state.over = false;
    state.frame = Math.max(0, Math.min(run.last, state.frame + by));
    if (by > 0 && state.frame === run.last) { state.over = true; }
    show();
  }

  function stop() {
    if (playing) { cancelAnimationFrame(playing); }
    playing = 0;
  }

  function play() {
    if (playing) { stop(); return show(); }
    if (state.over || state.braked) { restart(); }
    started = performance.now() - 1000 * run.seconds(state.speed, state.frame);
    playing = requestAnimationFrame(tick);
    return show();
  }

  function tick(now) {
    const seconds = (now - started) / 1000;
    let frame = state.frame;
    while (frame < run.last && run.seconds(state.speed, frame + 1) <= seconds) { frame += 1; }
    playing = requestAnimationFrame(tick);
    if (frame === state.frame) { return; }
    state.frame = frame;
    if (frame === run.last) {
      stop();
      state.over = true;
    }
    show();
  }

  function brake() {
    if (state.over || state.braked) { return; }
    stop();
    state.braked = true;
    show();
  }

  /* --- showing --------------------------------------------------------- */

  function picture(name, place, caption) {
    const svg = byId("picture-" + name);
    const light = side.lights[state.light];
    svg.setAttribute("class", "seat-picture is-" + light.look);
    const reach = paint(svg.querySelector(":scope > g"), {
      frame: state.frame, light: state.light, place: place, inner: nearer(), clip: "lit-" + name, rings: state.telling || state.braked || state.over
    });
    svg.querySelector("rect").setAttribute("y", String(reach));
    byId("caption-" + name).textContent = caption + (telling() ? " " + inView(place) : "");
  }

  function telling() { return state.telling || state.braked || state.over; }

  function inView(place) {
    const found = [];
    if (run.device(state.light, place, state.frame)) { found.push(words["device-seen"]); }
    if (run.inner(state.light, state.frame).length) { found.push(words["inner-seen"]); }
    if (run.vehicle(state.light, state.frame)) { found.push(words["vehicle-seen"]); }
    return found.length ? filled(words["in-view"], { things: found.join(words.and) }) : words["nothing-seen"];
  }

  function result(end, distance) {
    const posted = side.speeds[state.speed].posted;
    const found = classroom.seatResult(end, distance, side.speeds[state.speed].needed, posted);
    return filled(words[found.key], {
      needed: measure.length(found.needed || 0), left: measure.length(found.left || 0), impact: measure.speed(found.impact || 0)
    });
  }

  function outcome() {
    const distance = run.eyes[state.frame];
    if (state.braked) {
      const first = classroom.firstSight(run, state.light, state.place);
      const soon = classroom.somethingInView(run, state.light, state.place, state.frame) ? [] : [words["too-soon"]];
      return [filled(words.braked, { distance: measure.length(distance) })].concat(soon, result(run.end(state.speed, state.frame), distance), summary(first));
    }
    if (state.over) { return [filled(words.never, { impact: measure.speed(run.end(state.speed, run.last + 1)) }), summary(classroom.firstSight(run, state.light, state.place))]; }
    return [];
  }

  function summary(first) {
    if (first < 0) { return words["nothing-seen"]; }
    const key = !side.places ? "run-none" : first ? "run-device" : "run-beyond";
    return filled(words[key], { device: measure.length(state.place * table.step), seen: measure.length(run.eyes[first]) });
  }

  /* How many of a hundred can stop, where the rule's distance and the moved one differ. */
  function showHundred() {
    const pair = side.stops[state.speed][state.light];
    if (pair === counted) { return; }
    counted = pair;
    const figure = document.querySelector(".hundred__picture");
    byId("hundred").hidden = figure.hidden = !pair.length;
    if (pair.length) { figure.querySelector("figcaption").textContent = hundreds(figure.querySelector("svg"), pair, side.toward); }
  }

  function show() {
    const pair = compared();
    const here = measure.length(state.place * table.step);
    byId("figure-other").hidden = !state.beside;
    byId("pictures").classList.toggle("is-double", state.beside);
    if (state.beside) {
      picture("one", placeOf(pair[0]), filled(words["picture-at"], { length: measure.length(pair[0].distance) }));
      picture("other", placeOf(pair[pair.length - 1]), filled(words["picture-at"], { length: measure.length(pair[pair.length - 1].distance) }));
    } else {
      picture("one", state.place, side.places ? filled(words["picture-at"], { length: here }) : words.picture);
    }
    byId("clock").textContent = filled(words.clock, { seconds: run.seconds(state.speed, state.frame).toFixed(1), speed: measure.speed(side.speeds[state.speed].posted) });
    byId("device").textContent = here;
    byId("device-row").hidden = !side.places;
    byId("no-device").hidden = Boolean(side.places);
    byId("engine-part").hidden = !pair.length;
    byId("beside").hidden = pair.length < 2;
    byId("as-set").hidden = byId("as-moved").hidden = !pair.length;
    byId("as-moved").hidden = pair.length < 2;
    if (pair.length) { byId("as-set").textContent = filled(words["as-set"], { length: measure.length(pair[0].distance) }); }
    if (pair.length > 1) { byId("as-moved").textContent = filled(words["as-moved"], { length: measure.length(pair[1].distance) }); }
    byId("play").textContent = playing ? words.pause : words.play;
    byId("play").disabled = still.matches;
    byId("back").disabled = state.frame === 0;
    byId("step").disabled = state.frame === run.last;
    byId("brake").disabled = state.braked || state.over;
    const texts = outcome();
    if (still.matches && !texts.length) { texts.push(words.still); }
    lines("result", texts);
    lines("engine", pair.map(function (one) {
      return filled(words.engine, { device: measure.length(one.distance), warning: measure.length(one.warning), result: result(one.end, one.warning) });
    }).concat(pair.length === 1 ? [words.unmoved] : []));
    showHundred();
    byId("lane").textContent = filled(words["same-lane"], { height: side.eye, needed_by: words["needed-" + side.speeds[state.speed].by] });
  }

  /* --- taps and keys --------------------------------------------------- */

  byId("scene").addEventListener("change", function () { state.scene = Number(byId("scene").value); state.beside = false; press("beside", false); chooseScene(); });
  byId("side").addEventListener("change", function () { state.side = Number(byId("side").value); state.beside = false; press("beside", false); chooseSide(); });
  ["light", "speed"].forEach(function (name) {
    byId(name).addEventListener("change", function () {
      state[name] = Number(byId(name).value);
      if (compared().length < 2) { state.beside = false; press("beside", false); }
      restart();
    });
  });

  function press(id, on) { byId(id).setAttribute("aria-pressed", String(on)); }

  byId("nearer").setAttribute("aria-label", filled(words.nearer, { length: measure.length(table.step) }));
  byId("farther").setAttribute("aria-label", filled(words.farther, { length: measure.length(table.step) }));
  byId("nearer").addEventListener("click", function () { put(state.place - 1); });
  byId("farther").addEventListener("click", function () { put(state.place + 1); });
  byId("as-set").addEventListener("click", function () { put(placeOf(compared()[0])); });
  byId("as-moved").addEventListener("click", function () { put(placeOf(compared()[1])); });
  byId("back").addEventListener("click", function () { go(-1); });
  byId("step").addEventListener("click", function () { go(1); });
  byId("play").addEventListener("click", play);
  byId("brake").addEventListener("click", brake);
  byId("again").addEventListener("click", restart);
  byId("beside").addEventListener("click", function () { state.beside = !state.beside; press("beside", state.beside); show(); });
  byId("tell").addEventListener("click", function () { state.telling = !state.telling; press("tell", state.telling); show(); });
  still.addEventListener("change", restart);

  document.addEventListener("keydown", function (event) {
    if (event.ctrlKey || event.altKey || event.metaKey || event.target.closest("select, input, button, summary, a")) { return; }
    const acts = { ArrowRight: function () { go(1); }, PageDown: function () { go(1); }, ArrowLeft: function () { go(-1); }, PageUp: function () { go(-1); },
      b: brake, Home: restart, p: function () { if (!still.matches) { play(); } } };
    if (acts[event.key]) {
      event.preventDefault();
      acts[event.key]();
    }
  });

  document.documentElement.classList.add("wall");
  byId("seat").hidden = false;
  options("scene", table.scenes.map(function (scene) { return scene.title; }), 0);
  chooseScene();
}());
