/* Pages in one Firefox, one after another: runs a script in each, and writes as JSON what each returned. */

import { openCab } from "./driver.mjs";

const [, , firefox, ...visits] = process.argv;
const { browser, page, faults } = await openCab(firefox, visits[0]);
const seen = [];
try {
  for (let at = 0; at < visits.length; at += 2) {
    if (at) await page.goto(visits[at]);
    seen.push(JSON.parse(await page.evaluate(`(() => {${visits[at + 1]}})()`)));
  }
  console.log(JSON.stringify({ seen, faults }));
} finally {
  await browser.close();
}
