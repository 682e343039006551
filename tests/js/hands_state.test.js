import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { shakesFor, signalBetween, spokenOrder, tonesFor } = await part("hands_state");

const MIN = 60000;

for (const [minutes, at] of [
  [5, 5 * MIN],
  [2, 2 * MIN],
  [0, 0],
]) {
  test(`the signal of ${minutes} minutes comes at the limit, not before it and not after it`, () => {
    assert.equal(signalBetween(at + 2000, at + 1), null);
    assert.equal(signalBetween(at + 1, at), minutes);
    assert.equal(signalBetween(at + 1, at - 1), minutes);
    assert.equal(signalBetween(at, at - 1), null);
  });
}

test("a page that slept past several limits gives the last one only", () => {
  assert.equal(signalBetween(9 * MIN, MIN), 2);
  assert.equal(signalBetween(9 * MIN, -MIN), 0);
});

test("a clock that starts, stops or is set anew gives no signal", () => {
  assert.equal(signalBetween(null, 4 * MIN), null);
  assert.equal(signalBetween(4 * MIN, null), null);
  assert.equal(signalBetween(MIN, 10 * MIN), null);
});

test("the three signals differ in number and length, for the ear and for the hand", () => {
  assert.deepEqual([5, 2, 0].map((minutes) => tonesFor(minutes).length), [3, 2, 1]);
  assert.deepEqual([5, 2, 0].map((minutes) => shakesFor(minutes)), [
    [150, 150, 150, 150, 150],
    [350, 150, 350],
    [1500],
  ]);
  for (const minutes of [5, 2, 0]) {
    const tones = tonesFor(minutes);
    for (let at = 1; at < tones.length; at += 1) assert.ok(tones[at].at_s > tones[at - 1].at_s + tones[at - 1].long_s);
  }
});

test("the order is read as one text", () => {
  assert.equal(spokenOrder("  Walk \n 100 ft\u00a0(30 m) away. "), "Walk 100 ft (30 m) away.");
});
