/* Help: calls that stand in the record, the message filled from what is known, where the vehicle stands. The
   receiver is asked for the position when the driver taps the button for it, and never otherwise. */

/* In a file of another language, the English words and titles of the message: who answers it reads and hears English. */
const spoken = data.spoken || { words, titles: {}, vehicles: {} };

/* An answer in English, as it is kept, and as its button shows it. */
const englishOf = (choice) => choice.getAttribute("data-english") || choice.textContent;
const shownOf = (name, kept) => {
  const buttons = all('[data-choose="' + name + '"]');
  const shown = (part) => buttons.filter((one) => englishOf(one) === part).map((one) => one.textContent)[0] || part;
  return kept.split(", ").map(shown).join(", ");
};

/* What is known of the stop beyond the record's own fields; record.js shows it too. */
const knownPosition = () => checkedPosition(recalled("position"));

const positionLine = (position, own = words) =>
  filled(own.position_line, { place: coordinates(position), accuracy: filled(own.position_accuracy, accuracyIn(position)), time: dayTime(position.at, own === words ? locale : "en-US") });

const vehicleFacts = () => {
  const vehicle = currentVehicle;
  const holds = (condition) => (vehicle ? vehicle.has[condition] : undefined);
  const cargo = holds("placarded") ? "cargo_placards" : holds("hazardous-cargo") ? "cargo_hazardous" : holds("hazardous-cargo") === false ? "cargo_none" : "";
  return { unit: vehicle ? vehicle.unit : "", vehicle: vehicle ? spoken.vehicles[vehicle.id] || vehicle.title : "", plate: vehicle ? vehicle.plate : "", cargo: cargo ? spoken.words[cargo] : "", carrier: data.carrier || "" };
};

/* The title of what is being worked through; empty where nothing is. */
const situationWords = (titles = spoken.titles) => {
  const screen = currentProcedure();
  return screen ? titles[screen] || one("[data-heading]", screens[screen]).textContent : "";
};

/* The facts in the driver's language, where that is another. */
const ownFacts = (facts) => {
  const position = knownPosition();
  const own = { ...facts, vehicle: currentVehicle ? currentVehicle.title : "", position: position ? positionLine(position) : "" };
  ["direction", "hurt", "cargo", "need"].forEach((name) => (own[name] = shownOf(name, facts[name])));
  if (facts.what === situationWords()) own.what = situationWords({});
  return own;
};

const helpFacts = () => {
  const typed = recalledTable("help");
  const text = (name) => (typeof typed[name] === "string" ? typed[name] : "");
  const position = knownPosition();
  const vehicle = vehicleFacts();
  return {
    ...vehicle,
    road: text("road"),
    direction: text("direction"),
    mile: text("mile"),
    near: text("near"),
    driver: text("driver"),
    papers: text("papers"),
    hurt: text("hurt"),
    need: text("need"),
    what: text("what") || situationWords(),
    cargo: text("cargo") || vehicle.cargo,
    position: position ? positionLine(position, spoken.words) : "",
  };
};

