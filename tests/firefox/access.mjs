/* The cab file in Firefox for keyboard and reader: axe-core on the views that are named, and procedures by Tab alone.
   Writes what it saw as JSON. */

import { readFileSync } from "node:fs";

import { openCab } from "./driver.mjs";

const [, , firefox, file, axe, audit, procedures] = process.argv;
const MOST_TABS = 60;
const MOST_STEPS = 60;
const { browser, faults, page, until } = await openCab(firefox, file);
const seen = { walked: {} };

const pressNext = async () => {
  for (let tab = 0; tab < MOST_TABS; tab += 1) {
    await page.keyboard.press("Tab");
    // A Firefox without a window gives a button its key events and does not act on them: the click is given by hand.
    const pressed = await page.evaluate(() => document.activeElement.matches("[data-next]") && (document.activeElement.click(), true));
    if (pressed) return;
  }
  throw new Error("Tab does not reach the button that leads on");
};

const walked = async (procedure) => {
  await page.evaluate((hash) => {
    window.location.hash = hash;
  }, procedure);
  await until(procedure, (id) => document.querySelector(".screen.is-open").id === id, procedure);
  await pressNext();
  await until("the first step", () => document.querySelector(".screen.is-open").dataset.view === "step");
  const steps = [];
  while (steps.length < MOST_STEPS) {
    const step = await until("a step or what follows", () => {
      const screen = document.querySelector(".screen.is-open");
      if (screen.dataset.view !== "step") return { over: document.activeElement.matches("[data-decision]") ? "decision" : "finished" };
      const now = screen.querySelector(".step.is-now");
      return { key: now.dataset.step, text: now.innerText, focused: document.activeElement === now };
    });
    if (step.over) return { steps, over: step.over };
    steps.push(step);
    await pressNext();
    await until("the next view", (before) => {
      const screen = document.querySelector(".screen.is-open");
      return screen.dataset.view !== "step" || screen.querySelector(".step.is-now").dataset.step !== before;
    }, step.key);
  }
  return { steps, over: "never" };
};

try {
  for (const procedure of JSON.parse(procedures)) seen.walked[procedure] = await walked(procedure);
  await page.evaluate(readFileSync(axe, "utf8"));
  seen.audit = await page.evaluate(readFileSync(audit, "utf8"));
} catch (fault) {
  seen.fault = String(fault && fault.stack);
} finally {
  seen.faults = faults;
  await browser.close();
}
console.log(JSON.stringify(seen));
