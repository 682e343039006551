/* Counts with their units. The page's table says which; where it says nothing they are feet and
   miles an hour. Feet and paces beside meters are looked up, not reckoned. */
var classroom = window.classroom = window.classroom || {};

classroom.measure = function (told) {
  "use strict";
  var unit = told ? told.unit : "ft";
  var posted = told ? told.posted : "mph";

  function length(count) { return count.toLocaleString("en-US") + " " + unit; }

  return {
    unit: unit,
    name: told ? told.name : "feet",
    posted: posted,
    length: length,
    speed: function (count) { return count + " " + posted; },
    /* '100 ft', or '30 m (98 ft)'. */
    said: function (count) {
      return told && told.feet ? length(count) + " (" + told.feet[count].toLocaleString("en-US") + " ft)" : length(count);
    }
  };
};