part("help", () => {
  const section = one("#help");
  const script = one("[data-script]", section);
  const button = one("[data-position]", section);
  const said = one("[data-position-said]", section);
  const LONGEST_WAIT_MS = 30000;
  const STALE_MS = 300000;
  let asking = false;
  let trouble = "";

  /* A tap on a number is no proof that anybody answered, and the record says no more than that. */
  all("[data-call]").forEach((link) => on(link, "click", () => note("call/" + link.getAttribute("data-call"), link.getAttribute("data-call-words"))));

  const write = (name, value) => {
    const typed = recalledTable("help");
    if (value) typed[name] = value;
    else delete typed[name];
    remember("help", typed);
    drawMessage();
  };

  const drawMessage = () => {
    const facts = helpFacts();
    const lines = messageLines(facts, spoken.words);
    const own = data.spoken ? messageLines(ownFacts(facts), words) : [];
    const lang = data.spoken ? { lang: "en-US" } : {};
    emptied(script);
    lines.forEach(({ name, label, text }, at) => {
      const value = made("dd", text ? lang : { class: "is-unknown" }, text || words.not_known);
      const below = own[at] ? [made("dd", { class: "script__own" }, own[at].label + (own[at].text ? ": " + own[at].text : ""))] : [];
      script.appendChild(made("div", { "data-line": name }, [made("dt", lang, label), value, ...below]));
    });
    all("[data-sms]", section).forEach((link) => link.setAttribute("href", smsAddress(link.getAttribute("data-sms"), messageText(lines))));
  };

  const drawPosition = () => {
    const position = knownPosition();
    const age = position ? now() - position.at : 0;
    const old = age > STALE_MS ? filled(words.position_old, { age: minutesWords(age) }) : "";
    button.disabled = asking;
    const line = position ? positionLine(position) : "";
    const state = asking ? words.position_asking : trouble ? words[trouble] : "";
    said.textContent = [state, line, old].filter(Boolean).join(" ");
  };

  const draw = () => {
    if (place.screen !== "help") return;
    const facts = helpFacts();
    all("input[name]", section).forEach((input) => {
      if (document.activeElement !== input) input.value = recalledTable("help")[input.name] || "";
      if (input.name === "what") input.placeholder = situationWords();
    });
    all("[data-choose]", section).forEach((choice) => {
      const chosen = facts[choice.getAttribute("data-choose")].split(", ").includes(englishOf(choice));
      choice.setAttribute("aria-pressed", String(chosen));
    });
    drawPosition();
    drawMessage();
  };

  /* One answer to a question; several where the group says so. */
  all("[data-choose]", section).forEach((choice) => {
    on(choice, "click", () => {
      const name = choice.getAttribute("data-choose");
      const pressed = choice.getAttribute("aria-pressed") === "true";
      const group = all("[data-choose]", choice.closest("[data-group]"));
      const several = choice.closest("[data-group]").hasAttribute("data-several");
      group.forEach((other) => {
        if (other === choice) other.setAttribute("aria-pressed", String(!pressed));
        else if (!several) other.setAttribute("aria-pressed", "false");
      });
      write(name, group.filter((other) => other.getAttribute("aria-pressed") === "true").map(englishOf).join(", "));
    });
  });
  on(one("form", section), "submit", (event) => event.preventDefault());
  on(section, "input", (event) => write(event.target.name, event.target.value));

  on(button, "click", () => {
    if (!navigator.geolocation) {
      trouble = "position_none";
      return drawPosition();
    }
    asking = true;
    trouble = "";
    drawPosition();
    const answered = (why, position) => {
      asking = false;
      trouble = why;
      if (position) {
        remember("position", position);
        note("position", filled(words.position_noted, { line: positionLine(position) }));
      }
      drawPosition();
      drawMessage();
    };
    navigator.geolocation.getCurrentPosition(
      guarded(({ coords, timestamp }) => {
        const position = checkedPosition({ latitude: coords.latitude, longitude: coords.longitude, accuracy_m: coords.accuracy, at: Math.min(timestamp, now()) });
        answered(position ? "" : "position_unavailable", position);
      }),
      guarded((fault) => answered(whyNoPosition(fault && fault.code), null)),
      { enableHighAccuracy: true, maximumAge: 0, timeout: LONGEST_WAIT_MS }
    );
  });

  /* A part of the screen has an address of its own, such as #help/where. */
  const drawPart = (where) => {
    const wanted = where.screen === "help" && where.view ? document.getElementById("help/" + where.view) : null;
    if (!wanted) return;
    wanted.scrollIntoView();
    focusOn(wanted);
  };

  listen("shown", draw);
  listen("shown", drawPart);
  listen("vehicle", draw);
  listen("cleared", draw);
  listen("changed-elsewhere", draw);
});
