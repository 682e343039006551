/* Who answers on this device: a class and a number, never a name; and the file of what was answered. */
import { className, fileName, learnerNumber, localDay, scoreFile } from "./score_rows.js";
import { classStore } from "./class_store.js";

export const learner = (function () {
  "use strict";

  const store = classStore(() => window.localStorage, () => window.sessionStorage, Boolean(byId("expiry")));

  function byId(id) { return document.getElementById(id); }

  function make(tag, attributes, text) {
    const element = document.createElement(tag);
    Object.keys(attributes || {}).forEach(function (name) { element.setAttribute(name, attributes[name]); });
    if (text !== undefined) { element.textContent = text; }
    return element;
  }

  function download(name, text, type) {
    const link = make("a", { download: name });
    link.href = URL.createObjectURL(new Blob([text], { type: type }));
    document.body.appendChild(link);
    link.click();
    link.remove();
    setTimeout(function () { URL.revokeObjectURL(link.href); }, 10000);
  }

  function save(who) {
    const rows = store.rows(who);
    download(fileName(rows, localDay(new Date())), scoreFile(rows), "text/csv");
  }

  /* A sheet of one learner's rows, or of every learner's, which is in the page only while it is printed. */
  function print(words, who) {
    const sheet = make("section", { "class": "results-sheet" });
    const groups = new Map();
    store.rows(who).forEach(function (row) {
      const name = named(words, row);
      groups.set(name, (groups.get(name) || []).concat([row]));
    });
    groups.forEach(function (rows, name) {
      const table = make("table");
      const columns = ["day", "title", "asked", "given", "answer", "points"];
      const cells = function (tag, values) {
        const line = make("tr");
        values.forEach(function (value) { line.appendChild(make(tag, tag === "th" ? { scope: "col" } : {}, value)); });
        return line;
      };
      table.appendChild(make("thead")).appendChild(cells("th", columns.map(function (column) { return words["sheet_" + column]; })));
      const body = table.appendChild(make("tbody"));
      rows.forEach(function (row) {
        const all = Object.assign({}, row, { points: classroom.filled(words.sheet_of, { right: row.points, of: row.of }) });
        body.appendChild(cells("td", columns.map(function (column) { return String(all[column] ?? ""); })));
      });
      sheet.append(make("h2", {}, name), table);
    });
    document.body.appendChild(sheet);
    document.documentElement.classList.add("prints-results");
    window.addEventListener("afterprint", function () {
      document.documentElement.classList.remove("prints-results");
      sheet.remove();
    }, { once: true });
    window.print();
  }

  /* The class and number as typed; null until both are there. */
  function typed() {
    const who = { class: className(byId("class").value), number: learnerNumber(byId("learner").value) };
    return who.class && who.number ? who : null;
  }

  function named(words, who) {
    return classroom.filled(who.number === "0" ? words.whole_class : words.who, who);
  }

  /* Says so when nothing can be kept on this device. */
  function warn(words) {
    const box = byId("kept");
    const text = store.kept() ? "" : words.not_kept;
    if (box.textContent !== text) { box.textContent = text; }
    box.hidden = !text;
  }

  return { store: store, byId: byId, make: make, download: download, save: save, print: print, typed: typed, named: named, warn: warn,
    today: function () { return localDay(new Date()); } };
}());
