import { begun, chosen, lookedBack, placeOf, readAgain, readOn, steppedBack, written } from "./scenario_state.js";

/* Plays a scenario, one screen at a time, by taps or keys. Without this script the page is the printed booklet: every
   choice leads to a number. */

/** @param {string} id @returns {HTMLElement} */
const byId = (id) => /** @type {HTMLElement} */ (document.getElementById(id));

const play = JSON.parse(byId("scenario-data").textContent || "");
const words = play.words;
const root = document.documentElement;
const main = byId("scenario");
const screens = /** @type {HTMLElement[]} */ ([...main.querySelectorAll(".slide")]);
const place = byId("place");
const bar = /** @type {HTMLElement} */ (document.querySelector(".controls"));
const buttonFor = (name) => /** @type {HTMLButtonElement} */ (bar.querySelector(`[data-do='${name}']`));
const inWords = (text, slots) => text.replace(/\{(\w+)\}/g, (all, name) => (name in slots ? String(slots[name]) : all));

let played = begun();
/* "story" before the first question, "debrief" after the end, otherwise "play". */
let part = "story";
let page = 0;

const screenOf = () => {
  if (part !== "play") { return part === "story" ? part : debriefScreen(); }
  const now = placeOf(play, played);
  if (now.kind === "choice") { return "n" + play.moments[now.id].choices[now.choice].number; }
  return now.kind === "end" ? "end-" + now.id : "moment-" + now.id;
};

const heading = () => {
  if (part === "debrief") { return words.debrief; }
  if (part === "story") { return ""; }
  const now = placeOf(play, played);
  const number = played.path.length + (now.kind === "moment" ? 1 : 0);
  if (now.kind === "end") { return words.the_end; }
  return now.kind === "moment" ? inWords(words.place, { number }) : words.then;
};

const element = (tag, name, text) => {
  const made = document.createElement(tag);
  if (name) { made.className = name; }
  if (text !== undefined) { made.textContent = text; }
  return made;
};

const ofSeconds = (count) => (count ? inWords(words.seconds, { n: count }) : words.none);

const rowOf = (row) => {
  const item = element("li", row.right ? "is-right" : "is-wrong");
  item.append(element("p", "debrief__choice", play.moments[row.moment].choices[row.choice].do));
  item.append(element("p", "debrief__verdict", row.right ? words.was_best : words.not_best));
  return item;
};

const fillMine = (seen) => {
  const said = [];
  if (seen.off < 0) { said.push(words.all_best); } else {
    const slots = { number: seen.off + 1, count: seen.wrong, of: seen.rows.length };
    said.push(inWords(seen.wrong > 1 ? words.off_often : words.off_at, slots));
  }
  if (seen.seconds || seen.bestSeconds) {
    said.push(inWords(words.beside, { yours: ofSeconds(seen.seconds), best: ofSeconds(seen.bestSeconds) }));
  }
  if (seen.back) { said.push(inWords(words.taken_back, { count: seen.back })); }
  byId("mine-said").replaceChildren(...said.map((text) => element("p", "", text)));
  byId("mine-path").replaceChildren(...seen.rows.map(rowOf));
};

/* One question at which the best choice was not taken: yours, the best, why, and the line that it rests on. */
const fillOne = (row) => {
  const moment = play.moments[row.moment];
  const best = moment.choices[row.best];
  const title = byId("one-title");
  title.textContent = inWords(words.your_choice, { choice: moment.choices[row.choice].do });
  const line = element("p", "line");
  const text = element("span", "line__text", best.line);
  text.dataset.key = best.key;
  line.append(text, " ", element("span", "line__where", best.where));
  byId("one-words").replaceChildren(
    title, element("p", "debrief__choice", inWords(words.best_choice, { choice: best.do })), element("p", "debrief__why", moment.why), line);
};

/* Looking back takes several screens: the whole path, each question with a better choice, and the best path. */
const debriefScreen = () => {
  const seen = lookedBack(play, played);
  const wrong = seen.rows.filter((row) => !row.right);
  if (page === 0) { fillMine(seen); return "mine"; }
  if (page > wrong.length) { return "debrief"; }
  fillOne(wrong[page - 1]);
  return "one";
};

const lastPage = () => lookedBack(play, played).wrong + 1;

const show = (focused = true) => {
  const wanted = screenOf();
  for (const screen of screens) { screen.classList.toggle("is-now", screen.id === wanted); }
  const now = byId(wanted);
  place.textContent = heading();
  const kind = part === "play" ? placeOf(play, played).kind : part;
  buttonFor("on").disabled = kind === "moment" || (kind === "debrief" && page === lastPage());
  buttonFor("back").disabled = part === "story";
  now.scrollTop = 0;
  const title = /** @type {HTMLElement} */ (now.querySelector("h2"));
  if (focused) { title.focus({ preventScroll: true }); }
  const address = part === "story" ? "" : written(played) + (part === "debrief" ? "-end" : "");
  try { history.replaceState(null, "", "#" + address); } catch (refused) { /* the place is then lost on reload */ }
};

const on = () => {
  const now = placeOf(play, played);
  if (part === "debrief") { page = Math.min(page + 1, lastPage()); } else if (part === "story") { part = "play"; } else if (now.kind === "end") {
    part = "debrief";
    page = 0;
  } else { played = readOn(played); }
  show();
};

const back = () => {
  if (part === "debrief" && page) { page -= 1; } else if (part === "debrief") { part = "play"; } else if (!played.path.length) { part = "story"; } else { played = steppedBack(played); }
  show();
};

const again = () => {
  played = begun();
  part = "story";
  show();
};

const take = (choice) => {
  const before = played;
  if (part === "play") { played = chosen(play, played, choice); }
  if (played !== before) { show(); }
};

const full = () => {
  if (document.fullscreenElement) { document.exitFullscreen(); } else if (root.requestFullscreen) {
    root.requestFullscreen().catch(() => { /* not allowed here: F11 does it */ });
  }
};

const acts = { on, back, again, full };
const KEYS = { ArrowRight: "on", PageDown: "on", Enter: "on", " ": "on", ArrowLeft: "back", PageUp: "back", Backspace: "back", Home: "again", w: "full" };

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey) { return; }
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  const own = /** @type {HTMLElement} */ (event.target).closest("a, button");
  if (own && (key === "Enter" || key === " ")) { return; }
  const choice = /^[1-4]$/.test(key) ? Number(key) - 1 : "abcd".indexOf(key.length === 1 ? key : "?");
  if (choice >= 0) { take(choice); } else if (KEYS[key]) { acts[KEYS[key]](); } else { return; }
  event.preventDefault();
});

bar.addEventListener("click", (event) => {
  const button = /** @type {HTMLElement} */ (event.target).closest("button");
  if (button) { acts[/** @type {string} */ (button.dataset.do)](); }
});

main.addEventListener("click", (event) => {
  const link = /** @type {HTMLElement | null} */ (/** @type {HTMLElement} */ (event.target).closest("a[data-choice], a[data-on]"));
  if (!link) { return; }
  event.preventDefault();
  if (link.dataset.choice) { take(Number(link.dataset.choice)); } else { on(); }
});

const address = location.hash.slice(1);
const kept = readAgain(play, address.replace(/-end$/, ""));
if (kept) {
  played = kept;
  part = address.endsWith("-end") && placeOf(play, played).kind === "end" ? "debrief" : "play";
}
root.classList.add("deck");
bar.hidden = false;
show(false);
