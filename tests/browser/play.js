/* Plays classroom pages from within, by their own buttons, in any browser: a test sends this file and one call after
   it. Every function returns what was seen; a step that cannot be taken throws. */

const all = (selector, within = document) => [...within.querySelectorAll(selector)];
const first = (selector, within = document) => {
  const found = within.querySelector(selector);
  if (!found) throw new Error("there is no " + selector);
  return found;
};
const tap = (selector, within) => {
  const button = first(selector, within);
  if (button.disabled) throw new Error("cannot be tapped: " + selector);
  button.click();
};
const type = (selector, text, within) => {
  const field = first(selector, within);
  field.value = text;
  field.dispatchEvent(new Event("input", { bubbles: true }));
};
const stored = (name) => JSON.parse(localStorage.getItem("forty-paces-classroom-" + name) || "null");

/* The day on which everything after this happens. */
const on = (day) => {
  const RealDate = Date;
  const offset = new RealDate(day + "T09:00:00").getTime() - RealDate.now();
  window.Date = class extends RealDate {
    constructor(...given) { super(...(given.length ? given : [RealDate.now() + offset])); }

    static now() { return RealDate.now() + offset; }
  };
};

/* --- lessons --- */

const begin = (group, number, session) => {
  tap("#answer");
  type("#class", group);
  type("#learner", number);
  tap(`[name='session'][value='${session}']`);
  tap("#who-form [type='submit']");
};

const reply = (name) => tap(`#replies [data-reply='${name}']`);

/* The id of the slide that was answered, or "" where nothing is asked. */
const answer = (rightly) => {
  const slide = first(".slide.is-now");
  if (first("#replies").hidden) return "";
  const choices = all("[data-give]", slide);
  if (choices.length) {
    const right = all(".options--marked > li", slide).findIndex((option) => option.classList.contains("is-right"));
    choices[rightly ? right : (right + 1) % choices.length].click();
  }
  const lines = all("[data-line]", slide).length;
  for (let line = 0; line < lines; line += 1) tap(`[data-line='${rightly ? line : lines - 1 - line}']`, slide);
  const asked = JSON.parse(first("#lesson-data").textContent).devices[slide.id];
  all(".typed", slide).forEach((row, index) => {
    const device = asked.expected[asked.placed + index];
    tap(`[data-side='${device.toward}']`, row);
    type("input", rightly ? String(device.distance) : "999", row);
  });
  reply("sure");
  if (document.querySelector("#replies [data-reply='had_it']")) reply(rightly ? "had_it" : "had_not");
  return slide.id;
};

/* A session from its first slide to its last; each slide of `missed` is missed at the first try. */
const lesson = (day, group, number, session, missed) => {
  on(day);
  begin(group, number, session);
  const asked = [];
  let told = [];
  while (!first(".slide.is-now").classList.contains("slide--closing")) {
    const now = first(".slide.is-now").id;
    const given = answer(asked.includes(now) || !missed.includes(now));
    if (given) asked.push(given);
    if (asked.length === 1 && given) told = [first(".slide.is-now .reply").textContent, first("#place").textContent];
    tap("#controls [data-do='next']");
  }
  const said = first(".slide.is-now .reply").textContent;
  tap(".slide.is-now [data-reply='leave']");
  return { asked, told, said, rows: stored("scores").filter((row) => row.number === number && row.session === session), left: sessionStorage.length };
};

/* A class on one tablet: each number answers the first question, every second one wrongly, and hands over. */
const classOf = (day, group, count) => {
  on(day);
  const seen = [];
  for (let number = 1; number <= count; number += 1) {
    begin(group, String(number), "first");
    tap("#controls [data-do='next']");
    seen.push(all(".slide.is-now .reply, .slide.is-now [aria-pressed='true']").length);
    answer(number % 2 === 1);
    tap("#leave");
  }
  return { seen, left: sessionStorage.length, rows: stored("scores").map((row) => [row.class, row.number, row.day, row.verdict]) };
};

const wiped = () => {
  const numbers = all("#numbers li").length;
  tap("#wipe-all");
  tap("#really-all");
  return { numbers, left: localStorage.length };
};

/* --- scenario, drill, seat, test --- */

const scenario = (letters) => {
  const seen = [first(".slide.is-now").id];
  const go = () => {
    tap(".slide.is-now [data-on]");
    seen.push(first(".slide.is-now").id);
  };
  go();
  for (const letter of letters) {
    all(".slide.is-now [data-choice]")["abcdef".indexOf(letter)].click();
    seen.push(first(".slide.is-now").id);
    go();
  }
  return seen;
};

const drill = (day, group, number) => {
  on(day);
  type("#class", group);
  type("#learner", number);
  tap("#who-form [type='submit']");
  tap("#begin");
  const { acts } = JSON.parse(first("#drill-data").textContent).roads[0];
  for (const act of acts) {
    const right = all("#choices .choice").find((choice) => choice.lastChild.textContent === act.text);
    right.click();
  }
  return { done: all("#done li").length, of: acts.length, said: first("#result").textContent, rows: stored("scores").filter((row) => row.work === "drill") };
};

/* On one road: steps until a device or the lamps are in view, then brakes. */
const seat = (scene) => {
  const table = JSON.parse(first("#table").textContent);
  const nothing = table.words["nothing-seen"];
  first("#scene").value = String(table.scenes.findIndex((one) => one.id === scene));
  first("#scene").dispatchEvent(new Event("change"));
  tap("#tell");
  let steps = 0;
  while (first("#caption-one").textContent.includes(nothing)) {
    tap("#step");
    steps += 1;
  }
  tap("#brake");
  return { steps, result: all("#result p").map((line) => line.textContent), engine: all("#engine p").map((line) => line.textContent),
    shapes: all("#picture-one path").length, device: all("#picture-one .seat-device").length, hundred: all("#hundred figcaption").map((one) => one.textContent) };
};

/* A matched test from its first situation to its last, every device where it belongs. */
const test = (day, group, number, name) => {
  on(day);
  type("#class", group);
  type("#learner", number);
  first("#test").value = name;
  tap("#who [type='submit']");
  const table = JSON.parse(first("#table").textContent);
  const { scenes } = table.forms.find((form) => form.name === name);
  scenes.forEach((scene, at) => {
    table.tasks[scene][0].expected.forEach((device, index) => {
      const row = first(`[data-device='${index}']`);
      tap(`[data-set='toward'][value='${device.toward}']`, row);
      type("input", String(device.distance), row);
      tap(`[data-set='across'][value='${device.across}']`, row);
    });
    tap("#mark");
    if (at + 1 < scenes.length) tap("#again");
  });
  return { said: first("#over").textContent, rows: stored("scores").filter((row) => row.work === "placing/" + name) };
};
