/* The record: what was done when, what was written, what is photographed. It never leaves the tablet by
   itself; it is printed, saved as a file, or erased on purpose by two taps on two screens. */

part("record", function () {
  var form = one("[data-record]");
  var log = one("[data-log]");
  var told = one("[data-record-told]");
  var paper = one("[data-paper]");
  var LEAST_ROWS = 2;
  var MOST_ROWS = 24;

  function titleOf(key) {
    var found = one('[data-key="' + key.split("/")[0] + '/title"]');
    return found ? found.textContent : "";
  }

  /* The words of a line of the log, read off the page by its key. */
  function wordsOf(entry) {
    var found = null;
    all("[data-key]").some(function (element) {
      if (element.getAttribute("data-key") === entry.what) found = element;
      return found;
    });
    var words = found ? found.textContent : "";
    var title = titleOf(entry.what.replace(/["\\]/g, ""));
    if (/\/(see|if_not\/title)$/.test(entry.what)) words = "Decided: " + words;
    if (/\/finished$/.test(entry.what)) words = "Finished: " + words;
    return [title && title !== words ? title + ": " : "", entry.words, entry.words && words ? ": " : "", words].join("");
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
      if (called && box.checked) note(box.getAttribute("data-mark"), "Called " + called);
      else if (called) unnote(box.getAttribute("data-mark"));
    });
  });

  function vehicleWords() {
    if (!currentVehicle) return "";
    var unit = currentVehicle.unit && "unit " + currentVehicle.unit;
    return [currentVehicle.title, unit, currentVehicle.plate].filter(Boolean).join(", ");
  }

  /* The mark, the words and, where it is ticked, the time it was ticked. */
  function ticked(box, words) {
    var at = recalledTable("marks")[box.getAttribute("data-mark")];
    var told = words.replace(/\s+/g, " ").trim();
    return at === undefined ? "[ ] " + told : "[x] " + told + ", " + new Date(at).toLocaleString();
  }

  /* The record as lines: [kind, text]. Made once for paper and file. */
  function lines() {
    var fields = recalledTable("fields");
    var said = [["title", "Record, " + one(".top__carrier").textContent]];
    said.push(["text", "Written " + new Date(now()).toLocaleString()]);
    said.push(["text", "Vehicle: " + vehicleWords()]);
    all(".field:not([hidden])", form).forEach(function (field) {
      var name = one("textarea", field).name;
      said.push(["heading", one("label > span", field).textContent]);
      said.push(["text", fields[name] || ""]);
    });
    all(".record > .points").forEach(function (points) {
      said.push(["heading", points.previousElementSibling.textContent.replace(/\s+/g, " ")]);
      all("li:not([hidden])", points).forEach(function (item) {
        var box = one("[data-mark]", item);
        if (box) said.push(["text", ticked(box, one(".row__text > span", item).textContent)]);
      });
    });
    said.push(["heading", "Calls"]);
    all(".calls > li:not([hidden]) [data-mark]").forEach(function (box) {
      said.push(["text", ticked(box, box.getAttribute("data-called"))]);
    });
    said.push(["heading", "What was done, and when"]);
    recalledLog().forEach(function (entry) {
      said.push(["text", new Date(entry.at).toLocaleString() + "  " + wordsOf(entry)]);
    });
    said.push(["heading", "Signed"], ["text", ""]);
    return said;
  }

  on(one("[data-record-print]"), "click", function () {
    emptied(paper);
    lines().forEach(function (line) {
      var tag = { title: "h2", heading: "h3", text: "p" }[line[0]];
      paper.appendChild(made(tag, { class: "paper__" + line[0] }, line[1]));
    });
    paper.hidden = false;
    root.classList.add("paper-only");
    window.print();
    root.classList.remove("paper-only");
    paper.hidden = true;
  });

  on(one("[data-record-save]"), "click", function () {
    var text = lines()
      .map(function (line) {
        return line[0] === "heading" ? "\n" + line[1] : line[1];
      })
      .join("\n");
    var stamp = new Date(now() - new Date().getTimezoneOffset() * 60000).toISOString().slice(0, 16).replace(/[:T]/g, "-");
    var name = "record-" + stamp + ".txt";
    var address = URL.createObjectURL(new Blob([text + "\n"], { type: "text/plain;charset=utf-8" }));
    var link = made("a", { href: address, download: name });
    document.body.appendChild(link);
    link.click();
    document.body.removeChild(link);
    window.setTimeout(function () {
      URL.revokeObjectURL(address);
    }, 60000);
    told.textContent = "Saved as " + name + ", where this browser keeps downloads.";
  });

  on(one("[data-record-clear]"), "click", function () {
    forget("record");
    tell("cleared");
    draw();
    go("record");
    told.textContent = "The record was erased.";
  });

  /* A part of the record has an address of its own, such as #record/photos. */
  function drawPart(where) {
    var part = where.screen === "record" && where.view ? document.getElementById("record/" + where.view) : null;
    if (!part) return;
    part.scrollIntoView();
    focusOn(part);
  }

  hear("shown", draw);
  hear("shown", drawPart);
  hear("noted", drawLog);
  hear("not-kept", (failed) => {
    all("[data-not-kept]").forEach((line) => {
      line.hidden = !failed;
    });
  });

  /* Editions before this one kept records without their vehicle: the driver says whose it is. */
  const drawClaim = () => {
    one("[data-unclaimed]").hidden = !unclaimed(currentVehicle ? currentVehicle.id : "");
  };
  on(one("[data-claim]"), "click", () => {
    claimFor(currentVehicle.id);
    tell("changed-elsewhere");
  });
  hear("changed-elsewhere", draw);
});
