/* The reader of the placement table: places on axes in, words and figures out. It finds places and nothing
   else: no distance is added, compared or rounded here. Line for line the twin of the reader in Python. */

var TABLE_VERSION = 2;

function TableReader(table) {
  if (!table || table.version !== TABLE_VERSION) throw new Error("a table of another version");
  this.table = table;
}

/* at: {road, speed, grade, visibility, behind, ahead}, each a place on its axis. */
TableReader.prototype.lookup = function (at) {
  var reader = this;
  var table = this.table;
  var axes = table.axes;
  var road = axes.road[at.road];
  var layout = table.layouts[table.layout[road][at.speed]];
  var grades = { behind: at.grade, ahead: axes.grade.mirror[at.grade] };
  var sides = {};
  axes.sides[at.road].forEach(function (side) {
    sides[side] = reader.side(road, side, at.speed, grades[side], at.visibility, at[side]);
  });
  var walk = this.walk(layout, sides);
  return {
    road: road,
    layout: table.layout[road][at.speed],
    devices: layout.devices.map(function (device) {
      return reader.device(device, sides);
    }),
    sides: sides,
    walk: walk,
    order: layout.order.map(function (leg) {
      return reader.leg(leg, sides);
    }),
    cautions: this.cautions(layout, sides, walk, at),
  };
};

/* The worked examples that this table answers otherwise, by id. */
TableReader.prototype.disagreements = function () {
  var reader = this;
  return this.table.examples
    .filter(function (example) {
      return !reader.agrees(example);
    })
    .map(function (example) {
      return example.id;
    });
};

TableReader.prototype.side = function (road, side, speed, grade, visibility, hidden) {
  var table = this.table;
  var axes = table.axes;
  var stopping = speed * axes.grade.pct.length + grade;
  var grid = table.grids[table.rows[road][side]];
  var block = table.blocks[this.code(grid, stopping * axes.visibility.id.length + visibility)];
  var answer = table.answers[this.code(block, hidden)];
  var hiddenLength = axes.hidden.length[hidden];
  var slots = {
    side: side,
    hidden: hiddenLength >= 0 ? table.lengths.text[hiddenLength] : "",
    warning: table.warnings.text[answer[1]],
    base_warning: table.warnings.text[answer[2]],
    needed: table.needed.text[stopping],
    shortfall: table.shortfalls.text[answer[4]],
    shortfall_s: table.shortfalls.s_text[answer[4]],
    look: table.looks.text[answer[5]],
    look_s: table.looks.s_text[answer[5]],
  };
  return {
    length: answer[0],
    warning: answer[1],
    vehicleOnly: table.vehicle[hidden * axes.visibility.id.length + visibility],
    stopping: stopping,
    shortfall: answer[4],
    reflecting: answer[6],
    reflectingReach: axes.visibility.reflecting[visibility],
    beyond: answer[7] === 1,
    slots: slots,
    reason: this.filled(answer[3], slots),
    ample: answer[4] === 0,
    hiddenLength: hiddenLength,
  };
};

TableReader.prototype.device = function (device, sides) {
  var texts = this.table.texts;
  var side = device.outer ? sides[device.toward] : null;
  var length = side ? side.length : device.length;
  var moved = length !== device.length;
  return {
    toward: device.toward,
    length: length,
    across: texts[device.across],
    moved: moved,
    reason: side ? side.reason : texts[device.reason],
    source: texts[moved ? device.moved_source : device.source],
  };
};

TableReader.prototype.walk = function (layout, sides) {
  var places = {};
  ["behind", "ahead"].forEach(function (side) {
    var outer = layout.outer[side];
    places[side] = outer.length ? outer.indexOf(sides[side].length) : 0;
  });
  return this.code(layout.walk, places.behind * (layout.outer.ahead.length || 1) + places.ahead);
};

TableReader.prototype.leg = function (leg, sides) {
  var paced = {};
  var lengths = this.table.lengths;
  Object.keys(sides).forEach(function (side) {
    if (sides[side].length >= 0) paced[side] = lengths.paced[sides[side].length];
  });
  return this.filled(leg, paced);
};

TableReader.prototype.cautions = function (layout, sides, walk, at) {
  var reader = this;
  var table = this.table;
  var said = layout.forbidden >= 0 ? [this.filled(layout.forbidden)] : [];
  Object.keys(sides).forEach(function (side) {
    if (!sides[side].ample) said.push(reader.filled(table.short, sides[side].slots));
  });
  var beyond = Object.keys(sides).some(function (side) {
    return sides[side].beyond;
  });
  if (beyond) said.push(this.filled(table.beyond));
  if (table.walks.slow[walk]) said.push(this.filled(layout.slow));
  if (table.axes.hidden.length[at.ahead] >= 0 && table.ahead[at.road] >= 0) said.push(this.filled(table.ahead[at.road]));
  return said.concat(
    layout.cautions[at.visibility].map(function (text) {
      return reader.filled(text);
    })
  );
};

TableReader.prototype.agrees = function (example) {
  var table = this.table;
  var names = ["road", "speed", "grade", "visibility", "behind", "ahead"];
  var at = {};
  names.forEach(function (name, place) {
    at[name] = example.at[place];
  });
  var answer = this.lookup(at);
  var found = answer.devices.map(function (device) {
    return [device.toward, table.lengths.own[device.length], device.moved ? 1 : 0];
  });
  if (JSON.stringify(found) !== JSON.stringify(example.devices)) return false;
  return Object.keys(example.sides).every(function (name) {
    var side = answer.sides[name];
    var expected = example.sides[name];
    if (!side) return false;
    if (expected[0] !== null && expected[0] !== table.needed.own[side.stopping]) return false;
    if (expected[1] !== null && expected[1] !== table.warnings.own[side.warning]) return false;
    return Boolean(expected[2]) === side.ample;
  });
};

/* A text with its slots filled; what is no slot stays as it is. */
TableReader.prototype.filled = function (text, slots) {
  if (text < 0) return "";
  return Object.keys(slots || {}).reduce(function (words, name) {
    return words.split("{" + name + "}").join(slots[name]);
  }, this.table.texts[text]);
};

TableReader.prototype.code = function (codes, place) {
  var alphabet = this.table.alphabet;
  return alphabet.length * alphabet.indexOf(codes[2 * place]) + alphabet.indexOf(codes[2 * place + 1]);
};
