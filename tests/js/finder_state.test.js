import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { freshFinder, recalledFinder, unansweredSides, withCause, withPlace } = await part("finder_state");

const SIDES = [["behind", "ahead"], ["behind"]];
const fresh = () => freshFinder({ road: 0, speed: 8 });
const CAUSES = { hill: "a hill", "bend-right": "a bend" };

test("nothing waits for an answer before anything is tapped", () => {
  assert.deepEqual(unansweredSides(fresh(), SIDES), []);
});

test("a cause without a distance waits, and a distance answers it", () => {
  const hidden = withCause(fresh(), "behind", "hill");
  assert.deepEqual(unansweredSides(hidden, SIDES), ["behind"]);
  assert.equal(hidden.at.behind, 0);
  assert.deepEqual(unansweredSides(withPlace(hidden, "behind", 6, SIDES), SIDES), []);
});

test("both sides wait, each for its own answer", () => {
  const hidden = withCause(withCause(fresh(), "behind", "hill"), "ahead", "bend-right");
  assert.deepEqual(unansweredSides(hidden, SIDES), ["behind", "ahead"]);
  assert.deepEqual(unansweredSides(withPlace(hidden, "behind", 6, SIDES), SIDES), ["ahead"]);
});

test("another cause asks again, the same one does not, and none takes the distance away", () => {
  const answered = withPlace(withCause(fresh(), "behind", "hill"), "behind", 6, SIDES);
  assert.deepEqual(unansweredSides(withCause(answered, "behind", "bend-right"), SIDES), ["behind"]);
  assert.equal(withCause(answered, "behind", "hill").at.behind, 6);
  assert.deepEqual(withCause(answered, "behind", ""), fresh());
});

test("a road without traffic from ahead has no side ahead to answer for", () => {
  const hidden = withCause(fresh(), "ahead", "hill");
  const divided = withPlace(hidden, "road", 1, SIDES);
  assert.deepEqual(unansweredSides(divided, SIDES), []);
  assert.deepEqual(unansweredSides(withPlace(divided, "road", 0, SIDES), SIDES), []);
});

test("no change touches the state it started from", () => {
  const before = fresh();
  withPlace(withCause(before, "behind", "hill"), "behind", 6, SIDES);
  assert.deepEqual(before, fresh());
});

test("what was kept counts as far as the page offers it", () => {
  const offered = (axis, place) => Number.isInteger(place) && place >= 0 && place < 10;
  const kept = { at: { road: 1, speed: 99, behind: 6 }, causes: { behind: "hill", ahead: "constructor" } };
  const state = recalledFinder(kept, fresh(), offered, CAUSES);
  assert.deepEqual(state, { at: { behind: 6, ahead: 0, road: 1, speed: 8 }, causes: { behind: "hill", ahead: "" } });
});

test("a distance without a cause is forgotten, a cause without a distance still waits", () => {
  const any = () => true;
  assert.equal(recalledFinder({ at: { road: 0, speed: 1, behind: 6, ahead: 0 } }, fresh(), any, CAUSES).at.behind, 0);
  const open = recalledFinder({ at: { road: 0, speed: 1, behind: 0, ahead: 0 }, causes: { behind: "hill" } }, fresh(), any, CAUSES);
  assert.deepEqual(unansweredSides(open, SIDES), ["behind"]);
});

test("nothing kept, or nonsense, is the fresh state", () => {
  for (const kept of [null, {}, [], "x", { at: null, causes: 3 }]) {
    assert.deepEqual(recalledFinder(kept, fresh(), () => false, CAUSES), fresh());
  }
});
