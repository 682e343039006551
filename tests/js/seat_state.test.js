import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import vm from "node:vm";

const FOLDER = new URL("../../site_overrides/assets/js/classroom/", import.meta.url);
const window = {};
const scope = vm.createContext({ window, get classroom() { return window.classroom; } });
for (const name of ["unpack", "seat_state"]) { vm.runInContext(readFileSync(new URL(name + ".js", FOLDER), "utf8"), scope); }
const { classroom } = window;
const ALPHABET = "!#$%()*+,-./0123456789:;=?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[]^_`abcdefghijklmnopqrstuvwxyz";
const unpack = classroom.unpacker(ALPHABET);

/* The packing of outputs/classroom/seat_page.py, written once more. */
const pack = (numbers) => numbers.map((number) => {
  const count = number >= 0 ? 2 * number : -2 * number - 1;
  if (count < 64) { return ALPHABET[count]; }
  if (count < 1660) { return ALPHABET[64 + Math.floor((count - 64) / 84)] + ALPHABET[(count - 64) % 84]; }
  const high = Math.floor(count / 84);
  return ALPHABET[83] + ALPHABET[Math.floor(high / 84)] + ALPHABET[high % 84] + ALPHABET[count % 84];
}).join("");

const plain = (value) => JSON.parse(JSON.stringify(value));

const SIDE = {
  eyes: pack([300, -100, -50, -50]),
  roads: pack([0, 0, 0, 0]), things: pack([0, 0, 0, 0]), vehicles: pack([0, 0, 0, 0]), tracks: pack([0, 0, 0, 0]),
  count: 1, places: 2,
  /* Vehicle from the last frame on, nearer device never, far device at its first place in frame 1 only, at its second always. */
  lights: [{ seen: pack([1, 3, 0, 2, 1, 2, 1, 0]), reach: pack([250, 10, 10, 10]) }, { seen: pack([0, 1, 2, 0, 0]), reach: pack([250, 0, 0, 0]) }],
  speeds: [{ fps: 50, ends: pack([-40, 20, 30, 35, 45]) }],
};
const run = classroom.seatSide(SIDE, unpack, ["frame"]);

test("numbers of every size come back from their text", () => {
  const numbers = [0, -1, 31, -32, 32, 829, -830, 830, 5000, -200000];
  const reader = unpack(pack(numbers));
  assert.deepEqual(numbers.map(() => reader.next()), numbers);
  assert.equal(reader.more(), false);
});

test("points are differences from the one before", () => {
  assert.deepEqual(plain(unpack(pack([640, 230, -5, 7])).points(2, 2)), [[640, 230], [635, 237]]);
});

test("what is in view changes at its own frames", () => {
  assert.deepEqual(plain(run.eyes), [300, 200, 150, 100]);
  assert.deepEqual([0, 1, 2, 3].map((frame) => run.vehicle(0, frame)), [false, false, false, true]);
  assert.deepEqual([0, 1, 2, 3].map((frame) => run.device(0, 1, frame)), [false, true, false, false]);
  assert.equal(run.device(0, 2, 0), true);
  assert.equal(run.device(0, 0, 3), false, "no device is never in view");
  assert.equal(run.device(0, 3, 3), false, "no place beyond the last");
  assert.deepEqual(plain(run.inner(0, 3)), []);
  assert.deepEqual(plain(run.inner(1, 2)), [0]);
});

test("first sight is the first frame from which something stays in view", () => {
  assert.equal(classroom.firstSight(run, 0, 2), 0);
  assert.equal(classroom.firstSight(run, 0, 1), 3, "a glimpse in frame 1 does not count");
  assert.equal(classroom.somethingInView(run, 0, 1, 1), true);
  assert.equal(classroom.somethingInView(run, 0, 1, 2), false);
  assert.equal(classroom.firstSight(run, 0, 0), 3);
  assert.equal(classroom.firstSight(run, 1, 1), 2, "a nearer device counts too");
});

test("a run ends by its frame, and by no brake beyond the last", () => {
  assert.deepEqual([0, 1, 3, 4, 9].map((frame) => run.end(0, frame)), [-40, 20, 35, 45, 45]);
  assert.equal(run.seconds(0, 3), 4);
  assert.deepEqual(plain(run.reach(0)), [250, 260, 270, 280]);
});

test("what is said of an end depends on its sign and on whether the brakes act", () => {
  assert.deepEqual(plain(classroom.seatResult(-40, 300, 260, 45)), { key: "stops", needed: 260, left: 40 });
  assert.equal(classroom.seatResult(0, 260, 260, 45).key, "stops-just");
  assert.deepEqual(plain(classroom.seatResult(20, 200, 260, 45)), { key: "hits", impact: 20, needed: 260 });
  assert.equal(classroom.seatResult(45, 100, 260, 45).key, "hits-unbraked");
});
