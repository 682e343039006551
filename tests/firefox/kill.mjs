/* Firefox killed a little after three taps, and opened again on the same profile: which marks are there. */

import { readFileSync } from "node:fs";
import { setTimeout as sleep } from "node:timers/promises";

import { kill, openCab } from "./driver.mjs";

const [, , firefox, file, profile, seconds] = process.argv;

const keptRows = readFileSync(new URL("../browser/kept_rows.js", import.meta.url), "utf-8");

const first = await openCab(firefox, file + "#tire-fire/list", profile);
const tapped = [];
for (let at = 0; at < 3; at += 1) {
  tapped.push(
    await first.page.evaluate((nth) => {
      const step = document.querySelectorAll("#tire-fire .step:not([hidden])")[nth];
      step.querySelector("[data-tick]").click();
      return step.dataset.step;
    }, at)
  );
}
await sleep(Number(seconds) * 1000);
const said = await first.page.evaluate(() => document.documentElement.dataset.kept);
await kill(first.browser);

const second = await openCab(firefox, file + "#tire-fire/list", profile);
const rows = await second.page.evaluate(`(${keptRows})()`);
const ticks = rows.filter((row) => row[2] === "ticks").map((row) => row[3]).sort();
const log = rows.filter((row) => row[2] === "log").map((row) => row[4].what.replace(/\/do$/, "")).sort();
const checked = await second.page.evaluate(() => document.querySelectorAll("#tire-fire [data-tick]:checked").length);
await second.browser.close();
console.log(JSON.stringify({ tapped: tapped.sort(), said, ticks, log, checked }));
