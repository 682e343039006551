/* The vehicle: what cannot apply to it is left out, what must apply loses its condition.
   With no vehicle chosen everything is shown with its conditions. */

var currentVehicle = null;

/* The chosen vehicle as one line: title, unit, plate; empty where none is chosen. */
const vehicleWords = (language = OWN) => {
  if (!currentVehicle) return "";
  const unit = currentVehicle.unit && filled(language.words.help_part_unit, { text: currentVehicle.unit });
  const title = language === OWN ? currentVehicle.title : spoken.vehicles[currentVehicle.id];
  return [title, unit, currentVehicle.plate].filter(Boolean).join(", ");
};

part("vehicle", function () {
  var fixed = root.getAttribute("data-vehicle");
  var known = Object.create(null);
  (data.vehicles || []).forEach(function (vehicle) {
    known[vehicle.id] = vehicle;
  });

  function chosen() {
    return known[fixed || recalled("vehicle")] || null;
  }

  /* true, false, or null where the equipment is not known. */
  function meets(when, vehicle) {
    var answers = when.split(" ").map(function (condition) {
      var holds = vehicle ? vehicle.has[condition] : undefined;
      return holds === undefined ? null : holds;
    });
    if (answers.indexOf(false) >= 0) return false;
    return answers.indexOf(null) >= 0 ? null : true;
  }

  function apply() {
    var vehicle = chosen();
    currentVehicle = vehicle;
    const otherRecord = keepFor(vehicle ? vehicle.id : "");
    all("[data-when]").forEach(function (element) {
      var when = element.getAttribute("data-when");
      if (!when) return;
      var answer = meets(when, vehicle);
      element.hidden = answer === false;
      all(".condition", element).forEach(function (tag) {
        tag.hidden = answer === true;
      });
    });
    all(".block").forEach(function (block) {
      block.hidden = !one(".step:not([hidden])", block);
    });
    all(".procedure").forEach(function (procedure) {
      all(".step:not([hidden]) .step__number", procedure).forEach(function (number, at) {
        number.textContent = String(at + 1);
      });
    });
    var shown = one("[data-vehicle-shown]");
    if (shown) {
      // Where room is short the unit number alone stands for the vehicle.
      var short = vehicle && vehicle.unit ? "wide-only" : null;
      emptied(shown).appendChild(made("strong", { class: short }, vehicle ? vehicle.title : words.vehicle_choose));
      if (vehicle && vehicle.unit) shown.appendChild(made("span", {}, filled(words.help_part_unit, { text: vehicle.unit })));
    }
    all("[data-vehicle-set]").forEach(function (button) {
      var mine = button.getAttribute("data-vehicle-set") === (vehicle ? vehicle.id : "");
      button.setAttribute("aria-pressed", String(mine));
    });
    announce("vehicle");
    if (otherRecord) announce("changed-elsewhere");
  }

  all("[data-vehicle-set]").forEach(function (button) {
    on(button, "click", function () {
      const id = button.getAttribute("data-vehicle-set");
      if (!currentVehicle && known[id]) claimFor(id);
      remember("vehicle", id);
      apply();
      go("start");
    });
  });
  listen("changed-elsewhere", function () {
    if (chosen() !== currentVehicle) apply();
  });
  apply();
});
