/* Marks a placement as generator/forty_paces/outputs/marking.py does, by comparing whole feet, or whole meters.
   A test deals both the same attempts. */
var classroom = window.classroom = window.classroom || {};

classroom.verdict = function (expected, distance) {
  "use strict";
  if (expected.low <= distance && distance <= expected.high) { return "right"; }
  var step = distance - distance % expected.step;
  var ample = expected.open.some(function (run) { return run[0] <= step && distance <= run[1]; });
  if (ample) { return "ample"; }
  return distance < expected.distance ? "too-near" : "too-far";
};

classroom.mark = function (expected, attempt) {
  "use strict";

  function isRight(verdict) { return verdict === "right" || verdict === "ample"; }

  function marked(wanted, found) {
    if (!found) { return { expected: wanted, set: null, verdict: "missing", across: false, counts: false }; }
    var verdict = classroom.verdict(wanted, found.distance);
    var across = found.across === wanted.across;
    return { expected: wanted, set: found, verdict: verdict, across: across, counts: isRight(verdict) && across };
  }

  var marks = [];
  var spare = [];
  ["behind", "ahead"].forEach(function (toward) {
    var wanted = expected.filter(function (one) { return one.toward === toward; });
    var given = attempt.filter(function (one) { return one.toward === toward; })
      .sort(function (a, b) { return a.distance - b.distance; });
    var taken = wanted.map(function (one) {
      for (var index = 0; index < given.length; index += 1) {
        if (isRight(classroom.verdict(one, given[index].distance))) { return given.splice(index, 1)[0]; }
      }
      return null;
    });
    wanted.forEach(function (one, index) { marks.push(marked(one, taken[index] || given.shift() || null)); });
    given.forEach(function (one) {
      spare.push({ expected: null, set: one, verdict: "extra", across: false, counts: false });
    });
  });
  return marks.concat(spare);
};

classroom.score = function (marks) {
  "use strict";
  var right = 0;
  var asked = 0;
  marks.forEach(function (mark) {
    if (mark.counts) { right += 1; }
    if (mark.expected) { asked += 1; } else { right -= 1; }
  });
  return [Math.max(0, right), asked];
};
