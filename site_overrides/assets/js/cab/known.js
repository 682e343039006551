/* What the tablet knows of a stop without asking: times, place, devices, calls, steps. Words for the record; every
   list is empty where nothing is known. */

/* A time of day with its date and time zone, as a record needs it. */
const fullTime = (at, written = locale) => new Date(at).toLocaleString(written, { year: "numeric", month: "numeric", day: "numeric", hour: "numeric", minute: "2-digit", second: "2-digit", timeZoneName: "short" });

const keyed = new Map();

/* The words of a text of the page by its key. The texts stay where they are, and a long record asks for hundreds. */
const wordsByKey = (key) => {
  if (!keyed.size) all("[data-key]").reverse().forEach((element) => keyed.set(element.getAttribute("data-key"), element));
  const found = keyed.get(key);
  return found ? found.textContent : "";
};

/* What the guided walk kept: when each device was set and where, what was left out, a refusal. A device that was only
   planned is not among them: the record holds what was done. */
const knownDevices = () => {
  const out = recalledTime("out");
  const { walk: kept } = recalledTable("walk");
  const walk = kept && typeof kept === "object" ? kept : {};
  const entries = (table) => Object.entries(table && typeof table === "object" ? table : {}).filter(([number]) => /^\d$/.test(number));
  const stood = entries(walk.stood)
    .filter(([, device]) => device && isTime(device.at) && typeof device.where === "string")
    .map(([number, { at, where }]) => filled(words.device_stood, { number, where: oneLine(where), time: fullTime(at) }));
  const left = entries(walk.left)
    .filter(([, at]) => isTime(at))
    .map(([number, at]) => filled(words.device_left, { number, time: fullTime(at) }));
  const refused = isTime(walk.refused) ? [filled(words.devices_refused, { time: fullTime(walk.refused) })] : [];
  return [...(out === null ? [] : [filled(words.devices_out, { time: fullTime(out) })]), ...stood, ...left, ...refused];
};

/* The two languages of a record: the driver's, and English for the police and the other driver. In an English file
   both are the same. */
const OWN = { words, locale, facts: (facts) => (data.spoken ? ownFacts(facts) : facts) };
const IN_ENGLISH = data.spoken ? { words: spoken.words, locale: "en-US", facts: (facts) => facts } : OWN;

const knownPlace = (facts, language) => {
  const line = messageLines(facts, language.words).find(({ name }) => name === "where").text;
  return [line, facts.position].filter(Boolean);
};

/* What is known of a record item, by the name that the content gives it. Devices are in the driver's language only:
   where each stands was kept in its words. */
const knownOf = (name, language = OWN) => {
  const facts = language.facts(helpFacts());
  const stopped = recalledTime("stopped");
  switch (name) {
    case "stopped":
      return stopped === null ? [] : [filled(language.words.stopped_at, { time: fullTime(stopped, language.locale) })];
    case "place":
      return knownPlace(facts, language);
    case "driver":
      return [oneLine(facts.driver)].filter(Boolean);
    case "hurt":
      return [oneLine(facts.hurt)].filter(Boolean);
    case "devices":
      return language === OWN ? knownDevices() : [];
    default:
      return [];
  }
};

/* Calls that were tapped or ticked, each line of the log about one. */
const knownCalls = () =>
  recalledLog()
    .filter(({ what }) => what.startsWith("call/") || what.startsWith("after-event/called/"))
    .map((entry) => fullTime(entry.at) + "  " + entry.words);

/* What a step read when it was marked, where a walk had given it a distance; empty otherwise. */
const shownThen = (key) => {
  const line = recalledLog()
    .filter(({ what, shown }) => what === key + "/do" && typeof shown === "string")
    .pop();
  return line ? line.shown : "";
};

/* For each procedure of which a step was marked: its title, its version, and its steps in the order of the page. */
const knownSteps = () => {
  const done = recalledTable("ticks");
  const absent = recalledTable("absent");
  return all("[data-procedure]")
    .map((procedure) => ({
      title: one("[data-heading]", procedure).textContent,
      version: (data.versions || {})[procedure.getAttribute("data-procedure")] || "",
      steps: all("[data-step]", procedure)
        .map((step) => ({ key: step.getAttribute("data-step"), words: one("[data-key$='/do']", step).textContent }))
        .filter(({ key }) => isTime(done[key]) || isTime(absent[key]))
        .map(({ key, words: text }) => ({ state: isTime(done[key]) ? "done" : "absent", text: shownThen(key) || text, at: isTime(done[key]) ? done[key] : absent[key] })),
    }))
    .filter(({ steps }) => steps.length);
};
