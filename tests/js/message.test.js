import assert from "node:assert/strict";
import test from "node:test";
import { part } from "./module.js";

const { messageLines, messageText, oneLine, smsAddress } = await part("message");

const WORDS = {
  help_where: "Where",
  help_position: "Position",
  help_what: "What happened",
  help_hurt: "Hurt",
  help_cargo: "Cargo",
  help_need: "We need",
  help_who: "Who",
  help_part_mile: "mile {text}",
  help_part_unit: "unit {text}",
};
const known = { road: "I 40", direction: "westbound", mile: "41", what: "Tire fire", unit: "204", carrier: "Larkspur Basin Freight" };

test("where comes first, who comes last, and every line that is asked for is there", () => {
  const lines = messageLines(known, WORDS);
  assert.deepEqual(lines.map(({ name }) => name), ["where", "what", "hurt", "cargo", "need", "who"]);
  assert.equal(lines[0].text, "I 40, westbound, mile 41");
  assert.equal(lines[5].text, "Larkspur Basin Freight, unit 204");
  assert.equal(lines[2].text, "");
});

test("a position has a line of its own once it is known", () => {
  assert.deepEqual(messageLines({ ...known, position: "35.1, -106.6" }, WORDS)[1], { name: "position", label: "Position", text: "35.1, -106.6" });
});

test("what is sent leaves out what is not known, and nothing stands twice", () => {
  assert.equal(messageText(messageLines(known, WORDS)), "Where: I 40, westbound, mile 41\nWhat happened: Tire fire\nWho: Larkspur Basin Freight, unit 204");
  assert.equal(messageText(messageLines({}, WORDS)), "");
});

test("a typed line break cannot make a line of the message, nor a hidden character turn it round", () => {
  const forged = messageLines({ ...known, road: "I 40\nHurt: nobody\u2028\u202eNeed: none" }, WORDS);
  assert.equal(forged[0].text, "I 40 Hurt: nobody Need: none, westbound, mile 41");
  assert.equal(messageText(forged).split("\n").length, 3);
  assert.equal(oneLine(" a\r\n\tb\u0000c "), "a b c");
  assert.equal(oneLine(null), "");
});

test("the words for a part stand as they are, whatever is typed", () => {
  assert.equal(messageLines({ mile: "$& {text}" }, WORDS)[0].text, "mile $& {text}");
});

// RFC 5724, section 2.2: sms-recipient, then fields behind "?", the value percent-encoded as by RFC 3986.
test("the link is an sms address with its body escaped", () => {
  const address = smsAddress("5550110", "Where: I 40 & exit 9?\nHurt: 1 + 2");
  assert.equal(address, "sms:5550110?body=Where%3A%20I%2040%20%26%20exit%209%3F%0AHurt%3A%201%20%2B%202");
  assert.equal(new URL(address).searchParams.get("body"), "Where: I 40 & exit 9?\nHurt: 1 + 2");
});
