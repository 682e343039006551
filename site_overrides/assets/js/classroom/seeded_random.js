/* Deterministic random choices, the same as in generator/forty_paces/outputs/classroom/seeded_random.py:
   Marsaglia's xorshift with the shifts 13, 17, 5 on 32 bits. A test compares both. */
window.classroom = window.classroom || {};

classroom.seededRandom = function (number) {
  "use strict";
  let state = (Math.imul(number >>> 0, 0x9E3779B1) + 1) >>> 0 || 1;

  function next() {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return state;
  }

  for (let round = 0; round < 4; round += 1) { next(); }

  function below(count) { return next() % count; }

  function shuffled(items) {
    const order = items.slice();
    for (let last = order.length - 1; last > 0; last -= 1) {
      const other = below(last + 1);
      const kept = order[last];
      order[last] = order[other];
      order[other] = kept;
    }
    return order;
  }

  return { below: below, shuffled: shuffled };
};

/* The situations of a number, dealt in rounds of four: of each round, a lazy strategy is right in one at most.
   `lazy` says of every variant of every scene whether one is. Each of the two piles has every scene once before any
   comes again. Returns a function that gives [scene, variant] pairs. */
classroom.dealer = function (lazy, number) {
  "use strict";
  const ROUND = 4;
  const random = classroom.seededRandom(number);

  function pile(wanted) {
    const scenes = [];
    lazy.forEach(function (variants, scene) {
      const fitting = [];
      variants.forEach(function (one, variant) { if (Boolean(one) === wanted) { fitting.push([scene, variant]); } });
      if (fitting.length) { scenes.push(fitting); }
    });
    let waiting = [];
    return !scenes.length ? null : function () {
      if (!waiting.length) {
        waiting = random.shuffled(scenes).map(function (fitting) { return fitting[random.below(fitting.length)]; });
      }
      return waiting.shift();
    };
  }

  const easy = pile(true);
  const other = pile(false) || easy;
  let round = [];
  return function () {
    if (!round.length) {
      const dealt = [];
      while (dealt.length < ROUND) { dealt.push(dealt.length || !easy ? other() : easy()); }
      round = random.shuffled(dealt);
    }
    return round.shift();
  };
};
