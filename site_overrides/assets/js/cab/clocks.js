/* The ten minutes, and what is due after an event. Times of day are kept, never countdowns, so that sleep,
   reload and rotation change nothing. Nothing flashes, sounds or jumps up; a step is never interrupted. */

/* Whether devices are to be out in time: a stop began, they are not out, and the procedure places any. */
const devicesDue = () => {
  const stopped = recalledTime("stopped");
  return stopped !== null && recalledTime("out") === null && recalledTime("no_devices") !== stopped;
};

part("clocks", function () {
  var limit = data.limit ? data.limit * 1000 : null;
  var chip = one("[data-clock-shown]");
  var left = one("[data-ten-left]");
  var sentence = one("[data-ten-words]");
  var start = one("[data-ten-start]");
  var out = one("[data-ten-out]");
  var CHIP_ENDS_MS = 6 * 3600000;

  /* A stop that begins with a procedure that sends nobody out with devices has no time for them. */
  function stop(placesDevices) {
    const at = now();
    remember("stopped", at);
    remember("out", null);
    remember("no_devices", placesDevices ? null : at);
    note("stopped", words.log_stopped);
    draw();
  }

  /* A step of a procedure said it: the same as the button, but the step's own line stands in the record. */
  function devicesChanged(said) {
    if (said.out && recalledTime("stopped") !== null && recalledTime("out") === null) remember("out", said.at);
    else if (!said.out && recalledTime("out") === said.at) remember("out", null);
    draw();
  }

  function drawTen() {
    var stopped = recalledTime("stopped");
    var done = recalledTime("out");
    const due = limit !== null && devicesDue();
    var runs = stopped !== null && done === null;
    start.classList.toggle("leads", stopped === null);
    start.textContent = stopped === null ? words.clock_start : words.clock_again;
    out.hidden = !runs;
    if (stopped === null) {
      left.textContent = "";
      sentence.textContent = words.clock_idle;
    } else if (!runs) {
      left.textContent = minutesWords(done - stopped);
      sentence.textContent = filled(words.clock_ended, { stopped: dayTime(stopped), out: dayTime(done) });
    } else if (!due) {
      left.textContent = minutesWords(now() - stopped);
      sentence.textContent = filled(words.clock_stopped, { stopped: dayTime(stopped) });
    } else {
      drawRunning(stopped);
    }
    drawChip(due, stopped);
  }

  /* Never more than the limit: where the tablet's clock was set back, the count starts over and does not run wild. */
  function restOf(stopped) {
    return Math.min(limit, stopped + limit - now());
  }

  function drawRunning(stopped) {
    var rest = restOf(stopped);
    var seconds = Math.max(0, Math.ceil(rest / 1000));
    var due = dayTime(stopped + limit);
    const time = filled(words.time_minutes_seconds, { minutes: Math.floor(seconds / 60), seconds: seconds % 60 });
    left.textContent = rest > 0 ? filled(words.clock_left, { time }) : words.clock_over;
    sentence.textContent = filled(rest > 0 ? words.clock_running : words.clock_late, { stopped: dayTime(stopped), due });
  }

  function drawChip(due, stopped) {
    var rest = due ? restOf(stopped) : null;
    chip.hidden = rest === null || now() - stopped > CHIP_ENDS_MS;
    document.body.classList.toggle("has-clock", !chip.hidden);
    if (rest === null) return;
    const text = rest > 0 ? filled(words.clock_left, { time: filled(words.time_minutes, { minutes: Math.ceil(rest / 60000) }) }) : words.chip_over;
    if (chip.textContent === words.chip_devices + " " + text) return;
    emptied(chip).appendChild(made("span", {}, [made("span", { class: "top__word" }, words.chip_devices + " "), text]));
  }

  function drawDue(section) {
    var at = recalledTable("events")[section.getAttribute("data-due")];
    var known = typeof at === "number";
    one("[data-due-when]", section).textContent = known ? filled(words.due_set, { time: dayTime(at) }) : words.due_unset;
    all("[data-due-set]", section).forEach(function (button) {
      var set = button.getAttribute("data-due-set");
      button.hidden = set === "now" ? false : set === "stopped" ? recalledTime("stopped") === null : !known;
    });
    all("[data-hours]", section).forEach(function (item) {
      var end = known ? at + Number(item.getAttribute("data-hours")) * 3600000 : 0;
      var past = known && end <= now();
      item.classList.toggle("is-past", past);
      one("[data-due-at]", item).textContent =
        !known ? "" : filled(past ? words.due_past : words.due_left, { time: dayTime(end), left: minutesWords(end - now()) });
    });
  }

  function draw() {
    drawTen();
    if (place.screen === "clock") all("[data-due]").forEach(drawDue);
  }

  on(start, "click", () => {
    if (recalledTime("stopped") === null) stop(true);
    else askTwice(start, words.new_stop, () => stop(true));
  });
  on(out, "click", function () {
    remember("out", now());
    note("out", words.log_devices_out);
    draw();
  });
  all("[data-due-set]").forEach(function (button) {
    on(button, "click", function () {
      var section = button.closest("[data-due]");
      var id = section.getAttribute("data-due");
      var events = recalledTable("events");
      var set = button.getAttribute("data-due-set");
      events[id] = set === "now" ? now() : set === "stopped" ? recalledTime("stopped") : events[id] + Number(set) * 60000;
      remember("events", events);
      draw();
    });
  });

  listen("stopped", stop);
  listen("devices", devicesChanged);
  listen("shown", draw);
  listen("cleared", draw);
  listen("changed-elsewhere", draw);
  document.addEventListener("visibilitychange", guarded(draw));
  window.setInterval(
    guarded(function () {
      if (!document.hidden) draw();
    }),
    1000
  );
  draw();
});
