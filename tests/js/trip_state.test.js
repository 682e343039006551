import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { tripState } = await part("trip_state");

test("an untouched list has no times", () => {
  assert.deepEqual(tripState({}, ["a", "b"]), { done: 0, of: 2, begun: null, ended: null });
});

test("a list with an open point has begun and not ended", () => {
  assert.deepEqual(tripState({ a: 7 }, ["a", "b"]), { done: 1, of: 2, begun: 7, ended: null });
});

test("a list without an open point ended with its last tick, whatever the order of ticks", () => {
  assert.deepEqual(tripState({ a: 9, b: 3, c: 5 }, ["a", "b", "c"]), { done: 3, of: 3, begun: 3, ended: 9 });
});

test("points of other vehicles do not count", () => {
  assert.deepEqual(tripState({ a: 1, z: 2 }, ["a"]), { done: 1, of: 1, begun: 1, ended: 1 });
});

test("what is no time is no tick, and a list without points never ends", () => {
  assert.deepEqual(tripState({ a: "yes", b: null }, ["a", "b"]), { done: 0, of: 2, begun: null, ended: null });
  assert.deepEqual(tripState({}, []), { done: 0, of: 0, begun: null, ended: null });
});
