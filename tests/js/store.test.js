import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { createStore, differences, fromEntries, nextLineId, toEntries } = await part("store");

const line = (id, at, what) => ({ id, at, what, words: "" });

test("a value comes back from its rows as it went in", () => {
  const values = [
    ["one", 1795600000000],
    ["one", { at: { road: 1 } }],
    ["table", { place: "Route 9", driver: "" }],
    ["table", JSON.parse('{"__proto__": "x", "constructor": "y"}')],
    ["log", [line("000000001-a", 5, "stopped"), line("000000002-a", 3, "out")]],
  ];
  for (const [shape, value] of values) assert.deepEqual(fromEntries(shape, toEntries(shape, value)), value);
  assert.equal(fromEntries("one", toEntries("one", null)), null);
});

test("lines come in the order in which they were written, whatever the clock said and whoever wrote them", () => {
  const rows = new Map([line("000000010-b", 1, "c"), line("000000002-b", 9, "b"), line("000000002-a", 9, "a")].map((one) => [one.id, one]));
  assert.deepEqual(fromEntries("log", rows).map((one) => one.what), ["a", "b", "c"]);
});

test("the next line comes behind every other, also behind those without a usable id", () => {
  assert.equal(nextLineId([], "p"), "000000001-p");
  assert.equal(nextLineId([{ id: "000000009-x" }, { id: "000000003-p" }], "p"), "000000010-p");
  assert.equal(nextLineId([{}, { id: "<img>" }], "p"), "000000001-p");
});

test("only what differs is written", () => {
  const before = new Map(Object.entries({ a: 1, b: { c: 2 }, gone: 3 }));
  const after = new Map(Object.entries({ a: 1, b: { c: 4 }, d: 5 }));
  assert.deepEqual(differences(before, after), [{ entry: "gone" }, { entry: "b", value: { c: 4 } }, { entry: "d", value: 5 }]);
  assert.deepEqual(differences(after, after), []);
});

const storeWith = (factory) => {
  const states = [];
  const store = createStore({ factory, channel: null, carrier: "A Carrier", onChange: () => states.push("changed"), onState: (state) => states.push(state) });
  return { store, states };
};

test("without a database everything is remembered, and that it is not kept is said", async () => {
  const { store, states } = storeWith(null);
  await assert.rejects(store.reread());
  store.set("coach", "fields", "table", { place: "Route 9" });
  assert.deepEqual(store.get("coach", "fields", "table"), { place: "Route 9" });
  assert.deepEqual(store.get("tanker", "fields", "table"), {});
  await store.settled();
  assert.deepEqual(states, ["writing", "failed"]);
});

/* Just enough of a database to see what is asked of it; that browsers keep what they promise is tested in one. */
const fakeFactory = (rows, log) => ({
  open: () => {
    const request = {
      result: {
        transaction: (name, mode, options) => {
          const puts = [];
          const transaction = {
            objectStore: () => ({
              put: (value, key) => puts.push(["put", key, value]),
              delete: (key) => puts.push(["delete", key]),
            }),
            abort: () => {},
          };
          queueMicrotask(() =>
            setTimeout(() => {
              if (rows.refuse) return transaction.onabort();
              log.push({ mode, durability: options.durability, puts });
              transaction.oncomplete();
            })
          );
          return transaction;
        },
      },
    };
    setTimeout(() => request.onsuccess());
    return request;
  },
});

test("what one tap changes goes into one strict transaction, by carrier and vehicle", async () => {
  const log = [];
  const { store, states } = storeWith(fakeFactory({}, log));
  store.set("coach", "ticks", "table", { a: 1 });
  store.set("coach", "stopped", "one", 2);
  assert.deepEqual(states, ["writing", "writing"]);
  await store.settled();
  assert.deepEqual(log, [
    {
      mode: "readwrite",
      durability: "strict",
      puts: [
        ["put", ["A Carrier", "coach", "ticks", "a"], 1],
        ["put", ["A Carrier", "coach", "stopped", ""], 2],
      ],
    },
  ]);
  assert.equal(states.at(-1), "kept");
});

test("what was refused is written with the next mark", async () => {
  const log = [];
  const rows = { refuse: true };
  const { store, states } = storeWith(fakeFactory(rows, log));
  store.set("coach", "stopped", "one", 1);
  await store.settled();
  assert.equal(states.at(-1), "failed");
  rows.refuse = false;
  store.set("coach", "out", "one", 2);
  await store.settled();
  assert.equal(states.at(-1), "kept");
  assert.deepEqual(log.map((each) => each.puts.map(([, key]) => key[2])), [["stopped", "out"]]);
});

test("a record that is moved is taken from the one and given to the other in one transaction", async () => {
  const log = [];
  const { store } = storeWith(fakeFactory({}, log));
  store.set("", "fields", "table", { place: "Route 9" });
  await store.settled();
  assert.equal(store.has("", ["fields"]), true);
  store.move("", "coach", ["fields", "log"]);
  assert.deepEqual([store.has("", ["fields"]), store.get("coach", "fields", "table")], [false, { place: "Route 9" }]);
  await store.settled();
  assert.deepEqual(log[1].puts, [
    ["put", ["A Carrier", "coach", "fields", "place"], "Route 9"],
    ["delete", ["A Carrier", "", "fields", "place"]],
  ]);
});
