/* A scenario played in Firefox by keys, a tap and a reload; its report is the JSON of the last line. */

import puppeteer from "puppeteer-core";

const [firefox, address, keys] = process.argv.slice(2);
const browser = await puppeteer.launch({ browser: "firefox", executablePath: firefox, headless: true, defaultViewport: { width: 1280, height: 800 } });
const page = (await browser.pages())[0] ?? (await browser.newPage());
const faults = [];
page.on("pageerror", (fault) => faults.push(String(fault)));
await page.goto(address);
await page.waitForSelector("html.deck");
const seen = [];
const look = async () => seen.push(await page.$eval(".slide.is-now", (slide) => slide.id));
await look();
for (const key of keys.split(",")) {
  await page.keyboard.press(key);
  await look();
}
await page.reload();
await page.waitForSelector("html.deck");
await look();
await page.click("[data-do='back']");
await look();
console.log(JSON.stringify({ seen, faults }));
await browser.close();
