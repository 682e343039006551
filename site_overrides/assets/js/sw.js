/* The worker of the offline edition: the whole edition or nothing. The build puts trust.js behind it.

   In: the list below, written by the build: every file with its SHA-256. Every
   file is fetched past all caches, compared with its hash and kept under that
   hash, so that a broken download goes on where it stopped and an update fetches
   only what changed. Only when each kept file has been read back and compared is
   the edition marked complete; only then can it take over: when the driver asks
   for it or, as browsers do unasked, when a page is opened after every page of the
   old edition was closed. Until then the old edition answers.

   A browser replaces a worker by whatever its address sends, even by nothing at all. So
   each edition's worker is also a file whose name no other edition has, and is registered
   under that name: what is sent later as sw.js replaces nothing. The worker at hand reads
   it instead, and names the next edition only where it is one (`newer`). */
"use strict";

const EDITION = null;

const SCOPE = self.registration.scope;
const STORE = "forty-paces " + SCOPE;
const PATIENCE_MS = 30000; // A network that accepts and then says nothing for this long has failed.
const LANES = 3;
const TYPES = {
  css: "text/css; charset=utf-8",
  gif: "image/gif",
  html: "text/html; charset=utf-8",
  ico: "image/x-icon",
  jpg: "image/jpeg",
  js: "text/javascript; charset=utf-8",
  json: "application/json",
  pdf: "application/pdf",
  png: "image/png",
  svg: "image/svg+xml",
  txt: "text/plain; charset=utf-8",
  webmanifest: "application/manifest+json",
  webp: "image/webp",
  woff: "font/woff",
  woff2: "font/woff2",
  xml: "application/xml",
  yml: "text/plain; charset=utf-8",
};

const LARGEST_SCRIPT = 8000000; // Letters; the list of the largest edition tried takes a twentieth.
const LIST_START = "const EDITION" + " = "; // In two parts: the list itself is found by the whole.

const HASHES = new Map(EDITION ? EDITION.files : []);

/* The file name of the worker with a list of this key: `worker_copy` in edition_file.py. */
const nameOf = (key) => "sw-" + key + ".js";

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("message", (event) => {
  const wanted = event.data || {};
  if (wanted.ask === "state" && event.ports[0]) {
    // At once, so that a page can tell a worker that reads its files back from one that is none of ours.
    if (wanted.early) event.ports[0].postMessage({ looking: true });
    event.waitUntil(state().then((held) => event.ports[0].postMessage(held)));
  }
  if (wanted.ask === "newer" && event.ports[0]) {
    event.waitUntil(newer().then((offer) => event.ports[0].postMessage(offer)));
  }
  if (wanted.do === "switch") event.waitUntil(self.skipWaiting());
});
self.addEventListener("fetch", (event) => {
  const path = pathOf(event.request);
  if (path !== null) event.respondWith(answer(event.request, path));
});

/* Taking an edition in. */

async function install() {
  if (!EDITION) throw new Error("this site was not sealed: build it before installing it");
  const cache = await caches.open(STORE);
  await drop(cache, await hashesOfCompleteEditions(cache));
  const held = await vet(cache, await evidence(cache));
  await fill(cache, tellProgress);
  await complete(cache);
  await cache.put(heldUrl(), new Response(JSON.stringify(held), { headers: { "Content-Type": TYPES.json } }));
}

/* What this tablet would hold from then on; `Refused`, and said to every page, where the edition must not take over. */
async function vet(cache, given) {
  try {
    return await judge({ ...given, held: await heldBefore(cache), subtle: crypto.subtle });
  } catch (fault) {
    if (fault instanceof Refused) await tell({ refused: fault.why });
    throw fault;
  }
}

/* What proves this edition, for `judge` in trust.js. */
async function evidence(cache) {
  const bytes = async (path) => {
    const hash = HASHES.get(path);
    if (!(await holds(cache, hash))) await keep(cache, hash, await download(path, hash));
    return new Uint8Array(await (await cache.match(blobUrl(hash))).arrayBuffer());
  };
  const record = await bytes(SIGNED_FILE);
  const signature = HASHES.has(SIGNATURE_FILE) ? await bytes(SIGNATURE_FILE) : null;
  return { record, signature, listed: EDITION };
}

