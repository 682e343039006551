import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { accuracyIn, checkedPosition, coordinates, whyNoPosition } = await part("position");

const HERE = { latitude: 35.0844, longitude: -106.650422, accuracy_m: 12.2, at: 1000 };

test("a position is read out in degrees with five decimals", () => {
  assert.equal(coordinates(HERE), "35.08440, -106.65042");
});

test("its accuracy is never better than the receiver said", () => {
  // 1 ft is 0.3048 m exactly (international foot): 12.2 m are 40.03 ft.
  assert.deepEqual(accuracyIn(HERE), { feet: 41, meters: 13 });
  assert.deepEqual(accuracyIn({ ...HERE, accuracy_m: 0 }), { feet: 0, meters: 0 });
  assert.deepEqual(accuracyIn({ ...HERE, accuracy_m: 30.48 }), { feet: 100, meters: 31 });
});

test("places at the edge of the globe are places, and what lies beyond is none", () => {
  for (const edge of [{ latitude: 90 }, { latitude: -90 }, { longitude: 180 }, { longitude: -180 }]) assert.notEqual(checkedPosition({ ...HERE, ...edge }), null);
  for (const beyond of [{ latitude: 90.1 }, { longitude: -180.1 }, { latitude: NaN }, { longitude: "0" }, { accuracy_m: -1 }, { accuracy_m: Infinity }, { at: null }]) assert.equal(checkedPosition({ ...HERE, ...beyond }), null);
  for (const other of [null, undefined, 3, "x", {}]) assert.equal(checkedPosition(other), null);
});

test("nothing else that was kept comes along", () => {
  assert.deepEqual(checkedPosition({ ...HERE, note: "<b>" }), HERE);
});

// W3C Geolocation: PERMISSION_DENIED 1, POSITION_UNAVAILABLE 2, TIMEOUT 3.
test("each refusal has its own words", () => {
  assert.deepEqual([1, 2, 3, undefined, 9].map(whyNoPosition), ["position_refused", "position_unavailable", "position_late", "position_none", "position_none"]);
});
