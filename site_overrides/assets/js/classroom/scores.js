/* The score sheet of the placing exercise. It stays on this device, and leaves it only as a
   file that the trainer saves. Clearing takes two taps. */
window.classroom = window.classroom || {};

classroom.STORAGE_KEY = "forty-paces-classroom-scores";

classroom.scores = function (changedElsewhere) {
  "use strict";
  let rows = [];

  function read() {
    try {
      const kept = JSON.parse(window.localStorage.getItem(classroom.STORAGE_KEY) || "[]");
      rows = Array.isArray(kept) ? kept : [];
    } catch (refused) { rows = []; }
  }

  function keep() {
    try { window.localStorage.setItem(classroom.STORAGE_KEY, JSON.stringify(rows)); } catch (refused) { /* kept until the page closes */ }
  }

  function add(row) { rows.push(row); keep(); }

  function clear() {
    rows = [];
    try { window.localStorage.removeItem(classroom.STORAGE_KEY); } catch (refused) { /* nothing was kept */ }
  }

  read();
  /* A browser writes behind the page's back: rows of another tab, or the last ones before a reload, may land late. */
  window.addEventListener("storage", function (event) {
    if (event.key !== classroom.STORAGE_KEY && event.key !== null) { return; }
    read();
    changedElsewhere();
  });
  return { all: function () { return rows.slice(); }, add: add, clear: clear };
};

/* One line a device, by RFC 4180. Rows that were kept in other units than the rest say theirs beside each figure. A field that a spreadsheet would take for a formula gets an apostrophe. */
classroom.csv = function (rows) {
  "use strict";

  function field(value) {
    let text = String(value);
    if (/^[=+\-@\t\r]/.test(text)) { text = "'" + text; }
    return /[",\r\n]/.test(text) ? '"' + text.replace(/"/g, '""') + '"' : text;
  }

  function speeds(row) { return " " + (row.posted || "mph"); }
  function lengths(row) { return " " + (row.unit || "ft"); }

  function alike(unit) { return rows.every(function (row) { return unit(row) === unit(rows[0]); }); }

  function titled(words, unit) { return rows.length && alike(unit) ? words + unit(rows[0]) : words; }

  /* Rows kept by an older page say yes or no alone. */
  function counts(device) {
    if (device.points === 0.5) { return "half"; }
    return device.points || device.counts ? "yes" : "no";
  }

  function figure(value, unit, row) { return value === "" || alike(unit) ? value : value + unit(row); }

  const head = ["learner", "time", "number", "situation", "scene", titled("posted", speeds), "light", "right", "of", "device",
    "toward", titled("asked", lengths), "asked across", titled("set", lengths), "set across", "verdict", "counts"];
  const lines = [head];
  rows.forEach(function (row) {
    row.devices.forEach(function (device, index) {
      lines.push([row.learner, row.time, row.number, row.situation, row.scene, figure(row.speed, speeds, row), row.light, row.right, row.of,
        index + 1, device.toward, figure(device.asked, lengths, row), device.askedAcross,
        figure(device.set, lengths, row), device.setAcross, device.verdict,
        counts(device)]);
    });
  });
  return lines.map(function (line) { return line.map(field).join(","); }).join("\r\n") + "\r\n";
};
