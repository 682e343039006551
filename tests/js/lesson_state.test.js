import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { MOST_TRIES, begun, comesBack, commit, give, goOn, judge, linesRight, mayGoOn, nowAsked, resumed, seedOf, sessionOrder, tally, tapLine } =
  await part("lesson_state", "classroom");

const SLIDES = ["start", "box", "a", "b", "c", "close"];
const reversed = (items) => items.slice().reverse();
const first = () => goOn(begun("first", 1, SLIDES, 0), 0);
const answer = (state, right, sure = true) => goOn(commit(give(state, 0), sure, right, 0), 0);

test("a first session has the lesson's own order", () => {
  assert.deepEqual(sessionOrder({ session: "first", slides: SLIDES, boxes: ["box"], missed: ["c"] }, reversed), SLIDES);
});

test("a return session is shuffled between its opening and its close, boxes first and what was missed next", () => {
  const order = sessionOrder({ session: "week", slides: SLIDES, boxes: ["box"], missed: ["b"] }, reversed);
  assert.deepEqual(order, ["start", "box", "b", "c", "a", "close"]);
});

test("what was missed comes back although the return session does not ask it", () => {
  const order = sessionOrder({ session: "week", slides: ["start", "box", "a", "close"], boxes: ["box"], missed: ["c", "box"] }, reversed);
  assert.deepEqual(order, ["start", "box", "c", "a", "close"]);
});

test("nothing is shown and nothing goes on before the answer is committed", () => {
  const state = give(first(), 2);
  assert.equal(state.shown, null);
  assert.equal(mayGoOn(state, true), false);
  assert.equal(mayGoOn(state, false), true);
  const shown = commit(state, true, false, 7400);
  assert.deepEqual(shown.shown, { given: 2, sure: true, right: false, at: 7400, seconds: 7 });
  assert.equal(mayGoOn(shown, true), true);
});

test("an answer cannot be changed once its correction is on the screen", () => {
  const shown = commit(give(first(), 2), true, false, 0);
  assert.equal(give(shown, 1), shown);
  assert.equal(tapLine(shown, 1), shown);
  assert.equal(commit(shown, false, true, 9), shown);
});

test("lines are taken in the order of taps, once each, and the last is given back by a second tap", () => {
  let state = first();
  for (const line of [2, 0, 2, 0]) { state = tapLine(state, line); }
  assert.deepEqual(state.given, [2]);
  assert.equal(tapLine(state, 2).given, null);
  assert.deepEqual(linesRight([0, 2, 1], 3), [true, false, false]);
});

test("what was missed comes back once before the close, and no more often than is allowed", () => {
  let state = answer(first(), false);
  assert.deepEqual(state.order, ["start", "box", "a", "b", "c", "box", "close"]);
  for (const right of [true, true, true]) { state = answer(state, right); }
  assert.equal(nowAsked(state), "box");
  state = answer(state, false);
  assert.equal(nowAsked(state), "box");
  state = answer(state, false);
  assert.equal(nowAsked(state), "close");
  assert.equal(state.answers.box.length, MOST_TRIES);
  assert.equal(state.ended, true);
});

test("what was right at the second try still comes back next time, and so does what was right by luck", () => {
  let state = answer(first(), false);
  state = answer(state, true, false);
  state = answer(state, true, true);
  state = answer(answer(state, true), true);
  assert.deepEqual(comesBack(state), ["box", "a"]);
  assert.deepEqual(tally(state), { asked: 4, right: 3, sureAndWrong: 1 });
});

test("who does not know is not right, and what had been chosen does not count", () => {
  const state = commit(give(first(), 1), null, true, 0);
  assert.deepEqual([state.shown.given, state.shown.right], [null, false]);
});

test("an answer said aloud counts when the learner has judged it, and only once", () => {
  const open = commit(first(), true, null, 0);
  assert.equal(mayGoOn(open, true), false);
  assert.deepEqual(open.answers, {});
  const judged = judge(open, false);
  assert.equal(judged.answers.box.length, 1);
  assert.equal(judge(judged, true), judged);
});

test("a kept state is gone on with only if it is whole, unfinished and of this lesson", () => {
  const state = answer(first(), true);
  assert.deepEqual(resumed(JSON.parse(JSON.stringify(state)), SLIDES), state);
  for (const broken of [null, {}, [], { order: "no" }, { ...state, at: 9 }, { ...state, at: 0.5 }, { ...state, answers: undefined },
    { ...state, ended: true }, { ...state, order: ["gone"] }]) {
    assert.equal(resumed(broken, SLIDES), null);
  }
});

test("a seed depends on every word", () => {
  assert.equal(seedOf("a/1"), seedOf("a/1"));
  assert.notEqual(seedOf("a/1"), seedOf("a/2"));
});
