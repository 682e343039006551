import assert from "node:assert/strict";
import { createHash, generateKeyPairSync, sign, webcrypto } from "node:crypto";
import test from "node:test";
import { readFileSync } from "node:fs";

const source = readFileSync(new URL("../../site_overrides/assets/js/trust.js", import.meta.url), "utf8");
const { judge, hasEd25519 } = await import("data:text/javascript;base64," + Buffer.from(source).toString("base64"));

const { subtle } = webcrypto;
/* A browser without Ed25519 cannot import such a key. */
const without = { digest: (...given) => subtle.digest(...given), importKey: () => Promise.reject(new Error("NotSupportedError")) };

const newKey = () => {
  const { privateKey, publicKey } = generateKeyPairSync("ed25519");
  const raw = publicKey.export({ format: "der", type: "spki" }).subarray(-32);
  const id = createHash("sha256").update(raw).digest().subarray(0, 8);
  return { privateKey, id, line: Buffer.concat([Buffer.from("Ed"), id, raw]).toString("base64") };
};
const key = newKey();
const otherKey = newKey();

/* An edition as the build seals it; `about` replaces fields of its record. */
const edition = (about = {}, signer = key) => {
  const record = {
    format: 2, edition: "1a2b3c4d", number: 7, date: "2026-11-25", expires: "2027-05-25", carrier: "Larkspur Basin Freight",
    carrier_id: "larkspur", signed: signer ? { key: signer.line } : null, files: { "cab.html": "aa", "index.html": "bb" }, ...about,
  };
  const bytes = Buffer.from(JSON.stringify(record));
  const files = [...Object.entries(record.files), ["edition.json", "cc", 1]];
  if (!signer) return { record: bytes, signature: null, listed: { id: record.edition, files } };
  const signature = sign(null, bytes, signer.privateKey);
  const comment = "number:" + record.number;
  const lines = [
    "untrusted comment: x", Buffer.concat([Buffer.from("Ed"), signer.id, signature]).toString("base64"),
    "trusted comment: " + comment, sign(null, Buffer.concat([signature, Buffer.from(comment)]), signer.privateKey).toString("base64"), "",
  ];
  return { record: bytes, signature: Buffer.from(lines.join("\n")), listed: { id: record.edition, files: [...files, ["edition.json.minisig", "dd", 2]] } };
};
const judged = (made, held = null, crypto = subtle) => judge({ ...made, held, subtle: crypto });
const refused = (made, held, why, crypto) => assert.rejects(judged(made, held, crypto), { why });
const held = await judged(edition());

test("the first signed edition fixes the key, and says what is held from then on", () => {
  assert.deepEqual(held, {
    key: key.line, number: 7, date: "2026-11-25", expires: "2027-05-25", carrier: "larkspur", vehicle: "",
    digest: createHash("sha256").update(edition().record).digest("hex"), signed: "verified",
  });
});

test("a higher number by the same key is taken, and the same edition again", async () => {
  assert.equal((await judged(edition({ number: 8, date: "2026-11-20" }), held)).number, 8);
  assert.deepEqual(await judged(edition(), held), held);
});

test("a lower number is refused, and so is an equal one with other content", async () => {
  await refused(edition({ number: 6, date: "2027-01-01" }), held, "older");
  await refused(edition({ edition: "ffffffff" }), held, "older");
});

test("another key is refused whatever its number, and so is an unsigned edition", async () => {
  await refused(edition({ number: 8 }, otherKey), held, "key");
  await refused(edition({ number: 8 }, null), held, "unsigned");
});

test("the same key for another carrier or vehicle is refused: such an edition is of another tablet", async () => {
  await refused(edition({ number: 8, carrier_id: "other" }), held, "other");
  await refused(edition({ number: 8, vehicle: { id: "coach" } }), held, "other");
});

test("a carrier that changes its name keeps its id, and is the same", async () => {
  assert.equal((await judged(edition({ number: 8, carrier: "Larkspur" }), held)).carrier, "larkspur");
});

test("an edition past its last day is taken: it is older that is refused, not expired", async () => {
  assert.equal((await judged(edition({ number: 8, expires: "2020-01-01" }), held)).expires, "2020-01-01");
});

test("every turned bit and every cut of the signature is refused, but for the untrusted comment", async () => {
  const made = edition();
  const begin = made.signature.indexOf("\n") + 1;
  for (let at = begin; at < made.signature.length; at += 7) {
    const turned = Buffer.from(made.signature);
    turned[at] ^= 1;
    await refused({ ...made, signature: turned }, null, "signature");
    await refused({ ...made, signature: made.signature.subarray(0, at) }, null, "signature");
  }
  await refused({ ...made, signature: null }, null, "signature");
});

test("a record that was edited does not fit its signature", async () => {
  const made = edition();
  await refused({ ...made, record: Buffer.from(made.record.toString().replace('"number":7', '"number":9')) }, held, "signature");
});

test("a worker whose list is not that of the record is refused: only the record is signed", async () => {
  const made = edition();
  const files = (...some) => ({ ...made, listed: { id: "1a2b3c4d", files: some } });
  const [cab, index, ...rest] = made.listed.files;
  await refused(files(["cab.html", "evil"], index, ...rest), held, "record");
  await refused(files(cab, ...rest), held, "record");
  await refused(files(cab, index, ["added.html", "ee"], ...rest), held, "record");
  await refused(files(cab, index, ["toString", "ee"], ...rest), held, "record");
  await refused({ ...made, listed: { ...made.listed, id: "ffffffff" } }, held, "record");
  await refused({ ...made, record: Buffer.from("{") }, held, "record");
});

test("a key that is no key is refused", async () => {
  for (const line of ["", "RW", "!", key.line.slice(0, -4), otherKey.line]) await refused(edition({ signed: { key: line } }), null, "signature");
});

test("a browser without Ed25519 says unchecked, and still refuses another key, an older number and a cut signature", async () => {
  assert.equal(await hasEd25519(without), false);
  assert.equal((await judged(edition(), null, without)).signed, "unchecked");
  await refused(edition({ number: 8 }, otherKey), held, "key", without);
  await refused(edition({ number: 6 }), held, "older", without);
  await refused({ ...edition(), signature: Buffer.from("cut") }, held, "signature", without);
});

test("one that verifies everything is not believed", async () => {
  assert.equal(await hasEd25519(subtle), true);
  const credulous = { importKey: async () => ({}), verify: async () => true };
  assert.equal(await hasEd25519(credulous), false);
});

test("an unsigned tablet takes unsigned editions that are not older, and fixes the key of the first signed one", async () => {
  const plain = await judged(edition({ number: 0 }, null));
  assert.equal(plain.signed, "unsigned");
  assert.equal((await judged(edition({ number: 0, edition: "ffffffff" }, null), plain)).key, "");
  await refused(edition({ number: 0, date: "2026-11-24" }, null), plain, "older");
  assert.equal((await judged(edition({ number: 1 }), plain)).key, key.line);
});
