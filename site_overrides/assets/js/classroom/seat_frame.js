/* Paints a frame of the driver's seat: shapes from far to near, from the points that Python projected. */
window.classroom = window.classroom || {};

classroom.seatPainter = function (side, run, unpack) {
  "use strict";
  const SVG = "http://www.w3.org/2000/svg";
  const WIDTH = 1280;
  const HEIGHT = 540;
  /* Widths of lines on the road and heights on the vehicle, in feet. */
  const LINE = 0.4;
  const APART = 0.3;
  const BOX_FROM = (3.4 - 1.2) / (13.5 - 1.2);
  const LAMP_AT = (2.6 - 1.2) / (13.5 - 1.2);
  const edges = side.strips.length ? side.strips[side.strips.length - 1][1] + 1 : 0;

  function shape(tag, classes, attributes) {
    const element = document.createElementNS(SVG, tag);
    element.setAttribute("class", classes);
    Object.keys(attributes).forEach(function (name) { element.setAttribute(name, String(attributes[name])); });
    return element;
  }

  function polygon(points, classes) {
    return shape("path", classes, { d: "M" + points.map(function (point) {
      return point.map(function (part) { return Math.round(10 * part) / 10; }).join(" ");
    }).join("L") + "Z" });
  }

  function between(one, other, share) {
    return [one[0] + (other[0] - one[0]) * share, one[1] + (other[1] - one[1]) * share];
  }

  function band(one, other, from, to) {
    const near = one.map(function (point, index) { return between(point, other[index], from); });
    const far = one.map(function (point, index) { return between(point, other[index], to); });
    return near.concat(far.reverse());
  }

  function roads(frame) {
    const reader = unpack(run.text("roads", frame));
    const found = [];
    for (let left = reader.next(); left > 0; left -= 1) {
      const stretch = { top: reader.next(), edges: [], dashes: [] };
      const count = reader.next();
      for (let edge = 0; edge < edges; edge += 1) { stretch.edges.push(reader.points(count, 2)); }
      for (let dashes = reader.next(); dashes > 0; dashes -= 1) { stretch.dashes.push(reader.points(reader.next(), 2)); }
      found.push(stretch);
    }
    return found;
  }

  function things(frame) {
    const reader = unpack(run.text("things", frame));
    const found = [];
    for (let left = reader.next(); left > 0; left -= 1) {
      const one = { layer: reader.next(), before: reader.next() === 1, kind: reader.next() };
      one.points = reader.points(reader.next(), 2);
      found.push(one);
    }
    return found;
  }

  function paved(stretch, layer) {
    const drawn = [shape("rect", "seat-ground seat-ground--" + layer % 2, { x: 0, y: stretch.top, width: WIDTH, height: Math.max(0, HEIGHT - stretch.top) })];
    side.strips.forEach(function (strip) {
      if (!stretch.edges[strip[0]].length) { return; }
      drawn.push(polygon(band(stretch.edges[strip[0]], stretch.edges[strip[1]], 0, 1), "seat-shoulder"));
      drawn.push(polygon(band(stretch.edges[strip[2]], stretch.edges[strip[3]], 0, 1), "seat-road"));
    });
    return drawn;
  }

  function lines(stretch) {
    const drawn = [];
    side.marks.forEach(function (mark) {
      const one = stretch.edges[mark[0]];
      const other = stretch.edges[mark[1]];
      if (!one.length) { return; }
      const classes = mark[3] ? "seat-yellow" : "seat-white";
      const from = (mark[4] ? APART : 0.3) / mark[2];
      drawn.push(polygon(band(one, other, from, from + LINE / mark[2]), classes));
      if (mark[4]) { drawn.push(polygon(band(one, other, -from, -from - LINE / mark[2]), classes)); }
    });
    stretch.dashes.forEach(function (dash) {
      if (dash.length) { drawn.push(polygon(dash, side.dashes[0] ? "seat-yellow" : "seat-white")); }
    });
    return drawn;
  }

  /* The vehicle: the end that faces the driver, and the side that can be seen of it. */
  function vehicle(frame) {
    const reader = unpack(run.text("vehicles", frame));
    const layer = reader.next();
    const edge = reader.points(6, 2);
    function at(index, share) { return between(edge[2 * index], edge[2 * index + 1], share); }
    function face(one, other, from, to) { return [at(one, from), at(other, from), at(other, to), at(one, to)]; }
    const drawn = [
      polygon(face(1, 2, 0, BOX_FROM), "seat-under"), polygon(face(1, 2, BOX_FROM, 1), "seat-side"),
      polygon(face(0, 1, 0, BOX_FROM), "seat-under"), polygon(face(0, 1, BOX_FROM, 1), "seat-end")
    ];
    if (side.toward === "ahead") {
      const low = between(at(0, 0.5), at(1, 0.5), 0.08);
      const far = between(at(0, 0.5), at(1, 0.5), 0.92);
      drawn.push(polygon([low, far, between(at(0, 0.78), at(1, 0.78), 0.92), between(at(0, 0.78), at(1, 0.78), 0.08)], "seat-glass"));
    }
    const lamps = [0.08, 0.92].map(function (share) { return between(at(0, LAMP_AT), at(1, LAMP_AT), share); });
    const size = Math.max(1.2, Math.abs(at(1, 0)[0] - at(0, 0)[0]) * 0.035);
    return { layer: layer, drawn: drawn, lamps: lamps.map(function (lamp) {
      return shape("circle", "seat-lamp", { cx: lamp[0], cy: lamp[1], r: size });
    }), middle: between(at(0, 0.3), at(1, 0.3), 0.5), size: Math.abs(at(1, 0)[0] - at(0, 0)[0]) };
  }

  /* A warning triangle by the middle of its base and its height: red border, open middle. */
  function triangle(point) {
    const high = point[2] / 10;
    const half = high / Math.sqrt(3);
    function corners(share) {
      const middle = point[1] - high / 3;
      return [[point[0], middle - share * 2 * high / 3], [point[0] + share * half, middle + share * high / 3], [point[0] - share * half, middle + share * high / 3]];
    }
    return [polygon(corners(1), "seat-device"), polygon(corners(0.45), "seat-device-open")];
  }

  function track(frame, place) {
    const text = run.text("tracks", frame);
    const reader = unpack(text || "");
    let at = 0;
    while (reader.more()) {
      at += reader.next();
      const count = reader.next();
      const points = reader.points(count, 3);
      if (place > at && place <= at + count) { return points[place - at - 1]; }
      at += count;
    }
    return null;
  }

  function inner(frame, index) {
    const reader = unpack(side.inner);
    let point = null;
    for (let skipped = 0; skipped <= frame * side.count + index; skipped += 1) { point = [reader.next(), reader.next(), reader.next()]; }
    return point;
  }

  function ring(x, y, size) {
    return shape("circle", "seat-ring", { cx: x, cy: y, r: Math.max(16, size) });
  }

  /* Paint into a group: frame, light, place of the far device, nearer devices that stand, rings or not. */
  return function (group, view) {
    const stretches = roads(view.frame);
    const beside = things(view.frame);
    const truck = vehicle(view.frame);
    const reach = run.reach(view.light)[view.frame];
    const dark = side.lights[view.light].look !== "day";
    const shown = run.vehicle(view.light, view.frame);
    const drawn = [shape("rect", "seat-sky", { x: 0, y: 0, width: WIDTH, height: HEIGHT })];
    const rings = [];

    function stand(layer, before) {
      beside.forEach(function (one) {
        if (one.layer === layer && one.before === before) { drawn.push(polygon(one.points, "seat-thing seat-thing--" + one.kind)); }
      });
    }

    for (let layer = stretches.length; layer >= 0; layer -= 1) {
      if (layer < stretches.length) {
        drawn.push.apply(drawn, paved(stretches[layer], layer));
        const painted = shape("g", "seat-lines", dark ? { "clip-path": "url(#" + view.clip + ")" } : {});
        lines(stretches[layer]).forEach(function (line) { painted.appendChild(line); });
        drawn.push(painted);
      }
      stand(layer, false);
      if (layer === truck.layer && (shown || !dark)) {
        drawn.push.apply(drawn, truck.drawn);
        if (shown) {
          drawn.push.apply(drawn, truck.lamps);
          rings.push(ring(truck.middle[0], truck.middle[1], truck.size));
        }
      }
      stand(layer, true);
    }
    run.inner(view.light, view.frame).filter(function (index) { return view.inner.indexOf(index) >= 0; }).forEach(function (index) {
      const point = inner(view.frame, index);
      drawn.push.apply(drawn, triangle(point));
      rings.push(ring(point[0], point[1] - point[2] / 20, point[2] / 8));
    });
    if (run.device(view.light, view.place, view.frame)) {
      const point = track(view.frame, view.place);
      if (point) {
        drawn.push.apply(drawn, triangle(point));
        rings.push(ring(point[0], point[1] - point[2] / 20, point[2] / 8));
      }
    }
    group.replaceChildren.apply(group, view.rings ? drawn.concat(rings) : drawn);
    return reach;
  };
};
