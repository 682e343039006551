/* A run in the driver's seat: which frame is shown, what is in view in it, and how it ends. Nothing here
   touches the page, and every figure comes from the table that Python computed. */
window.classroom = window.classroom || {};

classroom.seatSide = function (side, unpack, pool) {
  "use strict";
  const eyes = [];
  const seen = {};
  const reading = unpack(side.eyes);
  while (reading.more()) { eyes.push(reading.next() + (eyes.length ? eyes[eyes.length - 1] : 0)); }

  function indexes(text) {
    const reader = unpack(text);
    return eyes.map(function () { return reader.next(); });
  }

  const frames = { roads: indexes(side.roads), things: indexes(side.things), vehicles: indexes(side.vehicles), tracks: indexes(side.tracks) };

  /* What is in view in a light: for the vehicle, then each nearer device, then each place of the far one, the
     frames at which that changes. */
  function changes(light) {
    if (!seen[light]) {
      const reader = unpack(side.lights[light].seen);
      seen[light] = [];
      while (reader.more()) {
        const list = [];
        for (let left = reader.next(); left > 0; left -= 1) { list.push(reader.next()); }
        seen[light].push(list);
      }
    }
    return seen[light];
  }

  function inView(light, thing, frame) {
    return changes(light)[thing].filter(function (at) { return at <= frame; }).length % 2 === 1;
  }

  return {
    eyes: eyes,
    last: eyes.length - 1,
    text: function (what, frame) { return pool[frames[what][frame]]; },
    vehicle: function (light, frame) { return inView(light, 0, frame); },
    /* The numbers of the nearer devices in view. */
    inner: function (light, frame) {
      const found = [];
      for (let index = 0; index < side.count; index += 1) {
        if (inView(light, 1 + index, frame)) { found.push(index); }
      }
      return found;
    },
    /* Whether the far device is in view at a place, counted from 1; 0 is no device. */
    device: function (light, place, frame) {
      return place > 0 && place <= side.places && inView(light, side.count + place, frame);
    },
    reach: function (light) {
      return unpack(side.lights[light].reach).points(eyes.length, 1).map(function (point) { return point[0]; });
    },
    /* How a run at a speed ends whose driver brakes in a frame; a frame beyond the last is no brake. */
    end: function (speed, frame) {
      const reader = unpack(side.speeds[speed].ends);
      let value = reader.next();
      for (let index = 0; index < Math.min(frame, eyes.length); index += 1) { value = reader.next(); }
      return value;
    },
    /* The seconds from the first frame to another at a speed. */
    seconds: function (speed, frame) { return (eyes[0] - eyes[frame]) / side.speeds[speed].fps; }
  };
};

/* Whether the vehicle or a device is in view in a frame. */
classroom.somethingInView = function (run, light, place, frame) {
  "use strict";
  return run.vehicle(light, frame) || run.device(light, place, frame) || run.inner(light, frame).length > 0;
};

/* The first frame from which something stays in view to the end: a glimpse before it does not count; -1 where
   there is none. */
classroom.firstSight = function (run, light, place) {
  "use strict";
  let first = -1;
  for (let frame = run.last; frame >= 0 && classroom.somethingInView(run, light, place, frame); frame -= 1) { first = frame; }
  return first;
};

/* How a run ends, as the key of a text and its figures. */
classroom.seatResult = function (end, distance, needed, braked) {
  "use strict";
  if (!braked) { return { key: "never", impact: end }; }
  if (end > 0) { return { key: distance > 0 && end < braked ? "hits" : "hits-unbraked", impact: end, needed: needed }; }
  return end === 0 ? { key: "stops-just", needed: needed } : { key: "stops", needed: needed, left: -end };
};
