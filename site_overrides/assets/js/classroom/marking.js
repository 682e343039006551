/* Marks a placement by comparing whole feet, or whole meters. What is right was computed beforehand; a test
   marks the same attempts in feet. */
var classroom = window.classroom = window.classroom || {};

classroom.verdict = function (expected, distance) {
  "use strict";
  if (expected.low <= distance && distance <= expected.high) { return "right"; }
  var step = distance - distance % expected.step;
  var ample = expected.open.some(function (run) { return run[0] <= step && distance <= run[1]; });
  if (ample) { return distance <= expected.economic ? "ample" : "long-walk"; }
  return distance < expected.distance ? "too-near" : "too-far";
};

classroom.mark = function (expected, attempt) {
  "use strict";

  var POINTS = { "right": 1, "ample": 1, "long-walk": 0.5 };

  function points(verdict) { return POINTS[verdict] || 0; }

  function marked(wanted, found) {
    if (!found) { return { expected: wanted, set: null, verdict: "missing", across: false, points: 0 }; }
    var verdict = classroom.verdict(wanted, found.distance);
    var across = found.across === wanted.across;
    return { expected: wanted, set: found, verdict: verdict, across: across, points: across ? points(verdict) : 0 };
  }

  var marks = [];
  var spare = [];
  ["behind", "ahead"].forEach(function (toward) {
    var wanted = expected.filter(function (one) { return one.toward === toward; });
    var given = attempt.filter(function (one) { return one.toward === toward; })
      .sort(function (a, b) { return a.distance - b.distance; });
    var taken = wanted.map(function (one) {
      for (var index = 0; index < given.length; index += 1) {
        if (points(classroom.verdict(one, given[index].distance))) { return given.splice(index, 1)[0]; }
      }
      return null;
    });
    wanted.forEach(function (one, index) { marks.push(marked(one, taken[index] || given.shift() || null)); });
    given.forEach(function (one) {
      spare.push({ expected: null, set: one, verdict: "extra", across: false, points: 0 });
    });
  });
  return marks.concat(spare);
};

classroom.score = function (marks) {
  "use strict";
  var right = 0;
  var asked = 0;
  marks.forEach(function (mark) {
    right += mark.points;
    if (mark.expected) { asked += 1; } else { right -= 1; }
  });
  return [Math.max(0, right), asked];
};
