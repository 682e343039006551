/* Practice: chosen on the start screen and marked on every screen. It keeps nothing, starts no clock and calls
   nobody. Before the steps it asks for the lines known by heart, one at a time. */

part("practice", () => {
  const chosen = one("[data-practice-switch]");
  const mark = one("[data-practice-end]");
  const said = one("[data-practice-said]");
  const question = one("[data-recall]");
  const next = one("[data-next]");
  const CLOSED = ["record", "clear", "clock", "trip", "trip-new"];
  let recalls = {};
  let plain = "";

  const asked = () => {
    const procedure = screens[place.screen];
    const first = procedure && procedure.hasAttribute("data-procedure") && procedure.getAttribute("data-view") === "first";
    if (!scratch.practicing() || !first) return null;
    const lines = all(".by-heart li:not([hidden])", procedure);
    return { lines, recall: recalls[place.screen] || FIRST_LINE };
  };

  /* A reload goes on practicing; a new visit never does. */
  const keepInHistory = (practicing) => {
    try {
      window.history.replaceState(practicing ? { practice: true } : null, "");
    } catch (fault) {
      /* Some viewers keep no history: a reload ends practice then. */
    }
  };

  let unsaid = [];
  const drawRecall = () => {
    const now = asked();
    const shown = now && recallWords(now.recall, now.lines.length);
    unsaid.forEach((line) => line.classList.remove("is-unsaid"));
    unsaid = [];
    question.hidden = !shown;
    if (!shown) return;
    const { line, shown: open } = now.recall;
    unsaid = now.lines.filter((each, at) => at > line || (at === line && !open));
    unsaid.forEach((each) => each.classList.add("is-unsaid"));
    const figures = { line: line + 1, lines: now.lines.length };
    question.textContent = filled(words[shown.question], figures);
    next.textContent = filled(words[shown.button], figures);
    const list = now.lines[0].parentElement;
    if (question.nextElementSibling !== list) list.before(question);
    toTop();
  };

  const draw = () => {
    const practicing = scratch.practicing();
    root.toggleAttribute("data-practice", practicing);
    mark.hidden = !practicing;
    chosen.setAttribute("aria-pressed", String(practicing));
    CLOSED.filter((screen) => screens[screen]).forEach((screen) => {
      screens[screen].inert = practicing;
    });
    said.textContent = practicing && CLOSED.includes(place.screen) ? words.practice_closed : "";
    if (practicing) document.title = filled(words.practice_title, { title: document.title });
    drawRecall();
  };

  const begin = () => {
    scratch.begin();
    recalls = {};
    announce("cleared");
  };

  const end = () => {
    scratch.end();
    keepInHistory(false);
    announce("cleared");
    announce("changed-elsewhere");
    go("start");
  };

  on(chosen, "click", () => {
    if (scratch.practicing()) return end();
    begin();
    keepInHistory(true);
    draw();
  });
  on(mark, "click", end);

  document.addEventListener(
    "click",
    guarded((event) => {
      if (!scratch.practicing() || event.defaultPrevented || !event.target.closest) return;
      if (event.target.closest('a[href^="tel:"], a[href^="sms:"]')) {
        event.preventDefault();
        said.textContent = words.practice_no_call;
        return;
      }
      const now = event.target.closest("[data-next]") && asked();
      if (!now || !recallWords(now.recall, now.lines.length)) return;
      event.preventDefault();
      event.stopPropagation();
      recalls[place.screen] = recallOn(now.recall, now.lines.length);
      next.textContent = plain;
      drawRecall();
      announce("moved");
    }),
    true
  );

  listen("shown", () => {
    plain = next.textContent;
    if (scratch.practicing()) keepInHistory(true);
    draw();
  });
  listen("vehicle", drawRecall);

  if (window.history.state && window.history.state.practice) begin();
});
