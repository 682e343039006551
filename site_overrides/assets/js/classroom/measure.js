/* Counts with their units. The page's table says which; without settings they are feet and
   miles per hour. */
window.classroom = window.classroom || {};

/* A text of the page's table with its slots filled: "{name}" becomes the value of that name. */
classroom.filled = function (text, slots) {
  "use strict";
  return text.replace(/\{(\w+)\}/g, function (slot, name) { return name in slots ? String(slots[name]) : slot; });
};

classroom.measure = function (settings) {
  "use strict";
  const unit = settings ? settings.unit : "ft";
  const posted = settings ? settings.posted : "mph";

  function length(count) { return count.toLocaleString("en-US") + " " + unit; }

  return {
    unit: unit,
    name: settings ? settings.name : "feet",
    posted: posted,
    length: length,
    speed: function (count) { return count + " " + posted; }
  };
};
