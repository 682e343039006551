import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { erasedNow, erasures, shownNow, standings, touchedNow } = await part("score_expiry_state", "classroom");

const DAY = 86400000;
const at = (days) => days * DAY;
const DAYS = 60;
const of = (times, now, held = ["B12"]) => standings({ held, times, days: DAYS, now });

test("a device that holds nothing has nothing to erase", () => {
  assert.deepEqual(of({ B12: { touched: at(1) } }, at(999), []), []);
});

test("the results of a class are kept until a week before its last day, then warned of, then due", () => {
  const times = { B12: { touched: at(100) } };
  assert.deepEqual(of(times, at(153) - 1), [{ class: "B12", state: "kept", erases: at(160), warned: null }]);
  assert.deepEqual(of(times, at(153)), [{ class: "B12", state: "warned", erases: at(160), warned: at(153) }]);
  const shown = shownNow(times, of(times, at(153)), at(153));
  assert.deepEqual(of(shown, at(160) - 1)[0].state, "warned");
  assert.deepEqual(of(shown, at(160)), [{ class: "B12", state: "due", erases: at(160), warned: at(153) }]);
});

test("a device that nobody opened for a year warns first, and erases a week after that warning was shown", () => {
  const times = { B12: { touched: at(100) } };
  assert.equal(of(times, at(500))[0].erases, at(507));
  assert.equal(of(times, at(508))[0].state, "warned", "what was not shown was no warning");
  const shown = shownNow(times, of(times, at(500)), at(500));
  assert.equal(of(shown, at(507) - 1)[0].state, "warned");
  assert.equal(of(shown, at(507))[0].state, "due");
});

test("each class has its own days, and one that has none yet begins now", () => {
  const times = { B12: { touched: at(100) }, A1: { touched: at(140) } };
  const now = at(155);
  const seen = of(times, now, ["OLD", "B12", "A1", "B12"]);
  assert.deepEqual(seen.map((one) => [one.class, one.state]), [["A1", "kept"], ["B12", "warned"], ["OLD", "kept"]]);
  assert.equal(seen[2].erases, at(155 + DAYS));
  const shown = shownNow(times, seen, now);
  assert.deepEqual(shown, { A1: { touched: at(140) }, B12: { touched: at(100), warned: now }, OLD: { touched: now } });
  assert.equal(of(shown, at(200), ["OLD"])[0].erases, at(155 + DAYS), "and begins only once");
});

test("an answer, or the wish to keep them longer, begins the days anew and takes the warning back", () => {
  const times = touchedNow({ B12: { touched: at(100), warned: at(153) }, A1: { touched: at(1) } }, "B12", at(155));
  assert.deepEqual(times, { B12: { touched: at(155) }, A1: { touched: at(1) } });
  assert.deepEqual(of(times, at(160)), [{ class: "B12", state: "kept", erases: at(155 + DAYS), warned: null }]);
});

test("a clock set back erases nothing, and a warning noted by a clock set ahead does not count", () => {
  assert.equal(of({ B12: { touched: at(100), warned: at(153) } }, at(3))[0].state, "kept");
  assert.deepEqual(of({ B12: { touched: at(100), warned: at(900) } }, at(160))[0], { class: "B12", state: "warned", erases: at(167), warned: at(160) });
});

test("what was erased is said with its day, until the class answers again", () => {
  const times = erasedNow(erasedNow({ B12: { touched: at(1), warned: at(50) } }, "B12", at(60)), "A1", at(70));
  assert.deepEqual(times, { B12: { erased: at(60) }, A1: { erased: at(70) } });
  assert.deepEqual(erasures(times, []), [{ class: "A1", erased: at(70) }, { class: "B12", erased: at(60) }]);
  assert.deepEqual(erasures(touchedNow(times, "A1", at(71)), ["A1"]), [{ class: "B12", erased: at(60) }]);
});

test("times that something else has written are as good as none", () => {
  assert.equal(of({ B12: { touched: "yesterday", warned: null } }, at(500))[0].state, "kept");
  assert.deepEqual(erasures({ B12: { erased: "soon" } }, []), []);
});
