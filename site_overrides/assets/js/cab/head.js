/* The head: which of its rows a screen shows, and how high it is, for what has to stay in sight below it. */

part("head", () => {
  const head = one("[data-head]");
  const ways = one("[data-ways]", head);
  const calls = one("[data-band-calls]", head);
  const goOn = one("[data-go-on]", head);
  const measure = () => root.style.setProperty("--fp-head", head.offsetHeight + "px");
  // An observer measures between layout and paint; asking at once would lay the page out twice.
  const watched = Boolean(window.ResizeObserver);

  /* After the file was closed, or the start screen opened in the middle: one tap leads on where the work stopped. */
  const drawGoOn = (where) => {
    const screen = where.screen === "start" ? currentProcedure() : null;
    goOn.hidden = !screen;
    if (!screen) return;
    const step = nextStepOf(screen);
    goOn.setAttribute("href", "#" + screen + (step ? "/" + step : ""));
    one("span", goOn).textContent = filled(step ? words.go_on_step : words.go_on, { title: one("[data-heading]", screens[screen]).textContent, step });
  };

  // Where tiles lead to every procedure they are the ways; the start screen may have calls of its own.
  const draw = (where) => {
    const start = where.screen === "start";
    if (ways) ways.hidden = start || screens[where.screen].classList.contains("listing");
    all("[data-call]", calls).forEach((link) => {
      link.hidden = start && Boolean(one("#start .dial"));
    });
    drawGoOn(where);
    if (!watched) measure();
  };

  listen("shown", draw);
  ["vehicle", "cleared", "noted", "changed-elsewhere"].forEach((what) => listen(what, () => {
    if (place.screen) drawGoOn(place);
  }));
  if (watched) new ResizeObserver(guarded(measure)).observe(head);
});
