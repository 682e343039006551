/* The record as sections of entries, and these as text and as one HTML file. Knows no page.

   Whatever was typed stands apart from what the tablet noted: a line break, a mark or markup in it can neither make an
   entry of its own nor become live. */

import { oneLine, unbroken } from "./message.js";

/**
 * @typedef {{ kind: "fact", text: string, own?: string }} Fact  Noted by the tablet.
 * @typedef {{ kind: "typed", label: string, text: string, known: string[], own?: string }} Typed  Written by the driver.
 * @typedef {{ kind: "check", state: "done" | "absent" | "open", text: string }} Check
 * @typedef {{ kind: "empty", label: string, own?: string }} Empty
 * @typedef {{ kind: "photo", label: string, source: string }} Photo  With its picture as a data URL.
 * @typedef {Fact | Typed | Check | Empty | Photo} Entry
 * @typedef {{ title: string, entries: Entry[], own?: string }} Section  `own` is what stands before it, in the driver's
 *   language: it stands beneath the English.
 */

const CHECK_MARKS = { done: "[x] ", absent: "[-] ", open: "[ ] " };
const PICTURE = /^data:image\/(?:jpeg|png|webp);base64,[A-Za-z0-9+/]+=*$/;

/**
 * The lines that somebody typed, each one line whatever kind of break it was written with.
 *
 * @param {string} text
 * @returns {string[]}
 */
export const typedLines = (text) =>
  text
    .split(/\r\n|[\n\r\u0085\u2028\u2029\u000b\u000c]/)
    .map((line) => unbroken(line).trimEnd())
    .filter((line, at, lines) => line || (at > 0 && at < lines.length - 1));

const ownText = ({ own }) => (own ? ["  (" + oneLine(own) + ")"] : []);

const textOf = (entry) => {
  switch (entry.kind) {
    case "fact":
      return [oneLine(entry.text), ...ownText(entry)];
    case "check":
      return [CHECK_MARKS[entry.state] + oneLine(entry.text)];
    case "empty":
      return [oneLine(entry.label) + ": ________________", ...ownText(entry)];
    case "photo":
      return [oneLine(entry.label)];
    default:
      return [oneLine(entry.label) + ":", ...ownText(entry), ...entry.known.map((line) => "  " + oneLine(line)), ...typedLines(entry.text).map((line) => "  > " + line)];
  }
};

/**
 * The record as plain text. Typed lines begin with two spaces and ">", and no other line does.
 *
 * @param {string} title
 * @param {Section[]} sections
 * @returns {string}
 */
export const recordText = (title, sections) =>
  [oneLine(title), ...sections.filter(({ entries }) => entries.length).flatMap((section) => ["", "== " + oneLine(section.title) + " ==", ...ownText(section), ...section.entries.flatMap(textOf)])].join("\n") + "\n";

const ESCAPES = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;" };

/**
 * A text for use between tags and in attributes.
 *
 * @param {string} text
 * @returns {string}
 */
export const escaped = (text) => unbroken(text).replace(/[&<>"']/g, (character) => ESCAPES[character]);

/* With `own`, the text is English and that stands beneath it in the language of the file. */
const tagged = (tag, name, text, own = "") =>
  "<" + tag + (name ? ' class="' + name + '"' : "") + (own ? ' lang="en-US"' : "") + ">" + escaped(text) + "</" + tag + ">" + (own ? tagged("p", "own", own) : "");

const htmlOf = (entry) => {
  switch (entry.kind) {
    case "fact":
      return tagged("p", "fact", entry.text, entry.own);
    case "check":
      return tagged("p", "check", CHECK_MARKS[entry.state] + entry.text);
    case "empty":
      return tagged("p", "empty", entry.label, entry.own);
    case "photo":
      if (!PICTURE.test(entry.source)) return tagged("p", "fact", entry.label);
      return '<figure><img alt="' + escaped(entry.label) + '" src="' + entry.source + '">' + tagged("figcaption", "fact", entry.label) + "</figure>";
    default:
      return tagged("h3", "label", entry.label, entry.own) + entry.known.map((line) => tagged("p", "fact", line)).join("") + (entry.text ? "<blockquote>" + typedLines(entry.text).map((line) => tagged("p", "typed", line)).join("") + "</blockquote>" : "");
  }
};

const STYLE =
  "body{font:1rem/1.5 sans-serif;max-width:48rem;margin:1rem auto;padding:0 1rem;color:#111;background:#fff}" +
  "h2{margin-top:2rem;border-bottom:2px solid}h3{margin:1rem 0 0;font-size:1rem}p{margin:.2rem 0}.typed{white-space:pre-wrap;min-height:1.5em}" +
  "blockquote{margin:.2rem 0;padding-left:.8rem;border-left:4px solid #777}" +
  ".empty::after{content:'';display:block;height:1.6rem;border-bottom:1px solid #777}figure{margin:1rem 0;break-inside:avoid}img{max-width:100%;height:auto}";

/**
 * The record as one file that needs nothing else: its pictures are in it, and its policy lets nothing run or load.
 *
 * @param {string} title
 * @param {Section[]} sections
 * @param {string} language
 * @returns {string}
 */
export const recordHtml = (title, sections, language) =>
  '<!doctype html>\n<html lang="' + escaped(language) + '">\n<head>\n<meta charset="utf-8">\n' +
  "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n" +
  '<meta name="viewport" content="width=device-width, initial-scale=1">\n<title>' + escaped(title) + "</title>\n<style>" + STYLE + "</" + "style>\n</head>\n<body>\n" +
  "<h1>" + escaped(title) + "</h1>\n" +
  sections
    .filter(({ entries }) => entries.length)
    .map((section) => "<section>\n" + tagged("h2", "", section.title, section.own) + "\n" + section.entries.map(htmlOf).join("\n") + "\n</section>\n")
    .join("") +
  "</body>\n</html>\n";

/**
 * The SHA-256 of a text in UTF-8, in hexadecimal digits; empty where the browser cannot compute it.
 *
 * @param {SubtleCrypto | undefined} subtle
 * @param {string} text
 * @returns {Promise<string>}
 */
export const hashOf = async (subtle, text) => {
  if (!subtle) return "";
  try {
    const digest = new Uint8Array(await subtle.digest("SHA-256", new TextEncoder().encode(text)));
    return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
  } catch (fault) {
    return "";
  }
};

/**
 * The record with one more line under it, which no typed line can be: those stand above, each with its own mark.
 *
 * @param {string} text
 * @param {string} last
 * @param {boolean} html
 * @returns {string}
 */
export const underlined = (text, last, html) => text + (html ? "<p>" + escaped(last) + "</p>" : last) + "\n";

/**
 * Sides of a picture scaled down so that neither is longer than `most`; a smaller one keeps its size.
 *
 * @param {number} width
 * @param {number} height
 * @param {number} most
 * @returns {{ width: number, height: number }}
 */
export const scaledDown = (width, height, most) => {
  const share = Math.min(1, most / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * share)), height: Math.max(1, Math.round(height * share)) };
};
