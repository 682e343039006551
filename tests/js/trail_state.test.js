import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { departed, recalledTrail, returned } = await part("trail_state");

const at = (screen, view = "") => ({ screen, view });

test("a place that was left stands last, with the step its own tools led back to", () => {
  const trail = departed(departed([], at("breakdown", "7"), null), at("find"), at("breakdown", "7"));
  assert.deepEqual(trail, [
    { ...at("breakdown", "7"), before: null },
    { ...at("find"), before: at("breakdown", "7") },
  ]);
});

test("a screen left a second time stands once, where it was left last", () => {
  const trail = departed(departed(departed([], at("a", "1"), null), at("b", "2"), null), at("a", "5"), null);
  assert.deepEqual(trail.map(({ screen, view }) => [screen, view]), [["b", "2"], ["a", "5"]]);
});

test("eight places are kept, and of nine the oldest is forgotten", () => {
  const left = (count) => Array.from({ length: count }).reduce((trail, _, i) => departed(trail, at("p" + i), null), []);
  assert.equal(left(8).length, 8);
  assert.equal(left(8)[0].screen, "p0");
  assert.equal(left(9).length, 8);
  assert.equal(left(9)[0].screen, "p1");
});

test("whoever is back at a place has left what lay behind it, and elsewhere nothing changes", () => {
  const trail = departed(departed([], at("a", "1"), null), at("b", "2"), null);
  assert.deepEqual(returned(trail, "b").map((left) => left.screen), ["a"]);
  assert.deepEqual(returned(trail, "a"), []);
  assert.equal(returned(trail, "c"), trail);
});

test("of what was kept only places that the page has come back", () => {
  const known = (screen) => screen === "a" || screen === "find";
  const kept = [{ ...at("a", "3"), before: at("gone") }, at("gone", "1"), { screen: 4, view: "" }, null, { ...at("find"), before: at("a", "3") }];
  assert.deepEqual(recalledTrail(kept, known), [{ ...at("a", "3"), before: null }, { ...at("find"), before: at("a", "3") }]);
  for (const other of [null, undefined, "a", 3, {}]) assert.deepEqual(recalledTrail(other, known), []);
});
