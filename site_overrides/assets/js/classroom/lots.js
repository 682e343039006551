/* Drawing lots that come out as they do in generator/forty_paces/outputs/lots.py: Marsaglia's xorshift
   with the shifts 13, 17, 5 on 32 bits. A test deals both the same numbers. */
var classroom = window.classroom = window.classroom || {};

classroom.lots = function (number) {
  "use strict";
  var state = (Math.imul(number >>> 0, 0x9E3779B1) + 1) >>> 0 || 1;

  function next() {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return state;
  }

  for (var round = 0; round < 4; round += 1) { next(); }

  function below(count) { return next() % count; }

  function shuffled(things) {
    var order = things.slice();
    for (var last = order.length - 1; last > 0; last -= 1) {
      var other = below(last + 1);
      var kept = order[last];
      order[last] = order[other];
      order[other] = kept;
    }
    return order;
  }

  return { below: below, shuffled: shuffled, one: function (things) { return things[below(things.length)]; } };
};

/* The situations of a number, dealt one after another: every scene once before any comes again.
   Returns a function that gives [scene, variant] pairs. */
classroom.dealer = function (counts, number) {
  "use strict";
  var lots = classroom.lots(number);
  var scenes = counts.map(function (count, index) { return index; });
  var waiting = [];
  return function () {
    if (!waiting.length) {
      waiting = lots.shuffled(scenes).map(function (scene) { return [scene, lots.below(counts[scene])]; });
    }
    return waiting.shift();
  };
};
