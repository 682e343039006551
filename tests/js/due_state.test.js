import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { addDays, calendar, dueDays, isDay } = await part("due_state", "classroom");
const FIRE = [{ id: "fire", title: "Smoke and flame" }];

test("a week is seven days and a month four weeks, over the end of a year and of February", () => {
  assert.deepEqual(dueDays("2026-12-28", FIRE).map((one) => one.day), ["2027-01-04", "2027-01-25"]);
  assert.deepEqual(dueDays("2028-02-01", FIRE).map((one) => one.day), ["2028-02-08", "2028-02-29"]);
  assert.equal(addDays("2026-03-28", 1), "2026-03-29", "a change of the clocks moves no day");
});

test("only a day of the calendar is a day", () => {
  for (const day of ["2026-12-04", "2028-02-29"]) { assert.equal(isDay(day), true); }
  for (const text of ["", "4.12.2026", "2026-13-01", "2026-02-29", "2026-12-4", "0000-00-00", "2026-12-04T00:00"]) { assert.equal(isDay(text), false); }
});

test("the calendar file has an event for each day, in lines of 75 octets at most that end in CR LF", () => {
  const summary = "Class B12. Smoke, flame; and \\ é".repeat(5);
  const text = calendar([{ day: "2026-12-31", session: "week", lesson: "fire", summary }], { now: new Date("2026-12-04T07:08:09.123Z"), name: "B12" });
  const lines = text.split("\r\n");
  assert.equal(lines.pop(), "");
  for (const line of lines) { assert.ok(Buffer.byteLength(line) <= 75, line); }
  const unfolded = text.replace(/\r\n /g, "");
  assert.match(unfolded, /\r\nDTSTAMP:20261204T070809Z\r\nDTSTART;VALUE=DATE:20261231\r\nDTEND;VALUE=DATE:20270101\r\n/);
  assert.match(unfolded, /SUMMARY:Class B12\. Smoke\\, flame\\; and \\\\ é/);
  assert.match(unfolded, /\r\nUID:fire-week-2026-12-31-B12@/);
});
