import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { doneBefore, firstOpenStep, marked, nextAsked, stateOf } = await part("step_marks");

const KEYS = ["p/blocks/a/steps/x", "p/blocks/a/steps/y", "p/blocks/b/steps/z"];
const none = { done: {}, absent: {}, earlier: {} };

test("a step is open, done, or not here, and never two of these", () => {
  const done = marked(none, KEYS[0], "done", 5);
  assert.deepEqual(done, { ...none, done: { [KEYS[0]]: 5 } });
  const absent = marked(done, KEYS[0], "absent", 6);
  assert.deepEqual(absent, { ...none, absent: { [KEYS[0]]: 6 } });
  assert.deepEqual(marked(absent, KEYS[0], "open", 7), none);
  assert.deepEqual([stateOf(KEYS[0], none), stateOf(KEYS[0], done), stateOf(KEYS[0], absent)], ["open", "done", "absent"]);
});

test("a mark leaves the other steps and the marks that it started from as they are", () => {
  const before = { ...none, done: { [KEYS[0]]: 1 }, absent: { [KEYS[2]]: 2 } };
  const copy = structuredClone(before);
  assert.deepEqual(marked(before, KEYS[1], "absent", 3), { ...none, done: { [KEYS[0]]: 1 }, absent: { [KEYS[2]]: 2, [KEYS[1]]: 3 } });
  assert.deepEqual(before, copy);
});

test("the next step is the first that is neither done nor not here", () => {
  assert.equal(firstOpenStep(KEYS, none), 0);
  assert.equal(firstOpenStep(KEYS, marked(none, KEYS[0], "absent", 1)), 1);
  assert.equal(firstOpenStep(KEYS, marked(marked(none, KEYS[0], "absent", 1), KEYS[1], "done", 2)), 2);
  assert.equal(firstOpenStep(KEYS, KEYS.reduce((marks, key) => marked(marks, key, "done", 1), none)), 3);
  assert.equal(firstOpenStep([], none), 0);
});

const shared = (procedure, id, text = "Turn the hazard flashers on now.") => ({ key: procedure + "/blocks/safe/steps/" + id, text });

test("a step that the procedure before had done since the stop is done earlier, with that time", () => {
  const before = [shared("breakdown", "flashers-on")];
  const steps = [shared("warning-devices", "flashers-on"), shared("warning-devices", "near")];
  const marks = { ...none, done: { [before[0].key]: 100 } };
  assert.deepEqual(doneBefore(steps, before, marks, 99), { [steps[0].key]: 100 });
  assert.deepEqual(doneBefore(steps, before, marks, 100), { [steps[0].key]: 100 });
  assert.deepEqual(doneBefore(steps, before, marks, 101), {}, "before this stop");
});

test("the same id with other words is another step, and so is one that did not apply", () => {
  const before = [shared("breakdown", "flashers-on", "Turn them on.")];
  const steps = [shared("warning-devices", "flashers-on")];
  assert.deepEqual(doneBefore(steps, before, { ...none, done: { [before[0].key]: 100 } }, 0), {});
  const same = [shared("breakdown", "flashers-on")];
  assert.deepEqual(doneBefore(steps, same, { ...none, absent: { [same[0].key]: 100 } }, 0), {});
});

test("a step that is marked keeps its mark", () => {
  const before = [shared("breakdown", "flashers-on")];
  const steps = [shared("warning-devices", "flashers-on")];
  const marks = { ...none, done: { [before[0].key]: 100 }, absent: { [steps[0].key]: 120 } };
  assert.deepEqual(doneBefore(steps, before, marks, 0), {});
});

test("what was done earlier is neither the next step nor stood on by Done and Back", () => {
  const marks = marked(marked(none, KEYS[0], "earlier", 1), KEYS[1], "earlier", 1);
  assert.equal(firstOpenStep(KEYS, marks), 2);
  assert.equal(nextAsked(KEYS, marks, 2, -1), -1);
  assert.equal(nextAsked(KEYS, marks, -1, 1), 2);
  assert.equal(nextAsked(KEYS, none, 0, 1), 1);
  assert.equal(nextAsked(KEYS, none, 2, 1), 3);
  assert.equal(stateOf(KEYS[0], marked(marks, KEYS[0], "done", 3)), "done");
});
