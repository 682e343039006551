/* Procedures of the cab file in Firefox by Tab alone, as who uses no pointer walks them. */

const MOST_TABS = 60;
const MOST_STEPS = 60;

/**
 * The steps of a procedure: key, text, whether each had the focus when it came; and what followed the last.
 *
 * @param {{ page: import("puppeteer-core").Page, until: Function }} cab
 * @param {string} procedure
 */
export const walkedByTab = async ({ page, until }, procedure) => {
  const pressNext = async () => {
    for (let tab = 0; tab < MOST_TABS; tab += 1) {
      await page.keyboard.press("Tab");
      // A Firefox without a window gives a button its key events and does not act on them: the click is given by hand.
      const pressed = await page.evaluate(() => document.activeElement.matches("[data-next]") && (document.activeElement.click(), true));
      if (pressed) return;
    }
    throw new Error("Tab does not reach the button that leads on");
  };

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
