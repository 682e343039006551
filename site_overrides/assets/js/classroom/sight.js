/* The sight explorer. Every number and sentence comes from the table in the page; this script
   picks rows by their index, fills the sentences' slots and sets marks on ready points. */
(function () {
  "use strict";

  var table = JSON.parse(document.getElementById("table").textContent);
  var measure = classroom.measure(table.measure);
  /* How much of a bar's width, 1500, a unit takes: 1500 ft or 450 m fill it. */
  var BARS = 1500;
  var PER_UNIT = measure.unit === "m" ? BARS / 450 : 1;

  function byId(id) { return document.getElementById(id); }

  function points(text) {
    return text.split(" ").map(function (pair) { return pair.split(","); });
  }

  var roads = table.roads.map(function (road) {
    return { lane: points(road.lane), stand: points(road.stand), flag: points(road.flag), width: road.width };
  });

  var set = { cause: "bend", speed: Math.min(6, table.speeds.length - 1), radius: 3, offset: 0, hidden: 5, light: 0 };

  var SAID = {
    speed: function (index) { return measure.speed(table.speeds[index]); },
    radius: function (index) { return table.radii[index] + " " + measure.unit; },
    offset: function (index) { return table.offsets[index] + " " + measure.unit; },
    hidden: function (index) { return table.hidden[index] + " " + measure.unit; },
    light: function (index) { return table.lights[index][0]; }
  };

  function placeIndex() {
    return set.cause === "bend"
      ? set.radius * table.offsets.length + set.offset
      : table.radii.length * table.offsets.length + set.hidden;
  }

  function row() {
    var places = table.places.length;
    var index = 6 * ((set.light * table.speeds.length + set.speed) * places + placeIndex());
    var found = table.rows.slice(index, index + 6);
    return {
      distance: found[0], warning: found[1], base: found[2], ample: found[3] === 1, finding: found[4], look: table.looks[found[5]],
      place: table.places[placeIndex()],
      alone: table.alone[set.light][placeIndex()],
      needed: table.needed[set.speed]
    };
  }

  /* What is the same at every speed stands once in the table. */
  function atSpeed(values) { return Array.isArray(values) ? values[set.speed] : values; }

  function sentence(found) {
    var rule = atSpeed(table.slots);
    var slots = {
      base: rule.base, low: rule.low, high: rule.high, limit: rule.limit,
      hidden: measure.length(found.place), warning: measure.length(found.warning),
      base_warning: measure.length(found.base), needed: measure.length(found.needed)
    };
    var said = table.reasons[found.finding].replace(/\{(\w+)\}/g, function (whole, name) { return slots[name]; });
    return [said, rule.remark].filter(Boolean).join(" ");
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

  function at(list, feetBehind) {
    return list[Math.min(list.length - 1, Math.floor(feetBehind / table.step))];
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
  function note(id, corner, point, words) {
    var box = byId("note-" + id);
    var text = box.querySelector("text");
    var line = box.querySelector("line");
    text.textContent = words;
    text.setAttribute("x", String(corner[0]));
    text.setAttribute("y", String(corner[1]));
    text.setAttribute("text-anchor", corner[2]);
    line.setAttribute("x1", String(corner[3]));
    line.setAttribute("y1", String(corner[4]));
    line.setAttribute("x2", point[0]);
    line.setAttribute("y2", point[1]);
  }

  function picture(found) {
    var index = set.cause === "bend" ? set.radius : table.radii.length;
    var road = roads[index];
    document.querySelectorAll("#picture .road").forEach(function (group, number) {
      show(group, number === index);
    });
    document.querySelectorAll("#picture .road[data-road='" + index + "'] .hedge").forEach(function (hedge, number) {
      show(hedge, number === set.offset);
    });
    var first = Math.floor(found.place / table.step);
    var unseen = byId("unseen");
    unseen.setAttribute("points", road.lane.slice(first).map(function (point) { return point.join(","); }).join(" "));
    unseen.setAttribute("stroke-width", road.width);
    var eye = at(road.lane, found.alone);
    var truck = road.stand[0];
    ends("line", eye, truck);
    move("eye", eye);
    var stand = at(road.stand, found.distance);
    var flag = at(road.flag, found.distance);
    ends("stem", stand, flag);
    move("device", flag);
    var base = atSpeed(table.base);
    move("ghost", at(road.flag, base));
    show(byId("ghost"), found.distance !== base);
    var corners = table.roads[index].corners;
    note("eye", corners[0], eye, "Truck first seen from " + measure.length(found.alone));
    note("device", corners[1], flag, "Triangle at " + measure.said(found.distance) + ", " +
      paces(found.distance) + " paces");
  }

  function paces(distance) {
    return table.measure && table.measure.paces ? table.measure.paces[distance] : table.paces[Math.floor(distance / table.step)];
  }

  function show(element, wanted) {
    if (wanted) { element.removeAttribute("display"); } else { element.setAttribute("display", "none"); }
  }

  function draw() {
    var found = row();
    Object.keys(SAID).forEach(function (name) {
      var input = byId(name);
      var words = SAID[name](set[name]);
      input.value = String(set[name]);
      input.setAttribute("aria-valuetext", words);
      byId(name + "-said").textContent = words;
    });
    byId("row-radius").hidden = byId("row-offset").hidden = set.cause !== "bend";
    byId("row-hidden").hidden = set.cause === "bend";
    picture(found);
    gauge("need", found.needed, 0);
    gauge("alone", found.alone, found.needed);
    gauge("base", found.base, found.needed);
    gauge("moved", found.warning, found.needed);
    byId("gauge-moved").querySelector("span").textContent = found.distance === atSpeed(table.base)
      ? "It stays at " + measure.length(found.distance) : "Moved out to " + measure.length(found.distance);
    byId("gauge-base").querySelector("span").textContent = "With the triangle at " + atSpeed(table.slots).base;
    byId("why").textContent = sentence(found);
    byId("look").textContent = found.look;
    byId("picture-desc").textContent = "The truck is first seen from " + measure.length(found.alone) +
      ". The far triangle stands " + measure.length(found.distance) + " behind it.";
    byId("sight").dataset.ample = String(found.ample);
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
