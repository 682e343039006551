import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const state = await part("walk_state");
const reached = (walk) => state.reachedView(walk, state.openQuestion(walk, OFFERED), 3);
const { freshWalk, withPlace, withKind, withCause, withSight, withEnd, withCondition, withConditionsSet, openQuestion, walkViews } = state;

const OFFERED = {
  places: [{ roads: ["two-lane"] }, { roads: ["divided"] }, { roads: ["one-way"] }, { roads: ["divided", "one-way"] }, { roads: ["two-lane", "divided", "one-way"] }],
  roads: { "two-lane": ["behind", "ahead"], divided: ["behind"], "one-way": ["behind"] },
  sizes: { speed: 14, visibility: 3, grade: 5, surface: 3, sight: 15, near: 7, far: 7 },
  causes: { "bend-right": "a bend", "bend-left": "a bend", hill: "a hill", obstruction: "something" },
};
const LENGTHS = { sight: [50, 100, 150, 200, 250, 300], near: [50, 100, 150], far: [50, 100, 150, 200] };
const fresh = (set = false) => freshWalk({ speed: 8, visibility: 0, grade: 2, surface: 0 }, set);
const onTwoLanes = (set = true) => withPlace(fresh(set), 0, OFFERED);
const hidden = (walk, side, cause, sight, end) => withEnd(withSight(withCause(walk, side, cause), side, sight), side, end);
const answered = () => withCause(hidden(onTwoLanes(), "behind", "hill", 6, "2"), "ahead", "");

test("the road is asked first, then light and speed, then each side from which traffic comes", () => {
  assert.equal(openQuestion(fresh(), OFFERED), "road");
  assert.equal(openQuestion(onTwoLanes(false), OFFERED), "conditions");
  const set = withConditionsSet(onTwoLanes(false));
  assert.equal(openQuestion(set, OFFERED), "behind");
  assert.equal(openQuestion(withCause(set, "behind", ""), OFFERED), "ahead");
  assert.equal(openQuestion(withCause(withCause(set, "behind", ""), "ahead", ""), OFFERED), "");
});

test("with light and speed remembered, five answers lead from the road to the numbers of one hidden side", () => {
  let walk = fresh(true);
  const answers = [
    (now) => withPlace(now, 0, OFFERED),
    (now) => withCause(now, "behind", "bend-right"),
    (now) => withSight(now, "behind", 6),
    (now) => withEnd(now, "behind", "unknown"),
    (now) => withCause(now, "ahead", ""),
  ];
  for (const answer of answers) {
    assert.notEqual(openQuestion(walk, OFFERED), "");
    walk = answer(walk);
  }
  assert.equal(openQuestion(walk, OFFERED), "");
});

test("a side that is hidden stays open until it is said how far the pavement is seen and where it begins", () => {
  const cause = withCause(onTwoLanes(), "behind", "hill");
  assert.equal(openQuestion(cause, OFFERED), "behind-sight");
  const sight = withSight(cause, "behind", 6);
  assert.equal(openQuestion(sight, OFFERED), "behind-end");
  for (const end of ["within", "2", "unknown"]) assert.equal(openQuestion(withEnd(sight, "behind", end), OFFERED), "ahead");
});

test("another cause and another distance ask anew what hangs on them; the same ones do not", () => {
  const walk = answered();
  assert.equal(openQuestion(withCause(walk, "behind", "bend-left"), OFFERED), "behind-sight");
  assert.equal(openQuestion(withSight(walk, "behind", 5), OFFERED), "behind-end");
  assert.equal(withCause(walk, "behind", "hill"), walk);
  assert.equal(withSight(walk, "behind", 6), walk);
});

test("a road without traffic from ahead has no question about it, and forgets what was said", () => {
  const divided = withPlace(hidden(answered(), "ahead", "hill", 3, "within"), 1, OFFERED);
  assert.equal(openQuestion(divided, OFFERED), "");
  assert.deepEqual(divided.hidden.ahead, fresh().hidden.ahead);
  assert.equal(openQuestion(withPlace(divided, 0, OFFERED), OFFERED), "ahead");
});

test("at an intersection and on a left shoulder it is asked on which road the vehicle stands", () => {
  const shoulder = withPlace(fresh(true), 3, OFFERED);
  assert.equal(openQuestion(shoulder, OFFERED), "kind");
  assert.equal(state.walkRoad(shoulder, OFFERED), "");
  assert.equal(state.walkRoad(withKind(shoulder, 1, OFFERED), OFFERED), "one-way");
  assert.deepEqual(walkViews(withKind(withPlace(fresh(), 4, OFFERED), 0, OFFERED), OFFERED, 0), ["road", "kind", "conditions", "behind", "ahead", "plan"]);
});

test("the screens follow one another as the driver walks, and end with the way back", () => {
  assert.deepEqual(walkViews(answered(), OFFERED, 3), ["road", "conditions", "behind", "behind-sight", "behind-end", "ahead", "plan", "device-1", "device-2", "device-3", "back"]);
});

