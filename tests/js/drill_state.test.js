import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { LATER, drillBegun, drillChoices, drillChosen, minutes, spent, thinking } = await part("drill_state", "classroom");

const ACTS = [
  { id: "flashers", text: "Flashers", why: "", seconds: 0, wrong: [{ text: "Get out", why: "Nothing warns." }] },
  { id: "vest", text: "Vest", why: "", seconds: 0, wrong: [] },
  { id: "device", text: "Device 1", why: "", seconds: 29, wrong: [] },
  { id: "back", text: "Back", why: "", seconds: 28, wrong: [] },
];
const asGiven = (items) => items.slice();
const through = (state, ...ids) => ids.reduce((now, id, index) => drillChosen(ACTS, now, id, 1000 * (index + 1)), state);

test("the choices are the act that is due, what must not be done, and acts that come later", () => {
  const choices = drillChoices(ACTS, drillBegun(0), asGiven);
  assert.deepEqual(choices.map((one) => one.id), ["flashers", "", "vest", "device"]);
  assert.equal(choices.length, 2 + LATER);
  assert.deepEqual(drillChoices(ACTS, { ...drillBegun(0), at: 3 }, asGiven).map((one) => one.id), ["back"]);
});

test("only the act that is due goes on, and each act is missed once at the most", () => {
  const state = through(drillBegun(0), "device", "", "flashers");
  assert.equal(state.at, 1);
  assert.deepEqual(state.missed, ["flashers"]);
});

test("walking adds its computed seconds, and thinking those of the clock", () => {
  const state = through(drillBegun(0), "flashers", "vest", "device");
  assert.equal(state.onFoot, 29);
  assert.equal(thinking(state, 61_400), 61);
  assert.equal(spent(state, 61_400), 90);
});

test("the last act stops the clock, and nothing is chosen after it", () => {
  const state = through(drillBegun(0), "flashers", "vest", "device", "back");
  assert.equal(state.ended, 4000);
  assert.equal(spent(state, 999_000), 4 + 57);
  assert.equal(drillChosen(ACTS, state, "flashers", 5000), state);
});

test("seconds are written as minutes", () => {
  assert.deepEqual([0, 59, 60, 605].map(minutes), ["0:00", "0:59", "1:00", "10:05"]);
});
