/* The list before the trip: ticks with their times, kept with the vehicle and apart from the record of a stop. */

part("trip", () => {
  const screen = one("[data-trip]");
  if (!screen) return;
  const state = one("[data-trip-state]", screen);
  const text = one("[data-trip-text]", screen);
  const said = one("[data-trip-said]", screen);
  const boxes = all("[data-trip-point]", screen);
  const pointOf = (box) => box.getAttribute("data-trip-point");
  const applies = (box) => !box.closest("li").hidden;

  const stateNow = () => tripState(recalledTable("trip"), boxes.filter(applies).map(pointOf));

  const stateWords = () => {
    const { done, of, begun, ended } = stateNow();
    if (begun === null) return words.trip_untouched;
    const figures = { done, of, begun: dayTime(begun), ended: ended === null ? "" : dayTime(ended) };
    return filled(ended === null ? words.trip_open : words.trip_done, figures);
  };

  const draw = () => {
    if (place.screen !== "trip") return;
    const ticks = recalledTable("trip");
    boxes.forEach((box) => {
      box.checked = pointOf(box) in ticks;
    });
    const written = recalled("trip_text");
    if (text !== document.activeElement) text.value = typeof written === "string" ? written : "";
    state.textContent = stateWords();
  };

  boxes.forEach((box) => {
    on(box, "change", () => {
      const ticks = recalledTable("trip");
      if (box.checked) ticks[pointOf(box)] = now();
      else delete ticks[pointOf(box)];
      remember("trip", ticks);
      draw();
    });
  });
  on(text, "input", () => remember("trip_text", text.value));

  const line = (box) => {
    const at = recalledTable("trip")[pointOf(box)];
    const what = one(".row__text > span", box.closest("li")).textContent.replace(/\s+/g, " ").trim();
    return typeof at === "number" ? "[x] " + what + ", " + new Date(at).toLocaleString(locale) : "[ ] " + what;
  };

  /* The list as lines, for paper and file. */
  const lines = () => {
    const title = one("[data-heading]", screen).textContent + ", " + one(".top__carrier").textContent;
    const found = [["title", title]];
    found.push(["text", filled(words.trip_written, { time: new Date(now()).toLocaleString(locale) })]);
    found.push(["text", filled(words.trip_vehicle, { vehicle: vehicleWords() })], ["text", stateWords()]);
    found.push(["text", one(".know-first", screen).textContent]);
    all(".points", screen).forEach((points) => {
      const shown = all("[data-trip-point]", points).filter(applies);
      if (!shown.length) return;
      found.push(["heading", points.previousElementSibling.textContent]);
      shown.forEach((box) => found.push(["text", line(box)]));
    });
    found.push(["heading", one("label[for='trip-text']").textContent], ["text", text.value]);
    found.push(["heading", words.trip_signed], ["text", ""]);
    return found;
  };

  on(one("[data-trip-print]"), "click", () => printSheet(one("[data-trip-paper]"), lines()));
  on(one("[data-trip-save]"), "click", () => {
    said.textContent = filled(words.trip_saved, { name: saveSheet(lines(), "before-trip") });
  });
  on(one("[data-trip-clear]"), "click", () => {
    forget("trip");
    said.textContent = "";
    go("trip");
  });

  listen("shown", draw);
  listen("vehicle", draw);
  listen("changed-elsewhere", draw);
});
