import assert from "node:assert/strict";
import { createHash, webcrypto } from "node:crypto";
import test from "node:test";
import { part } from "./module.js";

const { escaped, hashOf, recordHtml, recordText, scaledDown, typedLines, underlined } = await part("record_lines");

const BREAKS = ["\n", "\r\n", "\r", "\u0085", "\u2028", "\u2029", "\u000b", "\u000c"];
const typed = (text, label = "Place", known = []) => ({ kind: "typed", label, text, known });
const check = (state, text) => ({ kind: "check", state, text });

test("every entry is one line, and empty fields stand with a line to write on", () => {
  const text = recordText("Record, A", [
    { title: "The stop", entries: [{ kind: "fact", text: "Stopped 2:00" }, check("done", "Flashers, 2:01"), check("absent", "Rails, 2:02"), check("open", "Chocks")] },
    { title: "Nothing", entries: [] },
    { title: "Not filled in", entries: [{ kind: "empty", label: "Weather" }] },
  ]);
  assert.equal(text, "Record, A\n\n== The stop ==\nStopped 2:00\n[x] Flashers, 2:01\n[-] Rails, 2:02\n[ ] Chocks\n\n== Not filled in ==\nWeather: ________________\n");
});

test("no typed break of any kind makes an entry: each typed line carries its own mark", () => {
  for (const line of BREAKS) {
    const text = recordText("R", [{ title: "T", entries: [typed("mile 41" + line + "[x] Called 911, 2:00" + line + "== Signed ==")] }]);
    assert.deepEqual(text.split("\n").slice(3), ["Place:", "  > mile 41", "  > [x] Called 911, 2:00", "  > == Signed ==", ""], JSON.stringify(line));
  }
});

test("known facts stand above what was typed, and cannot break into lines either", () => {
  const text = recordText("R", [{ title: "T", entries: [typed("north side", "Place", ["I 40\n[x] Called 911"])] }]);
  assert.deepEqual(text.split("\n").slice(3), ["Place:", "  I 40 [x] Called 911", "  > north side", ""]);
});

test("characters that hide or turn others round are not written", () => {
  assert.deepEqual(typedLines("a\u202eb\u2066c\u200bd\u0000e"), ["abcd e"]);
});

test("blank lines within a text stay, and those around it go", () => {
  assert.deepEqual(typedLines("\na\n\nb\n"), ["a", "", "b"]);
});

test("markup that is typed is text in the file, in every kind of entry", () => {
  const live = "<img src=x onerror=alert(1)></p><script>alert(1)</script>\" onload='x' &amp;";
  const html = recordHtml(live, [
    { title: live, entries: [{ kind: "fact", text: live }, check("done", live), { kind: "empty", label: live }, typed(live, live, [live]), { kind: "photo", label: live, source: "data:image/jpeg;base64,AAAA" }] },
  ], "en");
  const body = html.slice(html.indexOf("<body>"));
  const tags = [...body.matchAll(/<[a-z0-9]+[^>]*>/g)].map(([tag]) => tag.replace(/alt="[^"]*"/, "alt"));
  assert.deepEqual([...new Set(tags)].sort(), ["<blockquote>", "<body>", "<figcaption class=\"fact\">", "<figure>", "<h1>", "<h2>", "<h3 class=\"label\">", "<img alt src=\"data:image/jpeg;base64,AAAA\">", "<p class=\"check\">", "<p class=\"empty\">", "<p class=\"fact\">", "<p class=\"typed\">", "<section>"].sort());
  assert.ok(!html.includes("<script"));
  assert.ok(html.includes("default-src 'none'"));
});

test("a picture that is no picture is left out", () => {
  for (const source of ["javascript:alert(1)", "data:text/html;base64,AAAA", 'data:image/jpeg;base64,AA" onerror="x', "https://example.org/x.jpg", ""]) {
    const html = recordHtml("R", [{ title: "T", entries: [{ kind: "photo", label: "Photo 1", source }] }], "en");
    assert.ok(!html.includes("<img"), source);
    assert.ok(html.includes("Photo 1"));
  }
});

test("the last line is the hash of all bytes above it, and one changed letter shows", async () => {
  const text = recordText("R", [{ title: "T", entries: [typed("mile 41, 2 € paid\nSHA-256 of all that stands above this line: 00")] }]);
  for (const html of [false, true]) {
    const saved = underlined(text, "SHA-256: " + (await hashOf(webcrypto.subtle, text)), html);
    const lines = saved.slice(0, -1).split("\n");
    const last = lines.pop();
    const above = lines.join("\n") + "\n";
    const digest = (of) => createHash("sha256").update(of).digest("hex");
    assert.ok(last.includes("SHA-256: " + digest(above)));
    assert.ok(!last.includes(digest(above.replace("mile 41", "mile 42"))));
  }
});

test("a browser without the means gives no hash, and the record is saved all the same", async () => {
  assert.equal(await hashOf(undefined, "a"), "");
  assert.equal(await hashOf({ digest: () => Promise.reject(new Error("no")) }, "a"), "");
});

test("the five characters of markup are escaped", () => {
  assert.equal(escaped("<a href=\"x\">'&'</a>"), "&lt;a href=&quot;x&quot;&gt;&#39;&amp;&#39;&lt;/a&gt;");
});

test("a picture is scaled to the longest side allowed, below, at and above it", () => {
  assert.deepEqual(scaledDown(1599, 900, 1600), { width: 1599, height: 900 });
  assert.deepEqual(scaledDown(1600, 1600, 1600), { width: 1600, height: 1600 });
  assert.deepEqual(scaledDown(4032, 3024, 1600), { width: 1600, height: 1200 });
  assert.deepEqual(scaledDown(3024, 4032, 1600), { width: 1200, height: 1600 });
  assert.deepEqual(scaledDown(20000, 3, 1600), { width: 1600, height: 1 });
});

test("in another language's record the English stands first, and beneath it the driver's own", () => {
  const sections = [{ title: "The stop", own: "La parada", entries: [
    { kind: "fact", text: "Stopped 2:00", own: "Detenido 2:00" },
    { kind: "empty", label: "Weather", own: "Tiempo\n[x] Called 911" },
    { ...typed("I 40", "Place"), own: "Lugar" },
  ] }];
  const text = recordText("R", sections);
  assert.deepEqual(text.split("\n").slice(2), ["== The stop ==", "  (La parada)", "Stopped 2:00", "  (Detenido 2:00)", "Weather: ________________", "  (Tiempo [x] Called 911)", "Place:", "  (Lugar)", "  > I 40", ""]);
  const html = recordHtml("R", sections, "es-US");
  assert.ok(html.includes('<h2 lang="en-US">The stop</h2><p class="own">La parada</p>'));
  assert.ok(html.includes('<p class="fact" lang="en-US">Stopped 2:00</p><p class="own">Detenido 2:00</p>'));
  assert.ok(html.includes('<h3 class="label" lang="en-US">Place</h3><p class="own">Lugar</p>'));
  assert.ok(html.includes('<html lang="es-US">'));
});

test("in an English record no text has a language of its own", () => {
  const html = recordHtml("R", [{ title: "T", entries: [{ kind: "empty", label: "Weather" }, typed("a")] }], "en-US");
  assert.equal(html.match(/lang=/g).length, 1);
});
