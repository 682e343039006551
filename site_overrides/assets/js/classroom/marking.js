/* Marks a placement by comparing whole feet, or whole meters. What is right was computed beforehand; a test
   marks the same attempts in feet. */
window.classroom = window.classroom || {};

classroom.verdict = function (expected, distance) {
  "use strict";
  if (expected.low <= distance && distance <= expected.high) { return "right"; }
  const step = distance - distance % expected.step;
  const ample = expected.open.some(function (run) { return run[0] <= step && distance <= run[1]; });
  if (ample) { return distance <= expected.economic ? "ample" : "long-walk"; }
  return distance < expected.distance ? "too-near" : "too-far";
};

classroom.mark = function (expected, attempt) {
  "use strict";

  const POINTS = { "right": 1, "ample": 1, "long-walk": 0.5 };

  function points(verdict) { return POINTS[verdict] || 0; }

  function marked(wanted, given) {
    if (!given) { return { expected: wanted, set: null, verdict: "missing", across: false, points: 0 }; }
    const verdict = classroom.verdict(wanted, given.distance);
    const across = given.across === wanted.across;
    return { expected: wanted, set: given, verdict: verdict, across: across, points: across ? points(verdict) : 0 };
  }

  const marks = [];
  const spare = [];
  ["behind", "ahead"].forEach(function (toward) {
    const wanted = expected.filter(function (device) { return device.toward === toward; });
    const given = attempt.filter(function (device) { return device.toward === toward; })
      .sort(function (a, b) { return a.distance - b.distance; });
    const taken = wanted.map(function (device) {
      for (let index = 0; index < given.length; index += 1) {
        if (points(classroom.verdict(device, given[index].distance))) { return given.splice(index, 1)[0]; }
      }
      return null;
    });
    wanted.forEach(function (device, index) { marks.push(marked(device, taken[index] || given.shift() || null)); });
    given.forEach(function (device) {
      spare.push({ expected: null, set: device, verdict: "extra", across: false, points: 0 });
    });
  });
  return marks.concat(spare);
};

classroom.score = function (marks) {
  "use strict";
  let right = 0;
  let asked = 0;
  marks.forEach(function (mark) {
    right += mark.points;
    if (mark.expected) { asked += 1; } else { right -= 1; }
  });
  return [Math.max(0, right), asked];
};

/* A situation counts only if every device earns its full point and none is too many. */
classroom.counts = function (marks) {
  "use strict";
  return marks.every(function (mark) { return mark.expected !== null && mark.points === 1; });
};
