/* The way back: whoever leaves a step for a tool is led to that step again by one tap. */

part("trail", function () {
  var bar = one("[data-return]");
  var link = one("a", bar);
  var TRAIL_ENDS_MS = 3 * 3600000;
  var left = null;

  function isProcedure(screen) {
    return screens[screen].hasAttribute("data-procedure");
  }

  function titleOf(screen) {
    return one("[data-heading]", screens[screen]).textContent;
  }

  /* After a reload: the procedure that was marked last, unless it was finished since. */
  function remembered() {
    var ticks = recalledTable("ticks");
    var key = Object.keys(ticks).reduce(function (latest, each) {
      return latest === null || ticks[each] >= ticks[latest] ? each : latest;
    }, null);
    var screen = key && key.split("/")[0];
    if (!screen || !screens[screen] || !(now() - ticks[key] < TRAIL_ENDS_MS)) return null;
    var finished = recalledLog().some(function (entry) {
      return entry.what === screen + "/finished" && entry.at >= ticks[key];
    });
    return finished ? null : { screen: screen, view: "" };
  }

  function draw(where) {
    var section = screens[where.screen];
    if (isProcedure(where.screen)) {
      var view = section.getAttribute("data-view");
      if (view !== "first" && view !== "list") left = { screen: where.screen, view: where.view };
    }
    var to = left || remembered();
    bar.hidden = !to || where.screen === "start" || where.screen === "index" || isProcedure(where.screen);
    if (bar.hidden) return;
    link.setAttribute("href", "#" + to.screen + (to.view ? "/" + to.view : ""));
    one("span", link).textContent = "Back to " + (Number(to.view) ? "step " + to.view + ": " : "") + titleOf(to.screen);
  }

  hear("shown", draw);
  hear("noted", function () {
    var log = recalledLog();
    if (left && log.length && log[log.length - 1].what === left.screen + "/finished") left = null;
  });
  hear("cleared", function () {
    left = null;
    draw(place);
  });
});
