/* What this tablet remembers, by carrier and vehicle. Every key stands in this list and nowhere else.

   A mark counts as kept when the store says so: until then `data-kept` of the page's root is "writing". Where the
   browser has no database, or cannot write to it, the page remembers until it is closed and shows the driver a message. */

const KEYS = {
  look: "choice",
  awake: "choice",
  aloud: "choice",
  sound: "choice",
  shake: "choice",
  trip: "trip",
  trip_text: "trip",
  text: "choice",
  vehicle: "choice",
  finder: "choice",
  walk: "record",
  ticks: "record",
  absent: "record",
  earlier: "record",
  answers: "record",
  log: "record",
  marks: "record",
  fields: "record",
  stopped: "record",
  out: "record",
  no_devices: "record",
  events: "record",
  trail: "record",
  help: "record",
  position: "record",
  photos: "record",
  expiry: "record",
};
const PREFIX = "forty-paces/";
const SHAPES = { ticks: "table", trip: "table", absent: "table", earlier: "table", help: "table", photos: "table", answers: "table", marks: "table", fields: "table", events: "table", expiry: "table", log: "log" };
const OF_TABLET = ["look", "text", "vehicle", "awake", "aloud", "sound", "shake"];
// Where the very first script finds them, so that nothing is painted in the wrong look. Nothing else reads them.
const MIRRORED = ["look", "text"];
const RECORD_KEYS = Object.keys(KEYS).filter((key) => KEYS[key] === "record");
// What makes a record. With it, in `expiry`, is when its last entry was: see expiry.js.
const RECORD_ENTRIES = RECORD_KEYS.filter((key) => key !== "expiry");
const TOUCHED_EVERY_MS = 60000;
const LOG_LIMIT = 1000;
const LONGEST_READ_MS = 3000;
const LONGEST_WRITE_MS = 5000;
const PAGE_NAME = Math.random().toString(36).slice(2, 8);

let keptFor = root.getAttribute("data-vehicle") || "";
let overdue = null;

const orNull = (get) => {
  try {
    return get() || null;
  } catch (fault) {
    return null; // Refused, as in some private windows.
  }
};

const drawKept = (state) => {
  root.setAttribute("data-kept", state);
  if (state === "writing") {
    if (overdue === null) overdue = window.setTimeout(() => announce("not-kept", true), LONGEST_WRITE_MS);
    return;
  }
  window.clearTimeout(overdue);
  overdue = null;
  announce("not-kept", state === "failed");
};

const store = createStore({
  factory: orNull(() => window.indexedDB),
  channel: orNull(() => new BroadcastChannel("forty-paces")),
  carrier: data.carrier || "",
  onChange: () => announce("changed-elsewhere"),
  onState: drawKept,
});

const known = (key) => {
  if (!(key in KEYS)) throw new Error("no such key: " + key);
  return OF_TABLET.includes(key) ? "" : keptFor;
};

// While practicing, the record is not written.
const scratch = createScratch((key) => KEYS[key] === "record");

const recalled = (key) => {
  const vehicle = known(key);
  const practiced = scratch.get(key);
  return practiced === undefined ? store.get(vehicle, key, SHAPES[key] || "one") : practiced;
};

function remember(key, value) {
  if (scratch.takes(key)) return scratch.set(key, value);
  store.set(known(key), key, SHAPES[key] || "one", value);
  if (value !== null) touch(key);
  if (MIRRORED.includes(key)) mirror(key);
}

/* Where local storage cannot be written, the look comes a moment later. */
function mirror(key) {
  const value = JSON.stringify(recalled(key));
  orNull(() => window.localStorage.getItem(PREFIX + key) === value || window.localStorage.setItem(PREFIX + key, value));
}

/* The days of a record count from its last entry, to the minute. Without the carrier's setting nothing counts. */
const touch = (key) => {
  if (!data.recordDays || !RECORD_ENTRIES.includes(key)) return;
  const { touched } = recalledTable("expiry");
  if (isTime(touched) && Math.abs(now() - touched) <= TOUCHED_EVERY_MS) return;
  remember("expiry", { touched: now() });
  announce("touched");
};

const forget = (kind) => {
  Object.keys(KEYS)
    .filter((key) => KEYS[key] === kind)
    .forEach((key) => remember(key, null));
};

