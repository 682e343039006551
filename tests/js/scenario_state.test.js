import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { begun, bestPath, chosen, lookedBack, placeOf, readAgain, readOn, secondsOf, steppedBack, written } = await part("scenario_state", "classroom");

const choice = (to, best = false, seconds = 0) => ({ to, best, seconds });
const PLAY = {
  start: "box",
  moments: {
    box: { choices: [choice("road"), choice("vest", true)] },
    vest: { choices: [choice("parked", true, 126), choice("road"), choice("hurt", false, 343)] },
    road: { choices: [choice("hurt"), choice("lucky", true)] },
  },
  ends: ["parked", "lucky", "hurt"],
};

const playedBy = (...choices) => choices.reduce((played, one) => readOn(chosen(PLAY, played, one)), begun());

test("it begins at the first question, with nothing chosen", () => {
  assert.deepEqual(placeOf(PLAY, begun()), { kind: "moment", id: "box", choice: -1 });
});

test("a choice shows what follows from it, and then the next question", () => {
  const told = chosen(PLAY, begun(), 1);
  assert.deepEqual(placeOf(PLAY, told), { kind: "choice", id: "box", choice: 1 });
  assert.deepEqual(placeOf(PLAY, readOn(told)), { kind: "moment", id: "vest", choice: -1 });
});

test("the last choice leads to an end, at which nothing can be chosen", () => {
  const ended = playedBy(1, 0);
  assert.deepEqual(placeOf(PLAY, ended), { kind: "end", id: "parked", choice: -1 });
  assert.equal(chosen(PLAY, ended, 0), ended);
});

test("nothing is chosen that the question does not offer, nor while what follows is read", () => {
  assert.equal(chosen(PLAY, begun(), 2).path.length, 0);
  assert.equal(chosen(PLAY, begun(), -1).path.length, 0);
  const told = chosen(PLAY, begun(), 0);
  assert.equal(chosen(PLAY, told, 1), told);
});

test("back shows what followed again, and then takes the choice back and counts it", () => {
  const once = steppedBack(playedBy(1));
  assert.deepEqual(once, { path: [1], told: true, back: 0 });
  assert.deepEqual(steppedBack(once), { path: [], told: false, back: 1 });
  assert.deepEqual(steppedBack(begun()), begun());
});

test("the best path leads from the start to its end", () => {
  assert.deepEqual(bestPath(PLAY), [1, 0]);
  assert.equal(secondsOf(PLAY, bestPath(PLAY)), 126);
});

test("looking back names where the best path was left, and both walks", () => {
  const seen = lookedBack(PLAY, playedBy(1, 2));
  assert.deepEqual([seen.end, seen.off, seen.wrong, seen.seconds, seen.bestSeconds], ["hurt", 1, 1, 343, 126]);
  assert.deepEqual(seen.rows.map(({ moment, right }) => [moment, right]), [["box", true], ["vest", false]]);
  assert.deepEqual(lookedBack(PLAY, playedBy(1, 0)).off, -1);
  assert.deepEqual(lookedBack(PLAY, playedBy(0, 0)).wrong, 2);
});

test("whatever was played is read again as it was", () => {
  for (const played of [begun(), chosen(PLAY, begun(), 1), playedBy(1), playedBy(1, 2), { path: [1], told: false, back: 12 }]) {
    assert.deepEqual(readAgain(PLAY, written(played)), played);
  }
});

test("a text that is no game of this scenario is not read", () => {
  for (const text of ["", "at", "at-.", "at-f", "at-bz", "at-bab", "at-b.-0", "at-b-x", "n7", "at-" + "b".repeat(41)]) {
    assert.equal(readAgain(PLAY, text), null, text);
  }
});