async function heldBefore(cache) {
  const kept = await cache.match(heldUrl());
  return kept ? kept.json().catch(() => null) : null;
}

/* Read everything back before vouching for it: another edition may have taken over and cleared up meanwhile. */
async function complete(cache) {
  await fill(cache, () => {});
  const body = JSON.stringify([...HASHES.values()]);
  await cache.put(markUrl(EDITION.key), new Response(body, { headers: { "Content-Type": TYPES.json } }));
}

async function activate() {
  const cache = await caches.open(STORE);
  for (const key of await cache.keys()) {
    if (isMark(key.url) && key.url !== markUrl(EDITION.key)) await cache.delete(key);
  }
  await drop(cache, []);
  await self.clients.claim();
}

/* Fetch what is not held yet. The first failure ends it; what arrived stays for the next attempt. */
async function fill(cache, report) {
  const wanted = new Map(EDITION.files.map(([path, hash]) => [hash, path]));
  const queue = wanted.entries();
  let done = 0;
  let failed = false;
  async function lane() {
    for (const [hash, path] of queue) {
      if (failed) return;
      try {
        if (!(await holds(cache, hash))) await keep(cache, hash, await download(path, hash));
        if (failed) return;
      } catch (fault) {
        failed = true;
        throw fault;
      }
      done += 1;
      report(done, wanted.size);
    }
  }
  await Promise.all(Array.from({ length: LANES }, lane));
}

async function download(path, hash) {
  const bytes = await received(path);
  if ((await sha256(bytes)) !== hash) throw new Error(path + ": not the bytes of this edition");
  return bytes;
}

/* What the address sends for a path now, past all caches, of a kind that `fits` where that is given. */
async function received(path, fits) {
  const stop = new AbortController();
  let watch = setTimeout(() => stop.abort(), PATIENCE_MS);
  try {
    const address = new URL(path.split("/").map(encodeURIComponent).join("/"), SCOPE);
    const got = await fetch(address, {
      cache: "reload",
      credentials: "same-origin",
      redirect: "error",
      signal: stop.signal,
    });
    if (got.status !== 200) throw new Error(path + ": status " + got.status);
    if (fits && !fits(got.headers.get("Content-Type") || "")) throw new Error(path + ": of another kind");
    const parts = [];
    const reader = got.body.getReader();
    for (;;) {
      const part = await reader.read();
      if (part.done) break;
      parts.push(part.value);
      clearTimeout(watch);
      watch = setTimeout(() => stop.abort(), PATIENCE_MS);
    }
    return await new Blob(parts).arrayBuffer();
  } finally {
    clearTimeout(watch);
  }
}

