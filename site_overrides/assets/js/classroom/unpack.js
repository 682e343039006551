/* Reads the whole numbers that Python packs as text: see outputs/classroom/seat_page.py. */
window.classroom = window.classroom || {};

classroom.unpacker = function (alphabet) {
  "use strict";
  const base = alphabet.length;
  const one = 64;
  const digits = {};
  alphabet.split("").forEach(function (letter, index) { digits[letter] = index; });

  /* The numbers of a text, read from left to right. */
  return function (text) {
    let at = 0;

    function next() {
      const lead = digits[text.charAt(at)];
      let count = lead;
      at += 1;
      if (lead === base - 1) {
        count = (digits[text.charAt(at)] * base + digits[text.charAt(at + 1)]) * base + digits[text.charAt(at + 2)];
        at += 3;
      } else if (lead >= one) {
        count = one + (lead - one) * base + digits[text.charAt(at)];
        at += 1;
      }
      return count % 2 ? -(count + 1) / 2 : count / 2;
    }

    return {
      next: next,
      more: function () { return at < text.length; },
      /* So many points, each given by its difference from the one before. */
      points: function (count, width) {
        const found = [];
        let last = null;
        for (let index = 0; index < count; index += 1) {
          const point = [];
          for (let part = 0; part < width; part += 1) { point.push(next() + (last ? last[part] : 0)); }
          found.push(point);
          last = point;
        }
        return found;
      }
    };
  };
};