/* From now on the record is that of this vehicle. Says whether it was another's before. */
const keepFor = (vehicle) => {
  const other = vehicle !== keptFor;
  keptFor = vehicle;
  return other;
};

/* A record that was begun before the vehicle was named goes with it, unless the vehicle has one already. */
const unclaimed = (vehicle) => vehicle !== "" && store.has("", RECORD_ENTRIES) && !store.has(vehicle, RECORD_ENTRIES);

const claimFor = (vehicle) => {
  if (unclaimed(vehicle)) store.move("", vehicle, RECORD_KEYS);
};

/* A table of texts or times by key; whatever else was found in storage is not one. */
function recalledTable(key) {
  const found = recalled(key);
  return found && typeof found === "object" && !Array.isArray(found) ? found : {};
}

function recalledTime(key) {
  const found = recalled(key);
  return isTime(found) ? found : null;
}

const isTime = (value) => typeof value === "number" && Number.isFinite(new Date(value).getTime());
const isLine = (line) => line && typeof line.what === "string" && isTime(line.at);

const recalledLog = () => recalled("log").filter((line) => isLine(line) && typeof line.id === "string");

/* One line of the record: the time, the key of what was done, and its words where it has no key on the page. `shown`
   is what the page read there where that may change later, as an order with a computed distance does. */
function note(what, words, shown) {
  if (scratch.practicing()) return;
  const log = recalledLog();
  log.push({ id: nextLineId(log, PAGE_NAME), at: now(), what, words: words || "", ...(shown ? { shown } : {}) });
  remember("log", log.slice(-LOG_LIMIT));
  announce("noted");
}

/* Take back the last line about something that was marked by mistake. */
function unnote(what) {
  if (scratch.practicing()) return;
  const log = recalledLog();
  const last = log.map((line) => line.what).lastIndexOf(what);
  if (last >= 0) log.splice(last, 1);
  remember("log", log);
  announce("noted");
}

/* What earlier editions kept in local storage is taken over once. They did not keep by vehicle: it goes to the
   vehicle that was chosen then, or to none, and is never shown as another vehicle's. */
const takeOver = () => {
  const read = (key) => orNull(() => JSON.parse(window.localStorage.getItem(PREFIX + key)));
  const chosen = read("vehicle");
  const owner = typeof chosen === "string" ? chosen : "";
  const found = Object.keys(KEYS).filter((key) => read(key) !== null);
  found.forEach((key) => {
    const vehicle = OF_TABLET.includes(key) ? "" : owner;
    const shape = SHAPES[key] || "one";
    let value = read(key);
    if (shape === "table" && (typeof value !== "object" || Array.isArray(value))) return;
    if (shape === "log") value = Array.isArray(value) ? value.filter(isLine).map((line, at) => ({ ...line, id: String(at + 1).padStart(9, "0") })) : [];
    if (!store.has(vehicle, [key])) store.set(vehicle, key, shape, value);
  });
  return store.settled().then(() => {
    if (root.getAttribute("data-kept") === "failed") return;
    Object.keys(KEYS)
      .filter((key) => !MIRRORED.includes(key))
      .forEach((key) => orNull(() => window.localStorage.removeItem(PREFIX + key)));
  });
};

/* Reads what is remembered, and then acts: at once where there is no database, and later where it is silent. */
const whenRead = (act) => {
  let begun = false;
  const begin = () => {
    if (!begun) act();
    begun = true;
  };
  const answered = (state) => {
    takeOver();
    begin();
    // What the database has and local storage has lost: the wrong look is painted once, and not at every start.
    MIRRORED.filter((key) => recalled(key) !== null).forEach(mirror);
    // What was taken over, or marked meanwhile, is still being written and says so itself.
    if (state === "failed" || root.getAttribute("data-kept") !== "writing") drawKept(state);
  };
  store.reread().then(
    () => answered("kept"),
    () => answered("failed")
  );
  window.setTimeout(begin, LONGEST_READ_MS);
};

/* A page that was put aside may have heard of nothing: it reads again what others wrote since. */
document.addEventListener("visibilitychange", () => {
  if (!document.hidden) store.reread().catch(() => {});
});
