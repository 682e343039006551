/* The sight explorer. Every number and sentence comes from the table in the page; this script
   picks rows by their index, fills the sentences' slots and sets marks on ready points. */
(function () {
  "use strict";

  var table = JSON.parse(document.getElementById("table").textContent);
  var measure = classroom.measure(table.measure);
  var words = table.words;
  var filled = classroom.filled;
  /* How much of a bar's width, 1500, a unit takes: 1500 ft or 450 m fill it. */
  var BARS = 1500;
  var PER_UNIT = measure.unit === "m" ? BARS / 450 : 1;

  function byId(id) { return document.getElementById(id); }

  function points(text) {
    return text.split(" ").map(function (pair) { return pair.split(","); });
  }

  var roads = table.roads.map(function (road) {
    return {
      lane: points(road.lane), eyes: spots(road.eyes), hidden: spots(road.hidden), stands: spots(road.stands),
      flags: spots(road.flags), aims: spots(road.aims), vehicle: points(road.vehicle)[0]
    };
  });

  var set = { cause: "bend", speed: Math.min(6, table.speeds.length - 1), radius: 3, offset: 0, grade: 3, curve: 3, light: 0 };

  var LABELS = {
    speed: function (index) { return measure.speed(table.speeds[index]); },
    light: function (index) { return table.lights[index][0]; }
  };
  Object.keys(table.labels).forEach(function (name) {
    LABELS[name] = function (index) { return table.labels[name][index]; };
  });

  /* The page points of each distance in the table. */
  function spots(road) {
    var found = {};
    Object.keys(road).forEach(function (count) { found[count] = road[count].split(","); });
    return found;
  }

  function placeIndex() {
    var cause = table.causes[set.cause];
    return cause.first + set[cause.axes[0]] * table.labels[cause.axes[1]].length + set[cause.axes[1]];
  }

  function row() {
    var width = table.numbers.length;
    var start = width * ((set.light * table.speeds.length + set.speed) * table.places + placeIndex());
    var found = {};
    table.numbers.forEach(function (name, index) { found[name] = table.rows[start + index]; });
    return found;
  }

  /* What is the same at every speed stands once in the table. */
  function atSpeed(values) { return Array.isArray(values) ? values[set.speed] : values; }

  function sentence(found) {
    var rule = atSpeed(table.slots);
    var slots = {
      base: rule.base, low: rule.low, high: rule.high, limit: rule.limit,
      hidden: measure.length(found.hidden), warning: measure.length(found.warning),
      base_warning: measure.length(found.base_warning), needed: measure.length(found.needed)
    };
    return [filled(table.reasons[found.finding], slots), rule.remark].filter(Boolean).join(" ");
  }

  function gauge(id, number, needed) {
    var box = byId("gauge-" + id);
    box.querySelector("b").textContent = measure.length(number);
    box.querySelector("rect").setAttribute("width", String(Math.min(number * PER_UNIT, BARS)));
    var limit = box.querySelector("line");
    if (limit) {
      limit.setAttribute("x1", String(needed * PER_UNIT));
      limit.setAttribute("x2", String(needed * PER_UNIT));
      box.classList.toggle("is-short", number < needed);
    }
  }

  function move(id, point) {
    byId(id).setAttribute("transform", "translate(" + point[0] + " " + point[1] + ")");
  }

  function ends(id, from, to) {
    var line = byId(id);
    line.setAttribute("x1", from[0]);
    line.setAttribute("y1", from[1]);
    line.setAttribute("x2", to[0]);
    line.setAttribute("y2", to[1]);
  }

  /* A label keeps its own corner of the picture, so that no two ever meet; a line ties it to its mark. */
  function note(id, corner, point, written) {
    var box = byId("note-" + id);
    var text = box.querySelector("text");
    var line = box.querySelector("line");
    text.textContent = written;
    text.setAttribute("x", String(corner[0]));
    text.setAttribute("y", String(corner[1]));
    text.setAttribute("text-anchor", corner[2]);
    line.setAttribute("x1", String(corner[3]));
    line.setAttribute("y1", String(corner[4]));
    line.setAttribute("x2", point[0]);
    line.setAttribute("y2", point[1]);
    show(line, onPage(point));
  }

  /* By day a driver may see the truck from beyond the edge of the picture. */
  function onPage(point) {
    return point[0] >= 0 && point[0] <= table.page[0] && point[1] >= 0 && point[1] <= table.page[1];
  }

  function picture(found) {
    var index = table.drawn[placeIndex()];
    var road = roads[index];
    document.querySelectorAll("#picture .road").forEach(function (group, number) {
      show(group, number === index);
    });
    document.querySelectorAll("#picture .road[data-road='" + index + "'] .rock").forEach(function (rock, number) {
      show(rock, number === set.offset);
    });
    var unseen = byId("unseen");
    var hidden = road.hidden[found.hidden];
    var beyond = hidden ? [hidden].concat(road.lane.slice(Math.ceil(found.hidden / table.step))) : [];
    unseen.setAttribute("points", beyond.map(function (point) { return point.join(","); }).join(" "));
    unseen.setAttribute("stroke-width", table.roads[index].width);
    var eye = road.eyes[found.alone];
    ends("line", eye, road.vehicle);
    move("eye", eye);
    show(byId("line-device"), found.seen > 0);
    show(byId("eye-device"), found.seen > 0);
    if (found.seen > 0) {
      ends("line-device", road.eyes[found.seen], road.aims[found.distance]);
      move("eye-device", road.eyes[found.seen]);
    }
    var flag = road.flags[found.distance];
    ends("stem", road.stands[found.distance], flag);
    move("device", flag);
    var base = atSpeed(table.base);
    move("ghost", road.flags[base]);
    show(byId("ghost"), found.distance !== base);
    var corners = table.roads[index].corners;
    note("eye", corners[0], eye, filled(words.truck_seen, { length: measure.length(found.alone) }));
    note("device", corners[1], flag, filled(words.triangle_at, {
      length: measure.length(found.distance), paces: paces(found.distance)
    }));
  }

  function paces(distance) {
    return table.measure && table.measure.paces ? table.measure.paces[distance] : table.paces[distance];
  }

  function show(element, wanted) {
    if (wanted) { element.removeAttribute("display"); } else { element.setAttribute("display", "none"); }
  }

  function placed() {
    var heights = table.roads[table.drawn[placeIndex()]].heights;
    if (!heights) { return words.level; }
    return heights === 1 ? words.crest_to_scale : filled(words.crest_enlarged, { times: heights });
  }

  function draw() {
    var found = row();
    Object.keys(LABELS).forEach(function (name) {
      var input = byId(name);
      var written = LABELS[name](set[name]);
      input.value = String(set[name]);
      input.setAttribute("aria-valuetext", written);
      byId(name + "-value").textContent = written;
    });
    Object.keys(table.causes).forEach(function (cause) {
      table.causes[cause].axes.forEach(function (axis) { byId("row-" + axis).hidden = cause !== set.cause; });
    });
    byId("place").textContent = placed();
    picture(found);
    gauge("need", found.needed, 0);
    gauge("alone", found.alone, found.needed);
    gauge("base", found.base_warning, found.needed);
    gauge("moved", found.warning, found.needed);
    byId("gauge-moved").querySelector("span").textContent = found.distance === atSpeed(table.base)
      ? filled(words.stays, { length: measure.length(found.distance) })
      : filled(words.moved, { length: measure.length(found.distance) });
    byId("gauge-base").querySelector("span").textContent = filled(words.with_base, { length: atSpeed(table.slots).base });
    byId("why").textContent = sentence(found);
    byId("look").textContent = table.looks[found.look];
    byId("picture-title").textContent = words["title_" + set.cause];
    byId("picture-desc").textContent = filled(found.seen > 0 ? words.described_seen : words.described_unseen, {
      alone: measure.length(found.alone), distance: measure.length(found.distance), seen: measure.length(found.seen)
    });
    byId("sight").dataset.ample = String(found.ample === 1);
  }

  byId("controls").addEventListener("input", function (event) {
    if (event.target.name === "cause") { set.cause = event.target.value; } else { set[event.target.id] = Number(event.target.value); }
    draw();
  });

  byId("controls").addEventListener("click", function (event) {
    var button = event.target.closest("button[data-step]");
    if (!button) { return; }
    var input = byId(button.dataset.for);
    var next = set[input.id] + Number(button.dataset.step);
    set[input.id] = Math.max(Number(input.min), Math.min(Number(input.max), next));
    draw();
  });

  byId("controls").addEventListener("submit", function (event) { event.preventDefault(); });

  document.documentElement.classList.add("wall");
  draw();
}());
