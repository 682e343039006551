/* The frame: parts start one after another and fail alone; they talk by announcing and listening.

   In: the page as it was built. Out: small functions that every part uses. It knows no part. */

var root = document.documentElement;
var listeners = {};
var failed = [];
var data = {};
try {
  data = JSON.parse(document.getElementById("cab-data").textContent);
} catch (fault) {
  failed.push("data");
}

/* Texts that the scripts show, apart from the data: where those cannot be read, the procedures still have their words.
   Without words nothing starts, and the page stays whole as it was built. */
const words = JSON.parse(document.getElementById("cab-words").textContent);

/* A text with its gaps filled: "{title}" by values.title. */
const filled = (text, values) => text.replace(/\{(\w+)\}/g, (gap, name) => (name in values ? String(values[name]) : gap));

/* Show or hide a bar at the bottom. The root says which is shown: a style that had to look for it (`:has`) would search
   the whole page at every tap. */
const showBar = (bar, name, shown) => {
  bar.hidden = !shown;
  root.classList.toggle("has-" + name + "-bar", shown);
};

/* Parts wait until what the tablet remembers has been read; then they start in their order. */
let parts = [];

function part(name, start) {
  if (parts) parts.push([name, start]);
  else startPart(name, start);
}

const startParts = () => {
  const all = parts;
  parts = null;
  all.forEach(([name, start]) => startPart(name, start));
};

/* Start one part. If it breaks, the page stays as it was built and the others go on. */
function startPart(name, start) {
  try {
    start();
  } catch (fault) {
    failed.push(name);
    if (window.console) console.warn("The part '" + name + "' is off:", fault);
  }
}

function guarded(act) {
  return function (what) {
    try {
      act(what);
    } catch (fault) {
      if (window.console) console.warn(fault);
    }
  };
}

function listen(name, act) {
  (listeners[name] = listeners[name] || []).push(guarded(act));
}

/* Listen until it happens once, or until the function that is returned is called. */
const listenOnce = (name, act) => {
  const once = guarded((what) => {
    stopListening();
    act(what);
  });
  const stopListening = () => {
    listeners[name] = (listeners[name] || []).filter((other) => other !== once);
  };
  (listeners[name] = listeners[name] || []).push(once);
  return stopListening;
};

function announce(name, what) {
  (listeners[name] || []).forEach(function (act) {
    act(what);
  });
}

function one(selector, within) {
  return (within || document).querySelector(selector);
}

function all(selector, within) {
  return Array.prototype.slice.call((within || document).querySelectorAll(selector));
}

function on(element, kind, act) {
  if (element) element.addEventListener(kind, guarded(act));
}

/* An element with attributes and children; text is always text, never markup. */
function made(tag, attributes, children) {
  var element = document.createElement(tag);
  Object.keys(attributes || {}).forEach(function (name) {
    if (attributes[name] !== null) element.setAttribute(name, attributes[name]);
  });
  [].concat(children === undefined ? [] : children).forEach(function (child) {
    element.appendChild(typeof child === "string" ? document.createTextNode(child) : child);
  });
  return element;
}

var FIGURE = /(\d[\d,./]*[\u00bc-\u00be]? (?:ft|m|in|mi|km|mph|km\/h|psi|min|s|h|days?|paces?|percent|\u00b0F)(?![\w/]))/;

/* A sentence with every figure held to its unit, so that no line ends between '10' and 'ft'. */
function held(text) {
  return text.split(FIGURE).map(function (piece, at) {
    return at % 2 ? made("span", { class: "together" }, piece) : piece;
  });
}

function emptied(element) {
  while (element.firstChild) element.removeChild(element.firstChild);
  return element;
}

function now() {
  return Date.now();
}

/* Times and days are written in the language of the page: as the tablet writes them where it is set to that language. */
const locale = new Intl.DateTimeFormat().resolvedOptions().locale.slice(0, 2) === root.lang.slice(0, 2) ? [] : root.lang;
const clockFormat = new Intl.DateTimeFormat(locale, { hour: "numeric", minute: "2-digit" });

function clockTime(at) {
  return clockFormat.format(at);
}

/* The time of day, with the day where it is not today. */
function dayTime(at, written = locale) {
  var then = new Date(at);
  var same = then.toDateString() === new Date(now()).toDateString();
  const time = written === locale ? clockTime(at) : then.toLocaleTimeString(written, { hour: "numeric", minute: "2-digit" });
  return time + (same ? "" : ", " + then.toLocaleDateString(written, { weekday: "long", month: "long", day: "numeric" }));
}

function minutesWords(ms) {
  var minutes = Math.max(0, Math.floor(ms / 60000));
  if (minutes < 60) return filled(words.time_minutes, { minutes });
  var hours = Math.floor(minutes / 60);
  if (hours < 48) return filled(words.time_hours, { hours, minutes: minutes % 60 });
  return filled(words.time_days, { days: Math.floor(hours / 24), hours: hours % 24 });
}
