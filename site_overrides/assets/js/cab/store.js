/* What this tablet remembers. Every key stands in this list and nowhere else.

   Storage may be missing, full or cleared at any time: then the page remembers
   until it is closed, and nothing that matters depends on more. */

var KEYS = {
  look: "choice",
  text: "choice",
  vehicle: "choice",
  finder: "choice",
  ticks: "record",
  answers: "record",
  log: "record",
  marks: "record",
  fields: "record",
  stopped: "record",
  out: "record",
  events: "record",
};
var PREFIX = "forty-paces/";
var LOG_LIMIT = 1000;
var memory = {};
var kept = true;

function recalled(key) {
  if (!(key in KEYS)) throw new Error("no such key: " + key);
  if (key in memory) return memory[key];
  try {
    memory[key] = JSON.parse(window.localStorage.getItem(PREFIX + key));
  } catch (fault) {
    memory[key] = null;
  }
  return memory[key];
}

function remember(key, value) {
  if (!(key in KEYS)) throw new Error("no such key: " + key);
  memory[key] = value;
  try {
    window.localStorage.setItem(PREFIX + key, JSON.stringify(value));
  } catch (fault) {
    // Kept in memory; the driver is told, for it ends with the page.
    if (kept) {
      kept = false;
      tell("not-kept");
    }
  }
}

function forget(kind) {
  Object.keys(KEYS).forEach(function (key) {
    if (KEYS[key] !== kind) return;
    delete memory[key];
    try {
      window.localStorage.removeItem(PREFIX + key);
    } catch (fault) {
      /* Nothing was kept. */
    }
  });
}

/* A table of texts or times by key; whatever else was found in storage is not one. */
function recalledTable(key) {
  var found = recalled(key);
  return found && typeof found === "object" && !Array.isArray(found) ? found : {};
}

function recalledTime(key) {
  var found = recalled(key);
  return typeof found === "number" && isFinite(found) ? found : null;
}

function recalledLog() {
  var found = recalled("log");
  if (!Array.isArray(found)) return [];
  return found.filter(function (entry) {
    return entry && typeof entry.at === "number" && typeof entry.what === "string";
  });
}

/* One line of the record: the time, the key of what was done, and its words where it has no key on the page. */
function note(what, words) {
  var log = recalledLog();
  log.push({ at: now(), what: what, words: words || "" });
  remember("log", log.slice(-LOG_LIMIT));
  tell("noted");
}

/* Take back the last line about something that was marked by mistake. */
function unnote(what) {
  var log = recalledLog();
  for (var at = log.length - 1; at >= 0; at -= 1) {
    if (log[at].what === what) {
      log.splice(at, 1);
      break;
    }
  }
  remember("log", log);
  tell("noted");
}

function stale() {
  return Object.keys(memory).some(function (key) {
    try {
      return JSON.stringify(memory[key]) !== (window.localStorage.getItem(PREFIX + key) || "null");
    } catch (fault) {
      return false;
    }
  });
}

/* A page that was put aside hears of nothing: it reads again what others wrote since. */
document.addEventListener("visibilitychange", function () {
  if (document.hidden || !kept || !stale()) return;
  memory = {};
  tell("changed-elsewhere");
});

/* Another page of this edition wrote something: forget what this one holds in memory. */
window.addEventListener("storage", function (event) {
  var key = event.key === null ? null : event.key.slice(PREFIX.length);
  if (key === null) memory = {};
  else if (event.key.indexOf(PREFIX) === 0) delete memory[key];
  else return;
  tell("changed-elsewhere");
});
