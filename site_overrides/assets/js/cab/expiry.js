/* The record of a vehicle goes by the carrier's setting: so many days after its last entry, after a week of warning.
   It goes when the file is opened or comes to the front, and never under the driver's hands. A record that an earlier
   edition kept without this setting has its days from the day on which this edition first meets it. */

part("expiry", function () {
  const days = data.recordDays;
  const line = one("[data-expiry]");
  if (!days || !line) return;
  const warning = one("[data-expiry-warned]");
  const banner = one("[data-expiry-start]");

  const dayOf = (at) => new Date(at).toLocaleDateString(locale, { year: "numeric", month: "long", day: "numeric" });

  /* The times of this vehicle's record: its last entry, the first warning since, and when one before it was erased. */
  const times = () => {
    const kept = recalledTable("expiry");
    const timeOf = (name) => (isTime(kept[name]) ? kept[name] : null);
    return { touched: timeOf("touched"), warned: timeOf("warned"), erased: timeOf("erased") };
  };

  const stand = () => {
    const held = store.has(keptFor, RECORD_ENTRIES);
    if (held && times().touched === null) remember("expiry", { touched: now() });
    const { touched, warned } = times();
    return expiryOf({ touched: held ? touched : null, warned, days, now: now() });
  };

  const erase = () => {
    dropPhotos(knownPhotos().map(({ id }) => id));
    forget("record");
    remember("expiry", { erased: now() });
    announce("cleared");
    announce("changed-elsewhere");
  };

  const draw = () => {
    if (scratch.practicing()) return;
    const { state, erases, warned } = stand();
    const warns = state === "warned" || state === "due";
    if (warns && warned !== times().warned) remember("expiry", { touched: times().touched, warned });
    const { erased } = times();
    const about = { days, day: dayOf(erases || erased || now()) };
    line.textContent = filled(words[erases ? "expiry_kept" : erased ? "expiry_erased" : "expiry_none"], about);
    line.hidden = warns;
    warning.hidden = banner.hidden = !warns;
    one("span", warning).textContent = filled(words.expiry_warned, about);
    one("a", banner).textContent = filled(words.expiry_banner, about);
  };

  const look = () => {
    if (!scratch.practicing() && stand().state === "due") erase();
    draw();
  };

  on(one("[data-expiry-longer]"), "click", () => {
    remember("expiry", { touched: now() });
    draw();
  });
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden) look();
  });
  listen("vehicle", look);
  listen("cleared", draw);
  listen("touched", draw);
  listen("shown", ({ screen }) => {
    if (screen === "record" || screen === "start") draw();
  });
  look();
});
