/* A page alone in Firefox: runs one script in it, and writes as JSON what the script returned. */

import { openCab } from "./driver.mjs";

const [, , firefox, file, script] = process.argv;
const { browser, page, faults } = await openCab(firefox, file);
try {
  const seen = JSON.parse(await page.evaluate(`(() => {${script}})()`));
  console.log(JSON.stringify({ seen, faults }));
} finally {
  await browser.close();
}
