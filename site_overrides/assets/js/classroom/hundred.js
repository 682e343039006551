/* Fills in the picture of a hundred drivers: how many can stop with a device at one distance and at another.
   The shares come from the table in the page; this script puts shapes into cells. */
window.classroom = window.classroom || {};

/* Returns a function that shows a pair in a blank picture: of each distance, warning, low, middle and high. */
classroom.hundreds = function (plan, measure) {
  "use strict";
  const words = plan.words;
  const filled = classroom.filled;

  function drivers(mark, place, low, high) {
    const range = { stops: [0, low], open: [low, high], hits: [high, 100] }[mark[0]];
    let path = "";
    for (let number = range[0]; number < range[1]; number += 1) {
      const x = plan.lefts[place] + number % 10 * plan.cell + mark[1];
      const y = plan.top + Math.floor(number / 10) * plan.cell + mark[2];
      path += "M" + x + " " + y + mark[3];
    }
    return path;
  }

  function band(one) {
    return filled(words[one[2] === one[4] ? "one" : "band"], { low: one[2], middle: one[3], high: one[4] });
  }

  return function (svg, pair, side) {
    svg.querySelectorAll(".fp-hundred-grid").forEach(function (grid, place) {
      const one = pair[place];
      const texts = grid.querySelectorAll("text");
      texts[0].textContent = filled(words.device, { distance: measure.length(one[0]) });
      texts[1].textContent = filled(words.warned, { warning: measure.length(one[1]) });
      texts[2].textContent = filled(words[one[2] === one[4] ? "count-one" : "count"], { low: one[2], high: one[4] });
      grid.querySelectorAll("path").forEach(function (path, index) { path.setAttribute("d", drivers(plan.marks[index], place, one[2], one[4])); });
    });
    const description = pair.map(function (one) {
      return filled(words.described, { distance: measure.length(one[0]), side: plan.sides[side], warning: measure.length(one[1]), band: band(one) });
    }).join(" ");
    svg.querySelector("desc").textContent = description;
    return description;
  };
};