test("a walk that is opened again goes on where it was left", () => {
  let walk = answered();
  assert.equal(reached(walk), "plan");
  walk = state.withStood(walk, 1, 1000, 10, "10 ft behind");
  assert.equal(reached(walk), "device-2");
  walk = state.withLeftOut(walk, 3, 2000);
  assert.equal(reached(walk), "device-2");
  walk = state.withStood(walk, 2, 3000, 310, "310 ft behind");
  assert.equal(reached(walk), "back");
  assert.equal(reached(state.withDeviceOpen(walk, 3)), "device-3");
});

test("not safe to go ends the walk from everywhere, and can be taken back", () => {
  for (const walk of [fresh(), onTwoLanes(), answered(), state.withStood(answered(), 1, 5, 10, "10 ft behind")]) {
    const refused = state.withRefused(walk, 77);
    assert.equal(reached(refused), "stop");
    assert.equal(reached(state.withRefused(refused, null)), reached(walk));
  }
});

test("a device that is carried on has to be looked back from again", () => {
  const seen = state.withSeen(answered(), 2);
  assert.equal(seen.seen[2], true);
  const on = state.withCarriedOn(seen, 2, 320);
  assert.deepEqual([on.carried[2], on.seen[2]], [320, false]);
});

test("other answers undo what was found by looking back, and leave standing what stands", () => {
  const walk = state.withStood(state.withCarriedOn(answered(), 2, 320), 1, 5, 10, "10 ft behind");
  const slower = withCondition(walk, "speed", 3);
  assert.deepEqual([slower.carried, slower.stood], [{}, { 1: { at: 5, ft: 10, where: "10 ft behind" } }]);
  assert.deepEqual(withPlace(walk, 1, OFFERED).stood, {});
});

test("a device stands or is left out, never both", () => {
  const left = state.withLeftOut(state.withStood(answered(), 1, 5, 10, "10 ft behind"), 1, 9);
  assert.deepEqual([left.stood, left.left], [{}, { 1: 9 }]);
  assert.deepEqual(state.withStood(left, 1, 11, 10, "10 ft behind").left, {});
});

test("the situation says what is known, and that the rest is not", () => {
  const of = (walk) => state.walkSituation(walk, OFFERED, LENGTHS).hidden;
  assert.deepEqual(of(answered()), { behind: { by: ["hill"], sight_ft: 300, near_ft: 100, far_ft: null }, ahead: null });
  assert.equal(of(withEnd(answered(), "behind", "within")).behind.near_ft, 0);
  assert.equal(of(withEnd(answered(), "behind", "unknown")).behind.near_ft, null);
  const wall = of(hidden(answered(), "behind", "obstruction", 3, "4")).behind;
  assert.deepEqual(wall, { by: ["obstruction"], sight_ft: 150, near_ft: null, far_ft: 200 });
  for (const bend of ["bend-right", "bend-left"]) assert.deepEqual(of(hidden(answered(), "behind", bend, 3, "1")).behind.by, ["curve"]);
});

test("no change touches the walk it started from", () => {
  const before = answered();
  const copy = JSON.parse(JSON.stringify(before));
  state.withStood(state.withCarriedOn(withPlace(withEnd(before, "behind", "within"), 1, OFFERED), 2, 9), 1, 2, 3, "3 ft behind");
  state.withRefused(withCondition(before, "speed", 1), 4);
  assert.deepEqual(before, copy);
});

test("a walk comes back from storage as it was", () => {
  const walk = state.withRefused(state.withLeftOut(state.withStood(state.withSeen(state.withCarriedOn(answered(), 2, 320), 2), 1, 5, 10, "10 ft behind"), 3, 8), 9);
  assert.deepEqual(state.recalledWalk(JSON.parse(JSON.stringify(walk)), fresh(), OFFERED), walk);
});

test("what was kept counts as far as the page offers it", () => {
  const kept = { place: 0, at: { speed: 99, visibility: 1 }, set: "yes", hidden: { behind: { cause: "hill", sight: 99, end: "2" }, ahead: { cause: "constructor" } }, stood: { 1: { at: "x", ft: 2 }, "<b>": { at: 1, ft: 2 } } };
  const walk = state.recalledWalk(kept, fresh(), OFFERED);
  assert.deepEqual(walk.at, { speed: 8, visibility: 1, grade: 2, surface: 0 });
  assert.deepEqual(walk.hidden, { behind: { cause: "hill", sight: 0, end: null }, ahead: fresh().hidden.ahead });
  assert.deepEqual([walk.set, walk.stood], [false, {}]);
});

test("nothing kept, or nonsense, is a fresh walk", () => {
  for (const kept of [null, {}, [], "x", { at: null, hidden: 3 }, { place: "0" }, { place: 7 }]) {
    assert.deepEqual(state.recalledWalk(kept, fresh(), OFFERED), fresh());
  }
});
