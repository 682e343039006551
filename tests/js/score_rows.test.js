import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { COLUMNS, attemptOf, checkCode, className, fileName, learnerNumber, localDay, neutral, scoreFile } = await part("score_rows", "classroom");

const row = (changes = {}) => ({ class: "B12", number: "7", day: "2026-12-04", work: "lesson/fire", session: "first", question: "q", points: 1, of: 1, ...changes });

test("no cell begins as a formula does", () => {
  for (const text of ["=1", "+1", "-1", "@x", "\tx", "\rx"]) { assert.equal(neutral(text), "'" + text); }
  assert.equal(neutral("a=1"), "a=1");
});

test("a file has its columns, one line a row, and a last line with their number", () => {
  const lines = scoreFile([row({ given: 'He said "no", twice' }), row()]).split("\r\n");
  assert.equal(lines[0], [...COLUMNS, "check"].join(","));
  assert.equal(lines.length, 5);
  assert.match(lines[1], /"He said ""no"", twice"/);
  assert.match(lines[3], /^end,2,/);
});

test("the check code of a line depends on every field and on the line before", () => {
  assert.equal(checkCode("", ["a"]), checkCode("", ["a"]));
  const codes = [["", ["a", "b"]], ["x", ["a", "b"]], ["", ["ab", ""]], ["", ["a", "c"]]].map(([before, fields]) => checkCode(before, fields));
  assert.equal(new Set(codes).size, codes.length);
  assert.equal(checkCode("", ["foobar"]).length, 8);
});

test("a file is named by class, number and day, and by all of them where there are several", () => {
  assert.equal(fileName([row(), row()], "2026-12-05"), "scores-B12-7-2026-12-04.csv");
  assert.equal(fileName([row(), row({ number: "8", day: "2026-12-11" })], "2026-12-12"), "scores-B12-all-2026-12-12.csv");
  assert.equal(fileName([], "2026-12-12"), "scores-all-all-2026-12-12.csv");
});

test("a class has letters and digits, a learner a number, and a name is neither", () => {
  assert.equal(className(" b-12 "), "B12");
  assert.equal(className("../../=x"), "X");
  assert.equal(learnerNumber(" 007"), "7");
  assert.equal(learnerNumber("0"), "0");
  assert.equal(learnerNumber("Maria"), "");
  assert.equal(learnerNumber("12345"), "123");
});

test("attempts are counted for one learner, one question and one session", () => {
  const rows = [row(), row({ session: "week" }), row({ number: "8" }), row({ question: "r" })];
  assert.equal(attemptOf(rows, row()), 2);
  assert.equal(attemptOf([], row()), 1);
});

test("the day is the local one", () => {
  assert.equal(localDay(new Date(2026, 0, 5, 23, 59)), "2026-01-05");
});
