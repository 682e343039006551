import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { createScratch, FIRST_LINE, recallOn, recallStage, recallWords } = await part("practice_state");

const RECORD = ["ticks", "answers", "log", "marks", "fields", "stopped", "out", "events"];
const scratch = () => createScratch((key) => RECORD.includes(key));

test("before practice the real memory counts", () => {
  const memory = scratch();
  assert.equal(memory.practicing(), false);
  assert.equal(memory.takes("ticks"), false);
  assert.equal(memory.get("ticks"), undefined);
});

test("marks on steps begin empty, are kept while practicing and gone after it", () => {
  const memory = scratch();
  memory.begin();
  assert.equal(memory.get("ticks"), null);
  memory.set("ticks", { "tire-fire/1": 5 });
  assert.deepEqual(memory.get("ticks"), { "tire-fire/1": 5 });
  memory.end();
  assert.equal(memory.get("ticks"), undefined);
  memory.begin();
  assert.equal(memory.get("ticks"), null);
});

for (const key of ["log", "marks", "fields", "stopped", "out", "events"]) {
  test(`the real ${key} is read while practicing and never written`, () => {
    const memory = scratch();
    memory.begin();
    memory.set(key, 7);
    assert.equal(memory.takes(key), true);
    assert.equal(memory.get(key), undefined);
  });
}

test("choices of the tablet stay real", () => {
  const memory = scratch();
  memory.begin();
  assert.equal(memory.takes("look"), false);
  assert.equal(memory.get("look"), undefined);
});

test("each line is asked for, then shown; after the last one recall is over", () => {
  const stages = [];
  let recall = FIRST_LINE;
  for (let taps = 0; taps < 6; taps += 1) {
    stages.push([recall.line, recallStage(recall, 2)]);
    recall = recallOn(recall, 2);
  }
  assert.deepEqual(stages, [
    [0, "ask"],
    [0, "shown"],
    [1, "ask"],
    [1, "shown"],
    [2, "over"],
    [2, "over"],
  ]);
});

test("a procedure with nothing by heart asks nothing", () => {
  assert.equal(recallStage(FIRST_LINE, 0), "over");
  assert.equal(recallWords(FIRST_LINE, 0), null);
});

test("the button shows a line, then asks for the next one, and after the last one says that all were known", () => {
  assert.deepEqual(recallWords(FIRST_LINE, 2), { button: "recall_show", question: "recall_say" });
  assert.deepEqual(recallWords({ line: 0, shown: true }, 2), { button: "recall_next", question: "recall_compare" });
  assert.deepEqual(recallWords({ line: 1, shown: true }, 2), { button: "recall_known", question: "recall_compare" });
  assert.equal(recallWords({ line: 2, shown: false }, 2), null);
});
