/* Whether an edition may take the place of the one on this tablet: its signature, its number, its carrier.

   In: the bytes of edition.json and of its signature, the list in the worker that brings them, and what the
   tablet holds. Out: what the tablet holds from then on, or `Refused` with the reason. No network and no store:
   the build appends this file to sw.js, and tests run it alone.

   The signature is minisign's (see outputs/edition/signing.py): Ed25519 over the bytes of edition.json, and once
   more over that signature and its comment. The first signed edition that a tablet takes in fixes the key; every
   later one has to be signed by it. A lost key is replaced by installing anew. */

const SIGNED_FILE = "edition.json";
const SIGNATURE_FILE = "edition.json.minisig";

/** An edition that must not take over. `why` is one of: record, unsigned, key, other, signature, older. */
export class Refused extends Error {
  constructor(why) {
    super("refused: " + why);
    this.why = why;
  }
}

/**
 * What a tablet holds once it has taken this edition in. `signed` is "verified", "unchecked" where the browser
 * has no Ed25519, or "unsigned".
 *
 * @typedef {{ key: string, number: number, date: string, expires: string, carrier: string, vehicle: string,
 *             digest: string, signed: string }} Held
 */

/**
 * @param {{ record: Uint8Array, signature: Uint8Array | null, listed: { id: string, files: any[][] },
 *           held: Held | null, subtle: SubtleCrypto }} given  `held` is null on a tablet that holds nothing yet.
 * @returns {Promise<Held>}
 */
export async function judge({ record, signature, listed, held, subtle }) {
  const said = parsedRecord(record);
  if (!said || !agrees(said, listed)) throw new Refused("record");
  const found = {
    key: said.signed ? String(said.signed.key || "?") : "",
    number: said.number,
    date: said.date,
    expires: said.expires || "",
    carrier: said.carrier_id || said.carrier || "",
    vehicle: said.vehicle ? said.vehicle.id : "",
    digest: hexOf(await subtle.digest("SHA-256", record)),
    signed: "unsigned",
  };
  if (held && held.key) {
    if (!found.key) throw new Refused("unsigned");
    if (found.key !== held.key) throw new Refused("key");
    if (found.carrier !== held.carrier || found.vehicle !== held.vehicle) throw new Refused("other");
  }
  if (found.key) found.signed = await signatureStatus(record, signature, found.key, subtle);
  if (held && isOlder(found, held)) throw new Refused("older");
  return found;
}

/* The number decides, and among equal ones the date. A number that a signed edition had is used up. */
function isOlder(found, held) {
  if (found.number !== held.number) return found.number < held.number;
  if (found.date !== held.date) return found.date < held.date;
  return Boolean(held.key) && found.digest !== held.digest;
}

function parsedRecord(bytes) {
  try {
    const said = JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(bytes));
    return said && typeof said.date === "string" && Number.isInteger(said.number) && said.files ? said : null;
  } catch (fault) {
    return null;
  }
}

/* The worker's list and the record have to name the same files: only the record is signed. */
function agrees(said, listed) {
  const beside = [SIGNED_FILE, SIGNATURE_FILE];
  const others = listed.files.filter(([path]) => !beside.includes(path));
  const same = ([path, hash]) => Object.hasOwn(said.files, path) && said.files[path] === hash;
  return said.edition === listed.id && others.length === Object.keys(said.files).length && others.every(same);
}

async function signatureStatus(record, signature, key, subtle) {
  const parts = signature && signatureParts(new TextDecoder().decode(signature));
  const named = bytesOf(key);
  if (!parts || !named || named.length !== 42 || named.slice(0, 10).some((byte, at) => byte !== parts.head[at])) {
    throw new Refused("signature");
  }
  if (!(await hasEd25519(subtle))) return "unchecked";
  const comment = new TextEncoder().encode(parts.comment);
  const both = new Uint8Array([...parts.signature, ...comment]);
  const fits = (over, data) => verified(subtle, named.slice(10), over, data).catch(() => false);
  if (!(await fits(parts.signature, record)) || !(await fits(parts.overBoth, both))) throw new Refused("signature");
  return "verified";
}

/* The four lines of a signature file, or null where it is none: it was cut or changed. */
function signatureParts(text) {
  const lines = text.split("\n");
  const starts = ["untrusted comment: ", "trusted comment: "];
  if (lines.length !== 5 || lines[4] || !lines[0].startsWith(starts[0]) || !lines[2].startsWith(starts[1])) return null;
  const first = bytesOf(lines[1]);
  const overBoth = bytesOf(lines[3]);
  if (!first || !overBoth || first.length !== 74 || overBoth.length !== 64) return null;
  if (first[0] !== 0x45 || first[1] !== 0x64) return null; // "Ed"
  return { head: first.slice(0, 10), signature: first.slice(10), comment: lines[2].slice(starts[1].length), overBoth };
}

async function verified(subtle, key, signature, data) {
  const imported = await subtle.importKey("raw", key, { name: "Ed25519" }, false, ["verify"]);
  return subtle.verify({ name: "Ed25519" }, imported, signature, data);
}

/* Whether this browser verifies Ed25519: RFC 8032, 7.1, test 1, and the same with one bit turned. */
export async function hasEd25519(subtle) {
  const key = fromHex("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a");
  const right = fromHex(
    "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
  );
  const wrong = right.map((byte, at) => (at === 5 ? byte ^ 1 : byte));
  const none = new Uint8Array();
  try {
    return (await verified(subtle, key, right, none)) && !(await verified(subtle, key, wrong, none));
  } catch (fault) {
    return false;
  }
}

/* Null also for a text that is another spelling of its bytes: RFC 4648, 3.5. A changed file is no signature file. */
function bytesOf(base64) {
  try {
    const letters = atob(base64);
    return btoa(letters) === base64 ? Uint8Array.from(letters, (letter) => letter.charCodeAt(0)) : null;
  } catch (fault) {
    return null;
  }
}

const fromHex = (digits) => Uint8Array.from(digits.match(/../g), (two) => parseInt(two, 16));

const hexOf = (buffer) => Array.from(new Uint8Array(buffer), (byte) => byte.toString(16).padStart(2, "0")).join("");
