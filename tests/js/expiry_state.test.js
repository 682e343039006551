import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { expiryOf, WARNED_DAYS } = await part("expiry_state");

const DAY = 86400000;
const at = (days) => days * DAY;
const of = (given) => expiryOf({ touched: at(100), warned: null, days: 30, now: at(100), ...given });

test("nothing is erased where there is no record", () => {
  assert.deepEqual(of({ touched: null, now: at(9999) }), { state: "none", erases: null, warned: null });
});

test("a record is kept until a week before its last day", () => {
  assert.deepEqual(of({ now: at(123) - 1 }), { state: "kept", erases: at(130), warned: null });
});

test("from a week before its last day on there is a warning with that day", () => {
  assert.deepEqual(of({ now: at(123) }), { state: "warned", erases: at(130), warned: at(123) });
  assert.deepEqual(of({ now: at(124), warned: at(123) }), { state: "warned", erases: at(130), warned: at(123) });
  assert.deepEqual(of({ now: at(130) - 1, warned: at(123) }), { state: "warned", erases: at(130), warned: at(123) });
});

test("it is due on its last day, a week after the first warning", () => {
  assert.deepEqual(of({ now: at(130), warned: at(123) }), { state: "due", erases: at(130), warned: at(123) });
});

test("a tablet that was not opened for a year warns first, and erases a week after that", () => {
  assert.deepEqual(of({ now: at(500) }), { state: "warned", erases: at(500 + WARNED_DAYS), warned: at(500) });
  assert.equal(of({ now: at(507) - 1, warned: at(500) }).state, "warned");
  assert.equal(of({ now: at(507), warned: at(500) }).state, "due");
});

test("an entry after the warning begins the days anew", () => {
  assert.deepEqual(of({ touched: at(125), warned: at(123), now: at(130) }), { state: "kept", erases: at(155), warned: null });
  assert.deepEqual(of({ touched: at(125), warned: at(123), now: at(150) }), { state: "warned", erases: at(157), warned: at(150) });
});

test("a warning that a clock set ahead has noted does not count", () => {
  assert.deepEqual(of({ warned: at(900), now: at(130) }), { state: "warned", erases: at(137), warned: at(130) });
});

test("a clock set back erases nothing", () => {
  assert.equal(of({ now: at(3), warned: at(123) }).state, "kept");
});

test("a longer time in the next edition takes the warning back", () => {
  assert.equal(of({ days: 90, warned: at(123), now: at(130) }).state, "kept");
});
