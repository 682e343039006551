import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { STORAGE_KEY, classStore } = await part("class_store", "classroom");

const place = (values = {}, room = 1e9) => ({
  values,
  getItem: (key) => key in values ? values[key] : null,
  setItem: (key, value) => { if (value.length > room) throw new Error("QuotaExceededError"); values[key] = value; },
  removeItem: (key) => { delete values[key]; },
});
const refused = () => { throw new Error("SecurityError"); };
const seven = { class: "B12", number: "7" };
const eight = { class: "B12", number: "8" };
const row = (who, question) => ({ ...who, question });

test("two learners on one tablet have their own rows and their own lessons", () => {
  const local = place();
  const store = classStore(() => local, () => place());
  store.add(row(seven, "a"));
  store.add(row(eight, "b"));
  store.keepLesson(seven, "fire", { missed: ["a"] });
  assert.deepEqual(store.rows(seven).map((one) => one.question), ["a"]);
  assert.deepEqual(store.rows(eight).map((one) => one.question), ["b"]);
  assert.equal(store.rows(null).length, 2);
  assert.equal(store.lesson(eight, "fire"), null);
  assert.deepEqual(store.lesson(seven, "fire"), { missed: ["a"] });
});

test("rows of another tab are kept when this one adds its own", () => {
  const local = place();
  const [one, other] = [classStore(() => local, () => place()), classStore(() => local, () => place())];
  one.add(row(seven, "a"));
  other.add(row(eight, "b"));
  one.add(row(seven, "c"));
  assert.deepEqual(one.rows(null).map((each) => each.question), ["a", "b", "c"]);
});

test("who answers is known in this tab alone, until it is handed over", () => {
  const [local, tab, otherTab] = [place(), place(), place()];
  const store = classStore(() => local, () => tab);
  store.enter(seven);
  assert.deepEqual(store.learner(), seven);
  assert.equal(classStore(() => local, () => otherTab).learner(), null);
  store.leave();
  assert.equal(store.learner(), null);
});

test("where storage is forbidden everything goes on in memory, and it is said", () => {
  const store = classStore(refused, refused);
  assert.equal(store.kept(), true);
  store.enter(seven);
  store.add(row(seven, "a"));
  store.add(row(seven, "b"));
  store.keepLesson(seven, "fire", { missed: [] });
  assert.deepEqual(store.rows(seven).map((one) => one.question), ["a", "b"]);
  assert.deepEqual(store.learner(), seven);
  assert.deepEqual(store.lesson(seven, "fire"), { missed: [] });
  assert.equal(store.kept(), false);
});

test("where storage is full the older rows stay and the new ones are not lost while the page is open", () => {
  const local = place({}, 60);
  const store = classStore(() => local, () => place());
  store.add(row(seven, "a"));
  assert.equal(store.kept(), true);
  store.add(row(seven, "b"));
  assert.deepEqual(store.rows(seven).map((one) => one.question), ["a", "b"]);
  assert.equal(JSON.parse(local.values[STORAGE_KEY]).length, 1);
  assert.equal(store.kept(), false);
});

test("what is no row, and what is no list, is left out", () => {
  for (const kept of ["{", "7", "null", '{"a":1}', '[null, 3, {"question": 4}]']) {
    assert.deepEqual(classStore(() => place({ [STORAGE_KEY]: kept }), () => place()).rows(null), []);
  }
});

test("wiping the scores keeps what comes back, and wiping everything keeps nothing", () => {
  const local = place();
  const store = classStore(() => local, () => place());
  store.add(row(seven, "a"));
  store.keepLesson(seven, "fire", { missed: ["a"] });
  store.wipe(false);
  assert.deepEqual(store.rows(null), []);
  assert.deepEqual(store.lesson(seven, "fire"), { missed: ["a"] });
  store.wipe(true);
  assert.equal(store.lesson(seven, "fire"), null);
  assert.deepEqual(local.values, {});
});

const held = (store) => store.classes().sort();

test("a class is forgotten with its answers and what it missed, and no other class with it", () => {
  const local = place();
  const store = classStore(() => local, () => place(), true);
  const other = { class: "B1", number: "7" };
  [seven, eight, other].forEach((who) => {
    store.add(row(who, "a"));
    store.keepLesson(who, "fire", { missed: ["a"] });
  });
  assert.deepEqual(held(store), ["B1", "B12"]);
  store.forgetClass("B12");
  assert.deepEqual(held(store), ["B1"]);
  assert.deepEqual(store.rows(null), [row(other, "a")]);
  assert.equal(store.lesson(seven, "fire"), null);
  assert.deepEqual(store.lesson(other, "fire"), { missed: ["a"] });
});

test("a class that has only missed something is held too", () => {
  const local = place();
  const store = classStore(() => local, () => place(), true);
  assert.deepEqual(held(store), []);
  store.keepLesson(seven, "fire", { missed: ["a"] });
  assert.deepEqual(held(store), ["B12"]);
});

test("every answer begins the days of its class, and of no other, where results expire", (context) => {
  context.mock.timers.enable({ apis: ["Date"], now: 1000 });
  const local = place();
  const store = classStore(() => local, () => place(), true);
  store.add(row(seven, "a"));
  store.keepTimes({ ...store.times(), B1: { touched: 5, warned: 6 } });
  context.mock.timers.setTime(2000);
  store.keepLesson(eight, "fire", { missed: [] });
  assert.deepEqual(store.times(), { B12: { touched: 2000 }, B1: { touched: 5, warned: 6 } });
  store.wipe(true);
  assert.deepEqual(store.times(), {});
});

test("where results do not expire no time is kept", () => {
  const local = place();
  const store = classStore(() => local, () => place());
  store.add(row(seven, "a"));
  store.keepLesson(seven, "fire", { missed: [] });
  assert.deepEqual(Object.keys(local.values).sort(), ["forty-paces-classroom-lessons", STORAGE_KEY]);
});
