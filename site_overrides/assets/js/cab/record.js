/* The record: what was done when, what was written, what is photographed. It never leaves the tablet by
   itself; it is printed, saved as a file, or erased on purpose by two taps on two screens. */

part("record", function () {
  var form = one("[data-record]");
  var log = one("[data-log]");
  const message = one("[data-record-told]");
  var paper = one("[data-paper]");
  var LEAST_ROWS = 2;
  var MOST_ROWS = 24;

  /* The words of a line of the log, read off the page by its key. */
  function wordsOf(entry) {
    let text = typeof entry.shown === "string" ? entry.shown : wordsByKey(entry.what);
    const title = wordsByKey(entry.what.split("/")[0] + "/title");
    if (/\/(see|if_not\/title)$/.test(entry.what)) text = filled(words.log_decided, { text });
    if (/\/finished$/.test(entry.what)) text = filled(words.log_finished, { text });
    return [title && title !== text ? title + ": " : "", entry.words, entry.words && text ? ": " : "", text].join("");
  }

  function drawLog() {
    if (place.screen !== "record") return;
    var entries = recalledLog();
    one("[data-log-empty]").hidden = entries.length > 0;
    emptied(log);
    entries.forEach(function (entry) {
      var time = made("time", { datetime: new Date(entry.at).toISOString() }, dayTime(entry.at));
      log.appendChild(made("li", {}, [time, made("span", {}, wordsOf(entry))]));
    });
  }

  /* A field is as high as what is written in it, so that nobody has to scroll or drag inside it. */
  function fit(area) {
    area.rows = LEAST_ROWS;
    while (area.scrollHeight > area.clientHeight && area.rows < MOST_ROWS) area.rows += 1;
  }

  function drawFields() {
    var fields = recalledTable("fields");
    all("textarea", form).forEach(function (area) {
      var text = fields[area.name];
      area.value = typeof text === "string" ? text : "";
      fit(area);
    });
  }

  /* What is known stands in its field; fields with nothing in them stand apart, first. */
  const drawKnown = () => {
    const fields = recalledTable("fields");
    const working = form.contains(document.activeElement);
    all(".field", form).forEach((field) => {
      const lines = knownOf(field.getAttribute("data-known"));
      const said = one("[data-known-lines]", field);
      said.textContent = lines.join(" ");
      said.hidden = !lines.length;
      const text = fields[one("textarea", field).name];
      if (!working) one(lines.length || (typeof text === "string" && text.trim()) ? "[data-written]" : "[data-unwritten]", form).appendChild(field);
    });
    all("[data-group-of-fields]", form).forEach((group) => {
      group.hidden = !one(".field:not([hidden])", group);
    });
  };

  const drawStop = () => {
    const list = emptied(one("[data-stop]"));
    const calls = knownCalls();
    const counts = knownSteps().map(({ title, steps }) => {
      const count = (state) => steps.filter((step) => step.state === state).length;
      return filled(words.steps_counted, { title, done: count("done"), absent: count("absent") });
    });
    const vehicle = vehicleWords();
    const lines = [...(vehicle ? [filled(words.labelled, { label: words.record_vehicle, text: vehicle })] : []), ...knownOf("stopped"), ...knownOf("devices"), ...knownOf("place"), ...calls, ...counts];
    lines.forEach((text) => list.appendChild(made("li", {}, text)));
    one("[data-stop-empty]").hidden = lines.length > 0;
  };

  function drawMarks() {
    var marks = recalledTable("marks");
    all("[data-mark]").forEach(function (box) {
      box.checked = box.getAttribute("data-mark") in marks;
    });
  }

  function draw() {
    if (place.screen === "record" || place.screen === "phones") drawMarks();
    if (place.screen !== "record") return;
    drawClaim();
    drawFields();
    drawKnown();
    drawStop();
    drawLog();
  }

  on(form, "submit", function (event) {
    event.preventDefault();
  });
  on(form, "input", function (event) {
    var fields = recalledTable("fields");
    fields[event.target.name] = event.target.value;
    remember("fields", fields);
    fit(event.target);
  });
  all("[data-mark]").forEach(function (box) {
    on(box, "change", function () {
      var marks = recalledTable("marks");
      if (box.checked) marks[box.getAttribute("data-mark")] = now();
      else delete marks[box.getAttribute("data-mark")];
      remember("marks", marks);
      var called = box.getAttribute("data-called");
      if (called && box.checked) note(box.getAttribute("data-mark"), filled(words.log_called, { who: called }));
      else if (called) unnote(box.getAttribute("data-mark"));
    });
  });

  /* The mark, the words and, where it is ticked, the time it was ticked. */
  function ticked(box, label) {
    const at = recalledTable("marks")[box.getAttribute("data-mark")];
    const text = label.replace(/\s+/g, " ").trim();
    return at === undefined ? { kind: "check", state: "open", text } : { kind: "check", state: "done", text: text + ", " + fullTime(at) };
  }

  const fact = (text) => ({ kind: "fact", text });

  /* A text that police or the other driver read: in English, and beneath it in the driver's language where that is
     another. `write` makes it of the words and the locale of one language. */
  const both = (name, write) => {
    const own = data.spoken ? write(OWN) : "";
    const english = write(IN_ENGLISH);
    return { [name]: english, own: own === english ? "" : own };
  };
  const titled = (name) => both("title", (language) => language.words[name]);
  const factOf = (write) => ({ kind: "fact", ...both("text", write) });

  const stopSection = () => {
    const entries = [
      factOf((language) => filled(language.words.record_written, { time: fullTime(now(), language.locale) })),
      fact(filled(words.record_edition, { id: data.edition || "", day: data.day || "" })),
    ];
    const label = (language) => language.words.record_vehicle;
    entries.push(
      currentVehicle
        ? factOf((language) => filled(language.words.labelled, { label: label(language), text: vehicleWords(language) }))
        : { kind: "empty", ...both("label", label) }
    );
    // What a field of the record asks for stands there, and not twice.
    const asked = all(".field", form).filter((field) => !field.hidden).map((field) => field.getAttribute("data-known"));
    ["stopped", "devices"].filter((name) => !asked.includes(name)).forEach((name) => entries.push(...knownOf(name).map(fact)));
    return { ...titled("record_stop"), entries };
  };

  /* Every field that somebody wrote or that the tablet knows; and, apart, those that are still empty. */
  const fieldSections = () => {
    const fields = recalledTable("fields");
    const all_ = all(".field", form).filter((field) => !field.hidden);
    const entries = all_.map((field) => {
      const area = one("textarea", field);
      const shown = one("label > [data-key]", field).textContent;
      const label = both("label", (language) => (language === IN_ENGLISH && field.getAttribute("data-english")) || shown);
      const text = typeof fields[area.name] === "string" ? fields[area.name].trim() : "";
      const name = field.getAttribute("data-known");
      const known = [...new Set([...knownOf(name, IN_ENGLISH), ...knownOf(name)])];
      return text || known.length ? { kind: "typed", ...label, text, known } : { kind: "empty", ...label };
    });
    return [
      { ...titled("record_filled"), entries: entries.filter(({ kind }) => kind === "typed") },
      { ...titled("record_empty"), entries: entries.filter(({ kind }) => kind === "empty") },
    ];
  };

  const stepSections = () =>
    knownSteps().map(({ title, version, steps }) => ({
      title: version ? filled(words.record_version, { title, version }) : title,
      entries: steps.map(({ state, text, at }) => ({ kind: "check", state, text: text + ", " + filled(state === "done" ? words.done_at : words.not_here_at, { time: fullTime(at) }) })),
    }));

  const pointSections = () =>
    all(".record > .points").map((points) => ({
      title: points.previousElementSibling.textContent.replace(/\s+/g, " "),
      entries: all("li", points)
        .filter((item) => !item.hidden && one("[data-mark]", item))
        .map((item) => ticked(one("[data-mark]", item), one(".row__text > span", item).textContent)),
    }));

  const callSection = () => ({
    ...titled("record_calls"),
    entries: [
      ...knownCalls().map(fact),
      ...all(".calls > li [data-mark]").filter((box) => !box.closest("li").hidden).map((box) => ticked(box, box.getAttribute("data-called"))),
    ],
  });

  const photoSection = (sources) => ({
    ...titled("record_photos"),
    entries: knownPhotos().map(({ id, at }, index) => {
      const label = filled(words.photo_name, { number: index + 1, time: fullTime(at) });
      return sources[id] ? { kind: "photo", label, source: sources[id] } : fact(label);
    }),
  });

  const recordTitle = () => {
    const { title, own } = both("title", (language) => filled(language.words.record_title, { carrier: data.carrier || "" }));
    return [title, own].filter(Boolean).join(" \u00b7 ");
  };

  /* The whole record, made once for paper, text and file. `sources` holds the pictures by id where they are wanted. */
  const sections = (sources) => [
    stopSection(),
    ...fieldSections(),
    callSection(),
    ...stepSections(),
    { ...titled("record_log"), entries: recalledLog().map((entry) => fact(fullTime(entry.at) + "  " + wordsOf(entry))) },
    photoSection(sources),
    ...pointSections(),
    { ...titled("record_signed"), entries: [{ kind: "empty", ...both("label", (language) => language.words.record_name) }] },
  ];

  const line = (name, text, own = "") => made("p", { class: "paper__" + name, lang: own ? "en-US" : null }, text);
  const ownLine = ({ own }) => (own ? [line("own", own)] : []);

  const paperOf = (entry) => {
    if (entry.kind === "typed") return [line("heading", entry.label, entry.own), ...ownLine(entry), ...entry.known.map((text) => line("text", text)), ...typedLines(entry.text).map((text) => line("typed", text))];
    if (entry.kind === "check") return [line("text", (entry.state === "done" ? "[x] " : entry.state === "absent" ? "[-] " : "[ ] ") + entry.text)];
    if (entry.kind === "empty") return [line("empty", entry.label, entry.own), ...ownLine(entry)];
    if (entry.kind === "photo") return [made("figure", { class: "paper__photo" }, [made("img", { alt: entry.label, src: entry.source }), made("figcaption", {}, entry.label)])];
    return [line("text", entry.text, entry.own), ...ownLine(entry)];
  };

  const loadedSources = () =>
    Promise.all(knownPhotos().map(({ id }) => photoSource(id).then((source) => [id, source], () => [id, ""]))).then((pairs) => Object.fromEntries(pairs));

  on(one("[data-record-print]"), "click", () => {
    loadedSources().then(
      guarded((sources) => {
        emptied(paper).appendChild(made("h2", { class: "paper__title" }, recordTitle()));
        sections(sources)
          .filter(({ entries }) => entries.length)
          .forEach((section) => {
            paper.appendChild(made("h3", { class: "paper__section", lang: section.own ? "en-US" : null }, section.title));
            [...ownLine(section), ...section.entries.flatMap(paperOf)].forEach((element) => paper.appendChild(element));
          });
        const pictures = all("img", paper).map((picture) => picture.decode().catch(() => {}));
        return Promise.all(pictures).then(
          guarded(() => {
            printAlone(paper);
          })
        );
      })
    );
  });

  /* Under everything stands the hash of it, so that a change made afterwards shows. */
  const save = (text, ending, type) =>
    hashOf(window.crypto && window.crypto.subtle, text).then(
      guarded((hash) => {
        const last = hash ? filled(words.record_hash, { hash }) : words.record_no_hash;
        message.textContent = filled(words.record_saved, { name: saveFile("record", ending, type, underlined(text, last, ending === ".html")) });
        message.scrollIntoView({ block: "nearest" });
      })
    );

  on(one("[data-record-save]"), "click", () => void save(recordText(recordTitle(), sections({})), ".txt", "text/plain"));
  on(one("[data-record-save-file]"), "click", () => {
    loadedSources().then(guarded((sources) => save(recordHtml(recordTitle(), sections(sources), root.lang), ".html", "text/html")));
  });

  on(one("[data-record-clear]"), "click", function () {
    dropPhotos(knownPhotos().map(({ id }) => id));
    forget("record");
    announce("cleared");
    draw();
    go("record");
    one("[data-erased]").hidden = false;
  });

  /* A part of the record has an address of its own, such as #record/photos. */
  function drawPart(where) {
    var part = where.screen === "record" && where.view ? document.getElementById("record/" + where.view) : null;
    if (!part) return;
    part.scrollIntoView();
    focusOn(part);
  }

  listen("shown", draw);
  listen("shown", drawPart);
  listen("noted", drawLog);
  const notKept = all("[data-not-kept]");
  listen("not-kept", (failed) => {
    notKept.forEach((line) => {
      line.hidden = !failed;
    });
  });

  /* Editions before this one kept records without their vehicle: the driver says whose it is. */
  const drawClaim = () => {
    one("[data-unclaimed]").hidden = !unclaimed(currentVehicle ? currentVehicle.id : "");
  };
  on(one("[data-claim]"), "click", () => {
    claimFor(currentVehicle.id);
    announce("changed-elsewhere");
  });
  listen("changed-elsewhere", draw);
});