async function sha256(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/* Looking for the next edition. */

/* What the address offers: "same", "new" with the name of its worker, "refused" where `judge` refuses it as it would on
   installing, "foreign" where a script came that is no whole edition, or "unknown" where none came. A login page is no
   script: browsers refuse it, and it is nobody's fault. */
async function newer() {
  let text;
  try {
    text = new TextDecoder().decode(await received("sw.js", (kind) => /\bjavascript\b/.test(kind)));
  } catch (fault) {
    return { offer: "unknown" };
  }
  const listed = listedIn(text);
  if (!listed) return { offer: "foreign" };
  if (listed.key === EDITION.key) return { offer: "same" };
  try {
    const own = nameOf(listed.key);
    const copy = new TextDecoder().decode(await received(own));
    const hashes = new Map(listed.files);
    const bytes = async (path) => new Uint8Array(await download(path, hashes.get(path)));
    const record = await bytes(SIGNED_FILE);
    const code = await sha256(new TextEncoder().encode(withoutList(text)));
    const { worker } = JSON.parse(new TextDecoder().decode(record));
    if (copy !== text || code !== worker.code_sha256) return { offer: "foreign" };
    const signature = hashes.has(SIGNATURE_FILE) ? await bytes(SIGNATURE_FILE) : null;
    await vet(await caches.open(STORE), { record, signature, listed });
    return { offer: "new", script: own };
  } catch (fault) {
    if (fault instanceof Refused) return { offer: "refused" };
    return { offer: "unknown" }; // Half published, perhaps, or the network ended: it is asked again.
  }
}

/* The list of files in a worker's text, or null where it is no worker of an edition. */
function listedIn(text) {
  const start = text.indexOf(LIST_START);
  const end = text.indexOf(";\n", start);
  if (text.length > LARGEST_SCRIPT || start < 0 || end < 0) return null;
  try {
    const listed = JSON.parse(text.slice(start + LIST_START.length, end));
    return /^[0-9a-f]{32}$/.test(listed.key) && Array.isArray(listed.files) ? listed : null;
  } catch (fault) {
    return null;
  }
}

/* As the record's hash of the code was made: `remove_file_list` in edition_file.py. */
function withoutList(text) {
  const start = text.indexOf(LIST_START);
  return text.slice(0, start) + LIST_START + "null" + text.slice(text.indexOf(";\n", start));
}

/* The store: one entry a hash, one mark a complete edition. */

function blobUrl(hash) {
  return new URL("edition-store/file/" + hash, SCOPE).href;
}

function markUrl(key) {
  return new URL("edition-store/complete/" + key, SCOPE).href;
}

function heldUrl() {
  return new URL("edition-store/held", SCOPE).href;
}

function isMark(url) {
  return url.startsWith(markUrl(""));
}

function keep(cache, hash, bytes) {
  return cache.put(blobUrl(hash), new Response(bytes));
}

/* These very bytes, or null where the store has none; what is damaged is thrown out. */
async function taken(cache, hash) {
  const kept = await cache.match(blobUrl(hash));
  const bytes = kept ? await kept.arrayBuffer().catch(() => null) : null;
  if (bytes && (await sha256(bytes)) === hash) return bytes;
  if (kept) await cache.delete(blobUrl(hash));
  return null;
}

async function holds(cache, hash) {
  return (await taken(cache, hash)) !== null;
}

async function hashesOfCompleteEditions(cache) {
  const hashes = [];
  for (const key of await cache.keys()) {
    if (isMark(key.url)) hashes.push(...(await (await cache.match(key)).json()));
  }
  return hashes;
}

/* Throw out every file that neither this edition nor `others` needs. */
async function drop(cache, others) {
  const needed = new Set([...HASHES.values(), ...others].map(blobUrl));
  for (const key of await cache.keys()) {
    if (!isMark(key.url) && key.url !== heldUrl() && !needed.has(key.url)) await cache.delete(key);
  }
}

/* Saying how it stands. */

let looked = null;

/* Reads every file back the first time it is asked, and again when one is gone: another worker of this edition may have
   thrown out a damaged one. Repairs what it can. */
async function state() {
  if (looked && !(await allThere().catch(() => false))) looked = null;
  if (!looked) {
    looked = look().catch(() => ({ whole: false }));
    looked.then((found) => {
      if (!found.whole) looked = null;
    });
  }
  return looked;
}

async function allThere() {
  const kept = new Set((await (await caches.open(STORE)).keys()).map((key) => key.url));
  return kept.has(markUrl(EDITION.key)) && [...HASHES.values()].every((hash) => kept.has(blobUrl(hash)));
}

async function look() {
  const cache = await caches.open(STORE);
  let whole = true;
  if (!(await isWhole(cache))) {
    try {
      await complete(cache);
    } catch (fault) {
      whole = false; // No network now, or a newer edition on the server.
    }
  }
  const { id, day, key } = EDITION;
  return { edition: id, day, key, script: nameOf(key), files: HASHES.size, whole, signed: await signedStatus(cache) };
}

/* What `judge` says of this edition by itself; empty where it cannot be read now. */
async function signedStatus(cache) {
  try {
    return (await judge({ ...(await evidence(cache)), held: null, subtle: crypto.subtle })).signed;
  } catch (fault) {
    return fault instanceof Refused ? "refused" : "";
  }
}

async function isWhole(cache) {
  let whole = Boolean(await cache.match(markUrl(EDITION.key)));
  for (const hash of new Set(HASHES.values())) whole = (await holds(cache, hash)) && whole;
  return whole;
}

function tellProgress(done, of) {
  return tell({ saving: done, of });
}

async function tell(message) {
  for (const client of await self.clients.matchAll({ includeUncontrolled: true, type: "window" })) {
    client.postMessage(message);
  }
}

/* Answering. */

/* The file a request means, or null where it is none of ours. The query is not part of a file's name. */
function pathOf(request) {
  const url = new URL(request.url);
  const scope = new URL(SCOPE);
  if (request.method !== "GET" || url.origin !== scope.origin || !url.pathname.startsWith(scope.pathname)) return null;
  let path;
  try {
    path = decodeURIComponent(url.pathname.slice(scope.pathname.length));
  } catch (fault) {
    return null;
  }
  return path === "" || path.endsWith("/") ? path + "index.html" : path;
}

/* The very bytes of the edition, compared each time: a file that was damaged on the tablet is fetched anew or not shown. */
async function answer(request, path) {
  const hash = HASHES.get(path);
  if (!hash) return outside(request);
  const cache = await caches.open(STORE);
  const range = request.headers.get("range");
  const kept = await taken(cache, hash).catch(() => null);
  if (kept) return shaped(new Blob([kept]), path, range);
  looked = null;
  try {
    const bytes = await download(path, hash);
    keep(cache, hash, bytes).catch(() => {});
    return shaped(new Blob([bytes]), path, range);
  } catch (fault) {
    return fetch(request).catch(() => (request.mode === "navigate" ? lost() : Response.error()));
  }
}

/* In place of a page that is lost or damaged on this tablet while the address does not send it. */
function lost() {
  const page =
    '<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">' +
    "<title>Not on this tablet</title><h1>This page is lost or damaged on this tablet</h1>" +
    "<p>Use the cards, or cab.html as a file. Open this page again where there is a signal.</p></html>";
  return new Response(page, { status: 503, headers: { "Content-Type": TYPES.html } });
}

/* What the edition does not hold: the network, or the page that says it is not there. */
async function outside(request) {
  try {
    return await fetch(request);
  } catch (fault) {
    const hash = request.mode === "navigate" ? HASHES.get("404.html") : undefined;
    const kept = hash && (await taken(await caches.open(STORE), hash));
    if (!kept) return Response.error();
    return new Response(kept, { status: 404, headers: { "Content-Type": TYPES.html } });
  }
}

function shaped(blob, path, range) {
  const headers = {
    "Accept-Ranges": "bytes",
    "Content-Type": TYPES[path.slice(path.lastIndexOf(".") + 1).toLowerCase()] || "application/octet-stream",
  };
  const asked = range && /^bytes=(\d*)-(\d*)$/.exec(range.trim());
  if (!asked || (asked[1] === "" && asked[2] === "")) {
    headers["Content-Length"] = String(blob.size);
    return new Response(blob, { headers });
  }
  const first = asked[1] === "" ? Math.max(0, blob.size - Number(asked[2])) : Number(asked[1]);
  const last = asked[1] === "" || asked[2] === "" ? blob.size - 1 : Math.min(Number(asked[2]), blob.size - 1);
  if (first > last) {
    return new Response(null, { status: 416, headers: { "Content-Range": "bytes */" + blob.size } });
  }
  headers["Content-Length"] = String(last - first + 1);
  headers["Content-Range"] = "bytes " + first + "-" + last + "/" + blob.size;
  return new Response(blob.slice(first, last + 1), { status: 206, headers });
}
