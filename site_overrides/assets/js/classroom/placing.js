/* The placing exercise. Distances, answers and warnings come from the table in the page; this
   script deals situations, sets marks on ready points, compares whole feet or meters and keeps the score. */
import { attemptOf } from "./score_rows.js";
import { learner } from "./learner.js";
import { scoreExpiry } from "./score_expiry.js";

(function () {
  "use strict";

  const table = JSON.parse(document.getElementById("table").textContent);
  const SIDES = ["behind", "ahead"];
  const SVG = "http://www.w3.org/2000/svg";
  const MOST = 1000;
  const words = table.words;
  const filled = classroom.filled;
  const lazy = table.tasks.slice(0, table.practice).map(function (group) { return group.map(function (one) { return one.lazy; }); });
  const measure = classroom.measure(table.measure);
  const hundreds = classroom.hundreds(table.hundred, measure);
  const store = learner.store;
  const byId = learner.byId;
  const make = learner.make;

  const expiry = scoreExpiry(words, { erased: showSheet });
  let deal, number, form, situation, counted, scene, task, devices, current, marked;
  let who = store.learner();
  let watching = false;
  let helped, since;

  function draw(tag, attributes, text) {
    const element = document.createElementNS(SVG, tag);
    Object.keys(attributes).forEach(function (name) { element.setAttribute(name, attributes[name]); });
    if (text !== undefined) { element.textContent = text; }
    return element;
  }

  /* --- dealing --------------------------------------------------------- */

  /* A practice sheet by its number, or a test by its name. After a reload a learner goes on with the situation that
     was on the screen. */
  function begin(wanted) {
    number = wanted.number;
    form = table.forms.find(function (one) { return one.name === wanted.test; }) || null;
    situation = 0;
    counted = Number.isInteger(wanted.counted) ? wanted.counted : 0;
    deal = form ? function () { return [form.scenes[situation], 0]; } : classroom.dealer(lazy, number);
    const last = form ? form.scenes.length : MOST;
    const reached = wanted.situation > 0 && wanted.situation <= last ? wanted.situation : 1;
    while (situation + 1 < reached) { deal(); situation += 1; }
    watching = watching && !form;
    byId("watch").hidden = Boolean(form);
    byId("watch").setAttribute("aria-pressed", String(watching));
    byId("test").value = form ? form.name : "";
    byId("number").value = String(number);
    byId("number").disabled = Boolean(form);
    next();
  }

  function isOver() { return Boolean(form && marked && situation === form.scenes.length); }

  function next() {
    const dealt = deal();
    situation += 1;
    scene = dealt[0];
    task = table.tasks[scene][dealt[1]];
    marked = null;
    helped = watching;
    since = Date.now();
    if (who) { store.keepLesson(who, "placing", { number: number, test: form ? form.name : "", situation: situation, counted: counted }); }
    current = 0;
    devices = task.expected.map(function () { return { toward: "behind", distance: null, across: null }; });
    document.querySelectorAll(".stage__road").forEach(function (road, index) { road.hidden = index !== scene; });
    byId("place").textContent = form ? filled(words.place_test, { name: form.name, situation: situation, of: form.scenes.length })
      : filled(words.place, { number: number, situation: situation });
    tellTask();
    buildRows();
    refresh();
  }

  function tellTask() {
    const at = table.scenes[scene];
    const box = byId("task");
    box.textContent = "";
    box.appendChild(make("strong", {}, filled(words.title, { title: at.title })));
    box.appendChild(document.createTextNode((form ? " " + filled(words.title, { title: at.place }) : "") + " " + filled(words.task, {
      road: at.road.charAt(0).toUpperCase() + at.road.slice(1), speed: measure.speed(task.speed),
      light: table.lights[task.light], devices: task.expected.length
    })));
  }

  /* --- setting --------------------------------------------------------- */

  function buildRows() {
    const rows = byId("devices");
    rows.textContent = "";
    devices.forEach(function (device, index) {
      const row = make("fieldset", { "class": "device-row", "data-device": String(index) });
      const step = { number: index + 1, length: measure.length(table.step), unit: measure.name };
      row.appendChild(make("legend", {}, filled(words.device, step)));
      row.appendChild(toggle(index, "toward", SIDES.map(function (side) { return [side, words[side]]; })));
      const reach = make("span", { "class": "reach" });
      reach.appendChild(make("button", { type: "button", "data-by": String(-table.step), "aria-label": filled(words.nearer, step) }, "−"));
      const field = make("input", { type: "text", inputmode: "numeric", pattern: "[0-9]*", maxlength: "4", "class": "distance",
        "aria-label": filled(words.distance, step) });
      reach.appendChild(field);
      reach.appendChild(make("span", { "class": "unit" }, measure.unit));
      reach.appendChild(make("button", { type: "button", "data-by": String(table.step), "aria-label": filled(words.farther, step) }, "+"));
      row.appendChild(reach);
      row.appendChild(toggle(index, "across", table.across_short.map(function (across, place) { return [String(place), across]; })));
      rows.appendChild(row);
    });
  }

  function toggle(index, what, choices) {
    const group = make("span", { "class": "toggle", role: "group", "aria-label": what === "toward" ? words.which_side : words.which_across });
    choices.forEach(function (choice) {
      group.appendChild(make("button", { type: "button", "data-set": what, value: choice[0] }, choice[1]));
    });
    return group;
  }

  function change(index, part, value) {
    if (marked) { return; }
    devices[index][part] = value;
    current = index;
    refresh();
  }

  function bounded(distance) { return Math.max(0, Math.min(table.reach, distance)); }

  function shift(index, by) {
    const from = devices[index].distance === null ? 0 : devices[index].distance;
    change(index, "distance", bounded(from + by));
  }

  byId("devices").addEventListener("click", function (event) {
    const button = event.target.closest("button");
    if (!button) { return; }
    const index = Number(button.closest("fieldset").dataset.device);
    if (button.dataset.by) { return shift(index, Number(button.dataset.by)); }
    change(index, button.dataset.set, button.dataset.set === "across" ? Number(button.value) : button.value);
  });

  byId("devices").addEventListener("input", function (event) {
    const digits = event.target.value.replace(/\D/g, "");
    const index = Number(event.target.closest("fieldset").dataset.device);
    change(index, "distance", digits === "" ? null : bounded(Number(digits)));
  });

  byId("devices").addEventListener("focusin", function (event) {
    const row = event.target.closest("fieldset");
    if (row) { current = Number(row.dataset.device); refresh(); }
  });

  /* Arrow keys move the device whose row has the focus: up is farther, down nearer; with shift by one foot or meter. */
  byId("devices").addEventListener("keydown", function (event) {
    const by = table.step * ({ ArrowUp: 1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[event.key] || 0);
    const row = event.target.closest("fieldset");
    if (!by || !row || event.ctrlKey || event.altKey || event.metaKey) { return; }
    event.preventDefault();
    shift(Number(row.dataset.device), event.shiftKey ? by / table.step : by);
  });

  byId("devices").addEventListener("submit", function (event) { event.preventDefault(); mark(); });

  /* A tap on the road sets the device whose turn it is at the nearest ready point. */
  byId("stage").addEventListener("click", function (event) {
    const svg = event.target.closest(".stage__above svg");
    if (!svg || marked) { return; }
    const spot = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    let best = null;
    SIDES.forEach(function (side, index) {
      const list = table.scenes[scene].stand[index];
      for (let place = 0; place < list.length; place += 2) {
        const away = Math.pow(list[place] - spot.x, 2) + Math.pow(list[place + 1] - spot.y, 2);
        if (!best || away < best.away) { best = { away: away, side: side, distance: place / 2 * table.step }; }
      }
    });
    const index = current;
    devices[index] = { toward: best.side, distance: best.distance, across: devices[index].across };
    const free = devices.map(function (device) { return device.distance; }).indexOf(null);
    current = free < 0 ? index : free;
    refresh();
  });

  /* --- showing --------------------------------------------------------- */

  function refresh() {
    document.querySelectorAll(".device-row").forEach(function (row, index) {
      const device = devices[index];
      const field = row.querySelector(".distance");
      const shown = device.distance === null ? "" : String(device.distance);
      if (field.value !== shown) { field.value = shown; }
      field.readOnly = Boolean(marked);
      row.classList.toggle("is-current", index === current && !marked);
      row.querySelectorAll("[data-set]").forEach(function (button) {
        button.setAttribute("aria-pressed", String(String(device[button.dataset.set]) === button.value));
      });
    });
    showDevices();
    showWarning();
    showMarks();
    showHundred();
    byId("mark").disabled = Boolean(marked) || devices.every(function (device) { return device.distance === null; });
    byId("again").disabled = Boolean(form) && (!marked || isOver());
  }

  function point(list, distance) {
    const place = Math.min(list.length - 2, 2 * Math.round(distance / table.step));
    return [list[place], list[place + 1]];
  }

  function flag(device, index, answer) {
    const at = table.scenes[scene];
    const side = SIDES.indexOf(device.toward);
    const foot = point(at.stand[side], device.distance);
    const top = point(at.flag[side], device.distance);
    const group = draw("g", { "class": answer ? "set-device is-answer" : "set-device" });
    group.appendChild(draw("line", { x1: foot[0], y1: foot[1], x2: top[0], y2: top[1] }));
    group.appendChild(draw("circle", { cx: foot[0], cy: foot[1], r: 3 }));
    group.appendChild(draw("path", { d: "M" + top[0] + " " + (top[1] - 16) + "l16 27h-32z" }));
    if (!answer) {
      group.appendChild(draw("text", { x: top[0], y: top[1] + 8, "text-anchor": "middle", "font-size": 16, "font-weight": 700 },
        String(index + 1)));
    }
    return group;
  }

  function showDevices() {
    const svg = document.querySelector(".stage__road:not([hidden]) .stage__above svg");
    svg.querySelectorAll(".set-device").forEach(function (old) { old.remove(); });
    if (marked) {
      marked.forEach(function (one) {
        if (one.expected && one.points < 1) { svg.appendChild(flag(one.expected, 0, true)); }
      });
    }
    devices.forEach(function (device, index) {
      if (device.distance !== null) { svg.appendChild(flag(device, index, false)); }
    });
  }

  function sampled(distance) { return Math.min(table.curves[0].length, Math.floor(distance / table.step)); }

  /* The longest warning from one side that the devices set so far give, or the vehicle itself. */
  function warning(side) {
    let best = { length: side.alone, ample: side.alone_ample };
    devices.forEach(function (device) {
      if (device.toward !== side.toward || device.distance === null) { return; }
      const place = sampled(device.distance);
      if (!place) { return; }
      const got = table.curves[side.curve][place - 1];
      best = { length: Math.max(best.length, got), ample: best.ample || side.ample.charAt(place - 1) === "1" };
    });
    return best;
  }

  function showWarning() {
    const box = byId("live");
    box.textContent = "";
    if (!watching && !marked) {
      box.appendChild(make("p", {}, table.needs[task.need]));
      return;
    }
    task.sides.forEach(function (side) {
      const got = warning(side);
      const line = make("p", { "class": got.ample ? "is-ample" : "is-short" });
      line.appendChild(document.createTextNode(filled(words.drivers_get, {
        side: table.sides[side.toward], warning: measure.length(got.length), needed: measure.length(side.needed)
      })));
      if (!got.ample) {
        line.appendChild(document.createTextNode(" "));
        line.appendChild(make("strong", {}, filled(words.missing, { length: measure.length(side.needed - got.length) })));
      }
      box.appendChild(line);
    });
  }

  function where(one) {
    const across = one.across === null ? words.no_across : table.across[one.across];
    return filled(words.where, { distance: measure.length(one.distance), side: table.sides[one.toward], across: across });
  }

  /* What stands beside the vehicle is at no distance, and nobody walks there. */
  function asked(one) {
    return one.distance ? filled(words.where_paced, { where: where(one), paces: one.paces }) : table.across[one.across];
  }

  function walkSeconds(distance) { return Math.round(distance * table.walk); }

  function showMarks() {
    const box = byId("marks");
    box.textContent = "";
    byId("exercise").classList.toggle("is-marked", Boolean(marked));
    if (!marked) { return; }
    const score = classroom.score(marked);
    box.appendChild(make("p", { "class": "score" }, filled(words.score, { right: score[0], of: score[1] })));
    box.appendChild(make("p", { "class": "whole" }, classroom.counts(marked) ? words.counts : words.counts_not));
    if (isOver()) { box.appendChild(make("p", { "class": "whole", id: "over" }, filled(words.test_over, { name: form.name, counted: counted, of: form.scenes.length }))); }
    const list = make("ol", {});
    marked.forEach(function (one) {
      const item = make("li", { "class": one.points ? "counts" : "fails", "data-verdict": one.verdict });
      const wrongAcross = one.set && one.expected && !one.across;
      let verdict = (wrongAcross ? table.wrong_across : table.verdicts)[one.verdict];
      if (one.verdict === "long-walk") {
        const seconds = walkSeconds(one.set.distance);
        verdict = filled(verdict, { seconds: seconds, more: seconds - walkSeconds(one.expected.distance) });
      }
      item.appendChild(make("p", {}, filled(words.marked, { device: one.set ? where(one.set) : words.no_device })));
      item.firstChild.appendChild(make("strong", {}, filled(words.verdict, { verdict: verdict })));
      if (one.expected) {
        if (one.points < 1 || one.verdict === "ample") {
          item.appendChild(make("p", {}, filled(words.asked_for, { asked: asked(one.expected) })));
        }
        item.appendChild(make("p", { "class": "because" }, filled(words.because, { why: table.whys[one.expected.why], source: one.expected.source })));
      }
      list.appendChild(item);
    });
    box.appendChild(list);
  }

  /* How many can stop, for each side with a moved device: at the rule's distance and where it belongs. */
  function showHundred() {
    const stops = marked ? task.stops : [];
    byId("hundred").hidden = !stops.length;
    document.querySelectorAll(".hundred__picture").forEach(function (figure, place) {
      const pair = stops[place];
      figure.hidden = !pair;
      if (pair) { figure.querySelector("figcaption").textContent = hundreds(figure.querySelector("svg"), pair.slice(1), pair[0]); }
    });
  }

  /* --- marking and keeping --------------------------------------------- */

  function mark() {
    if (marked || devices.every(function (device) { return device.distance === null; })) { return; }
    const set = devices.filter(function (device) { return device.distance !== null; });
    marked = classroom.mark(task.expected, set);
    if (classroom.counts(marked)) { counted += 1; }
    record(set);
    refresh();
    showSheet();
    const marks = byId("marks");
    marks.focus({ preventScroll: true });
    if (marks.getBoundingClientRect().top > window.innerHeight * 0.8) { marks.scrollIntoView(); }
  }

  /* One row a situation. Nothing is kept of somebody who typed no class and number. */
  function record(set) {
    if (!who) { return; }
    const score = classroom.score(marked);
    const half = marked.every(function (one) { return one.points > 0; });
    const row = {
      class: who.class, number: who.number, day: learner.today(), time: new Date().toISOString(), edition: table.edition,
      work: "placing/" + (form ? form.name : number), title: form ? filled(words.work_test, { name: form.name }) : filled(words.work, { number: number }), version: "", session: "", question: task.id,
      asked: byId("task").textContent, attempt: 1, aids: helped ? words.aid : "", seconds: Math.max(0, Math.round((Date.now() - since) / 1000)), sure: "",
      given: set.map(where).join("; "), answer: task.expected.map(asked).join("; "),
      verdict: classroom.counts(marked) ? "right" : half ? "half" : "wrong", points: score[0], of: score[1]
    };
    row.attempt = attemptOf(store.rows(who), row);
    store.add(row);
    learner.warn(words);
  }

  function ownRows() {
    return who ? store.rows(who).filter(function (row) { return String(row.work).indexOf("placing/") === 0; }) : [];
  }

  /* Only the rows of whoever answers here now. */
  function showSheet() {
    const body = byId("rows");
    body.textContent = "";
    ownRows().forEach(function (row) {
      const line = make("tr", {});
      [row.work.split("/")[1], row.asked.split(".")[0], row.attempt, row.aids || words.no_aid, filled(words.of, { right: row.points, of: row.of })].forEach(function (value) {
        line.appendChild(make("td", {}, String(value)));
      });
      body.appendChild(line);
    });
    byId("answers-as").textContent = who ? learner.named(words, who) : words.nobody;
    byId("save").disabled = !ownRows().length;
    byId("leave").disabled = !who;
  }

  function enter(known) {
    who = known;
    byId("class").value = who ? who.class : "";
    byId("learner").value = who ? who.number : "";
    if (who) { store.enter(who); } else { store.leave(); }
    showSheet();
  }

  byId("mark").addEventListener("click", mark);
  byId("again").addEventListener("click", function () { next(); byId("devices").querySelector(".distance").focus(); });
  byId("watch").addEventListener("click", function () {
    watching = !watching;
    helped = helped || watching;
    byId("watch").setAttribute("aria-pressed", String(watching));
    refresh();
  });
  byId("who").addEventListener("submit", function (event) {
    event.preventDefault();
    enter(learner.typed());
    begin({ number: Number(byId("number").value.replace(/\D/g, "") || "1"), test: byId("test").value });
  });
  byId("test").addEventListener("change", function () { byId("number").disabled = Boolean(byId("test").value); });
  byId("save").addEventListener("click", function () { learner.save(who); });
  byId("leave").addEventListener("click", function () { enter(null); begin({ number: 1 }); });
  window.addEventListener("storage", showSheet);

  document.documentElement.classList.add("wall");
  byId("exercise").hidden = false;
  enter(who);
  expiry.show();
  const left = who && store.lesson(who, "placing");
  begin(left && Number.isInteger(left.number) && left.number >= 0 ? left : { number: 1 });
}());
