/* Firefox over WebDriver BiDi, for the scenarios beside this file. Every wait is for a state of the page. */

import { setTimeout as sleep } from "node:timers/promises";

import puppeteer from "puppeteer-core";

const LONGEST_WAIT_MS = 30000;
const LOOK_AGAIN_MS = 50;
/** Two taps on one spot that come faster are one double tap for the cab file, and the second is held back. */
const READING_MS = 600;

/**
 * @param {string} firefox  The browser to start.
 * @param {string} file  The address of the cab file.
 * @param {string} [profile]  A folder that outlives the browser; without it the profile is a new one.
 */
export const openCab = async (firefox, file, profile) => {
  const browser = await puppeteer.launch({
    browser: "firefox",
    executablePath: firefox,
    headless: true,
    userDataDir: profile,
    // Files have their own storage, as in a browser that nobody drives; a killed one is opened again without a question.
    extraPrefsFirefox: { "security.fileuri.strict_origin_policy": true, "browser.sessionstore.resume_from_crash": false, "toolkit.startup.max_resumed_crashes": -1 },
    defaultViewport: { width: 1280, height: 800 },
  });
  const page = (await browser.pages())[0] ?? (await browser.newPage());
  const faults = [];
  const requests = [];
  page.on("pageerror", (fault) => faults.push(String(fault)));
  page.on("console", (line) => {
    if (line.type() === "error") faults.push(line.text());
  });
  page.on("request", (request) => requests.push(request.url()));
  await page.goto(file);
  const cab = { browser, page, faults, requests, ...helpers(page) };
  await cab.started();
  return cab;
};

const helpers = (page) => {
  /* The page forbids code made from text, so waiting functions of the driver that need it are not used. */
  const until = async (what, look, ...given) => {
    const end = Date.now() + LONGEST_WAIT_MS;
    while (Date.now() < end) {
      const found = await page.evaluate(look, ...given);
      if (found) return found;
      await sleep(LOOK_AGAIN_MS);
    }
    throw new Error("it never came: " + what);
  };
  const isShown = (selector) => {
    const element = Array.from(document.querySelectorAll(selector)).find((one) => one.checkVisibility());
    return Boolean(element);
  };
  let last = { selector: "", at: 0 };
  return {
    until,
    shows: (selector) => until(selector, isShown, selector),
    started: () => until("the start", () => !document.documentElement.classList.contains("is-starting")),
    written: () => until("the write", () => document.documentElement.dataset.kept === "kept"),
    texts: (selector) =>
      page.evaluate((wanted) => Array.from(document.querySelectorAll(wanted)).filter((one) => one.checkVisibility()).map((one) => one.innerText.trim()), selector),
    /** What axe-core finds on the screen that is open: rule and first element of each violation. */
    audit: async (source, options) => {
      await page.evaluate(source);
      return page.evaluate(async (wanted) => {
        // Axe-core would read the closed screens too, only to skip them.
        const closed = Array.from(document.querySelectorAll(".screen:not(.is-open)"));
        const places = closed.map((screen) => {
          const place = document.createComment("");
          screen.replaceWith(place);
          return place;
        });
        const found = await window.axe.run(document, wanted);
        places.forEach((place, at) => place.replaceWith(closed[at]));
        return found.violations.map((one) => one.id + ": " + one.nodes[0].html.slice(0, 160));
      }, options);
    },
    /** Press the first visible element that matches, wherever it is: quicker than with the mouse. */
    press: async (selector) => {
      await until(selector, isShown, selector);
      await page.evaluate((wanted) => Array.from(document.querySelectorAll(wanted)).find((one) => one.checkVisibility()).click(), selector);
    },
    /** Tap the first visible element that matches, with the mouse. */
    tap: async (selector) => {
      await until(selector, isShown, selector);
      const rest = selector === last.selector ? READING_MS - (Date.now() - last.at) : 0;
      if (rest > 0) await sleep(rest);
      const handle = await page.evaluateHandle((wanted) => Array.from(document.querySelectorAll(wanted)).find((one) => one.checkVisibility()), selector);
      // The driver's own scrolling may leave it behind the bar at the bottom, and the bar would get the tap.
      await handle.evaluate((element) => element.scrollIntoView({ block: "center", behavior: "instant" }));
      await handle.click();
      last = { selector, at: Date.now() };
    },
  };
};

/**
 * End every process of the browser at once, as a tablet without power does.
 *
 * @param {import("puppeteer-core").Browser} browser
 */
export const kill = (browser) => {
  const running = browser.process();
  const ended = new Promise((resolve) => running.once("exit", resolve));
  process.kill(-running.pid, "SIGKILL");
  return ended;
};
