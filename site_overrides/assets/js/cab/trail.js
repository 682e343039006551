/* The way back: whoever leaves a step for a tool, a way out or another procedure is led to that step again by
   one tap. */

let trail = [];

/* Where Back leads from the first view of a procedure that another place led to; null where none did. */
const cameFrom = () => (trail.length ? trail[trail.length - 1] : null);

/* The procedures that led to the one that is shown, oldest first. */
const leftProcedures = () => trail.map((left) => left.screen).filter((screen) => screens[screen].hasAttribute("data-procedure"));

/* The procedure that is being worked through; null where none is. */
let currentProcedure = () => null;

part("trail", () => {
  const bar = one("[data-return]");
  const arrow = one("[data-came-from]");
  const TRAIL_ENDS_MS = 3 * 3600000;
  let left = null;
  let before = null;

  const isProcedure = (screen) => screens[screen].hasAttribute("data-procedure");
  const isWayOut = (screen) => screens[screen].hasAttribute("data-way-screen");
  const isMenu = (screen) => screen === "start" || screen === "index" || screens[screen].classList.contains("listing");
  const titleOf = (screen) => one("[data-heading]", screens[screen]).textContent;

  const keepTrail = (changed) => {
    if (JSON.stringify(changed) === JSON.stringify(trail)) return;
    trail = changed;
    remember("trail", trail.length ? trail : null);
  };

  const recallTrail = () => {
    trail = recalledTrail(recalled("trail"), (screen) => screen in screens);
  };

  const pointTo = (link, to) => {
    link.setAttribute("href", "#" + to.screen + (to.view ? "/" + to.view : ""));
    const step = Number(to.view);
    one("span", link).textContent = filled(step ? words.back_to_step : words.back_to, { title: titleOf(to.screen), step });
  };

  /* After a reload: the procedure that was marked last, unless it was finished since. */
  const remembered = () => {
    const ticks = { ...recalledTable("absent"), ...recalledTable("ticks") };
    const key = Object.keys(ticks).reduce((latest, each) => (latest === null || ticks[each] >= ticks[latest] ? each : latest), null);
    const screen = key && key.split("/")[0];
    if (!screen || !screens[screen] || !(now() - ticks[key] < TRAIL_ENDS_MS)) return null;
    const finished = recalledLog().some((entry) => entry.what === screen + "/finished" && entry.at >= ticks[key]);
    return finished ? null : { screen, view: "" };
  };

  /* A way out, or a choice that opens another procedure, leaves the place that shows it. */
  const leave = () => {
    if (!place.screen || isMenu(place.screen) || isWayOut(place.screen)) return;
    keepTrail(departed(trail, place, left));
  };

  const arrive = (where) => {
    const back = trail.find((one) => one.screen === where.screen);
    if (back) left = back.before;
    if (isMenu(where.screen) || (before && isMenu(before) && isProcedure(where.screen))) keepTrail([]);
    else keepTrail(returned(trail, where.screen));
    before = where.screen;
  };

  const draw = (where) => {
    const section = screens[where.screen];
    const procedure = isProcedure(where.screen);
    const view = section.getAttribute("data-view");
    if (procedure && view !== "first" && view !== "list") left = { screen: where.screen, view: where.view };
    arrow.hidden = !procedure || !cameFrom();
    if (!arrow.hidden) pointTo(one("a", arrow), cameFrom());
    const to = isWayOut(where.screen) && cameFrom() ? cameFrom() : left || remembered();
    showBar(bar, "return", Boolean(to) && !isMenu(where.screen) && !procedure);
    if (!bar.hidden) pointTo(one("a", bar), to);
  };

  currentProcedure = () => {
    const to = left || remembered();
    return to && isProcedure(to.screen) ? to.screen : null;
  };

  all("[data-way]").forEach((link) => on(link, "click", leave));
  all("[data-choice]").forEach((link) => {
    if (!link.getAttribute("href").includes("/")) on(link, "click", leave);
  });

  listen("shown", arrive);
  listen("shown", draw);
  listen("noted", () => {
    const log = recalledLog();
    if (left && log.length && log[log.length - 1].what === left.screen + "/finished") left = null;
  });
  listen("cleared", () => {
    left = null;
    trail = [];
    draw(place);
  });
  listen("changed-elsewhere", () => {
    recallTrail();
    if (place.screen) draw(place);
  });
  recallTrail();
});
