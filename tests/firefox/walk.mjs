/* The cab file alone in Firefox: a procedure to its end, the guided walk, a step with its number, the record, reload;
   then, with nothing kept, procedures by Tab alone and axe-core on the views that are named.
   Writes what it saw as JSON; the test that starts it knows what should have been there. */

import { readFileSync } from "node:fs";

import { walkedByTab } from "./by_tab.mjs";
import { openCab } from "./driver.mjs";

const [, , firefox, file, procedure, family, placing, axe, options, enhanced, everyView, byTab] = process.argv;
const source = axe ? readFileSync(axe, "utf8") : "";
const MOST_STEPS = 60;
const cab = await openCab(firefox, file);
const { page, shows, texts, until, started, written } = cab;
// Where only the words are looked at, nothing is aimed at.
const tap = source ? cab.tap : cab.press;
const seen = { violations: {} };
const audit = async (name) => {
  if (!source) return;
  seen.violations[name] = await cab.audit(source, JSON.parse(options));
};

const go = async (view) => {
  await page.evaluate((hash) => {
    window.location.hash = hash;
  }, view);
  await until(view, (screen) => document.querySelector(".screen.is-open").id === screen, view.split("/")[0]);
};

try {
  seen.families = (await texts(".family")).length;
  await audit("start");

  await tap(`.family[href="#${family}"]`);
  await tap(`.tile[href="#${procedure}"]`);
  await shows(".is-open .by-heart");
  await tap("[data-next]");
  seen.steps = [];
  while (seen.steps.length < MOST_STEPS) {
    const key = await until("a step or the decision", () => {
      const step = Array.from(document.querySelectorAll(".is-open .step")).find((one) => one.checkVisibility());
      if (step) return step.dataset.step;
      return document.querySelector(".screen.is-open").dataset.view === "step" ? null : "over";
    });
    if (key === "over") break;
    if (!seen.steps.length) await audit("step");
    seen.steps.push({ key, text: (await texts(".is-open .step__do"))[0], progress: (await texts(".is-open [data-progress]"))[0] });
    await tap("[data-next]");
    await until("the next step", (before) => {
      const step = Array.from(document.querySelectorAll(".is-open .step")).find((one) => one.checkVisibility());
      return !step || step.dataset.step !== before;
    }, key);
  }
  await tap(`.is-open .go[href="#${procedure}/finished"]`);
  await shows(`[data-key="${procedure}/finished"]`);
  await tap("[data-next]");
  await shows(".family");

  await tap('a[href="#find"]');
  await tap('[data-axis="road"][data-place="0"]');
  await tap("[data-walk-next]");
  seen.before = (await texts("[data-strip] li, .walk__big")).length;
  await tap('[data-ask-side="behind"] [data-cause="bend-right"]');
  await tap('[data-ask-side="behind"] [data-hidden="7"]');
  await tap('[data-ask-side="behind"] [data-end="unknown"]');
  await tap('[data-ask-side="ahead"] [data-cause=""]');
  await shows("[data-strip] li");
  seen.paces = await texts(".strip__paces");
  await audit("plan");
  seen.devices = [];
  await tap("[data-walk-next]");
  for (const number of [1, 2, 3]) {
    // The first number of the heading, in any language.
    await until("device " + number, (at) => Number(((document.querySelector("[data-device] h3") || { textContent: "" }).textContent.match(/\d+/) || [0])[0]) === at, number);
    seen.devices.push((await texts("[data-device] .walk__big"))[0]);
    if ((await texts(".look-back")).length) {
      await tap("[data-walk-next]");
      await shows(".look-back__seen");
    }
    await tap("[data-walk-next]");
  }
  await shows("[data-walk-back-text] li");
  seen.stand = await texts("[data-walk-back-text] li");

  await go(placing);
  seen.placing = (await texts(".step.is-now .step__do"))[0];

  await go("record");
  await (source ? tap("#field-place") : page.focus("#field-place"));
  await page.keyboard.type("Route 9, mile 12");
  await written();
  seen.log = await texts("[data-log] li");
  await audit("record");
  await page.reload();
  await started();
  await shows("#record.is-open");
  seen.kept = { place: await page.evaluate(() => document.querySelector("#field-place").value), log: await texts("[data-log] li") };
  await go("find/back");
  await shows("[data-walk-back-text] li");
  seen.kept.stand = await texts("[data-walk-back-text] li");

  seen.language = await page.evaluate(() => document.documentElement.lang);
  await go("phones");
  seen.phones = await texts(".calls [lang]");
  await go("help");
  seen.help = await texts("[data-script] dt[lang]");

  if (source) {
    await page.evaluate(source);
    seen.enhanced = await page.evaluate(enhanced);
    await go("clear");
    await tap("[data-record-clear]");
    await written();
    seen.byTab = {};
    for (const each of JSON.parse(byTab)) seen.byTab[each] = await walkedByTab(cab, each);
    seen.audit = await page.evaluate(everyView);
  }
} catch (fault) {
  seen.fault = String(fault && fault.stack);
  seen.screen = await page.evaluate(() => document.body.innerText.slice(0, 2000)).catch(() => "");
} finally {
  seen.faults = cab.faults;
  seen.requests = cab.requests;
  await cab.browser.close();
}
console.log(JSON.stringify(seen));
