/* Firefox for a program outside: one JSON request a line comes in, one JSON answer a line goes out. */

import readline from "node:readline";

import puppeteer from "puppeteer-core";

const [, , firefox, prefs] = process.argv;
const LONGEST_MS = 300000;

const browser = await puppeteer.launch({
  browser: "firefox",
  executablePath: firefox,
  headless: true,
  protocolTimeout: LONGEST_MS,
  extraPrefsFirefox: JSON.parse(prefs),
});
const page = (await browser.pages())[0] ?? (await browser.newPage());

const acts = {
  open: async (address) => {
    await page.goto(address, { timeout: LONGEST_MS });
    return null;
  },
  run: (script, ...given) => page.evaluate(`(${script})(...${JSON.stringify(given)})`),
};

for await (const line of readline.createInterface({ input: process.stdin })) {
  const [act, ...given] = JSON.parse(line);
  try {
    console.log(JSON.stringify({ value: (await acts[act](...given)) ?? null }));
  } catch (fault) {
    console.log(JSON.stringify({ fault: String(fault) }));
  }
}
await browser.close();
