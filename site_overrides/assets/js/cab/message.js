/* The message that asks for help: its lines from what is known, and the link that carries it. Knows no page. */

/**
 * @typedef {object} Facts  What is known; an empty text where something is not.
 * @property {string} road
 * @property {string} direction
 * @property {string} mile
 * @property {string} near
 * @property {string} position
 * @property {string} what
 * @property {string} hurt
 * @property {string} cargo
 * @property {string} papers
 * @property {string} need
 * @property {string} driver
 * @property {string} carrier
 * @property {string} unit
 * @property {string} vehicle
 * @property {string} plate
 */

/**
 * A text without line breaks and other control characters, and without characters that hide or turn others round.
 *
 * @param {any} text
 * @returns {string}
 */
export const unbroken = (text) =>
  String(text === null || text === undefined ? "" : text)
    .replace(/[\u0000-\u001f\u007f-\u009f\u2028\u2029]/g, " ")
    .replace(/[\u00ad\u061c\u200b\u200e\u200f\u202a-\u202e\u2060-\u206f\ufeff]/g, "");

/**
 * The same with single spaces, as one line of a message has them.
 *
 * @param {any} text
 * @returns {string}
 */
export const oneLine = (text) => unbroken(text).replace(/\s+/g, " ").trim();

const LINES = [
  ["where", ["road", "direction", "mile", "near"]],
  ["position", ["position"]],
  ["what", ["what"]],
  ["hurt", ["hurt"]],
  ["cargo", ["cargo", "papers"]],
  ["need", ["need"]],
  ["who", ["driver", "carrier", "unit", "vehicle", "plate"]],
];

/** A position says where, too: nobody is asked for what the other one answers. */
const OPTIONAL = ["position"];

/**
 * The lines of the message in the order in which they are asked for: where, what, who. Each has the name of its
 * line, its label and its text, which is empty where nothing is known.
 *
 * @param {Facts} facts
 * @param {{ [name: string]: string }} words  Labels as "help_where", and "help_mile" and the like with a gap.
 * @returns {{ name: string, label: string, text: string }[]}
 */
export const messageLines = (facts, words) =>
  LINES.map(([name, parts]) => ({
    name,
    label: words["help_" + name],
    text: parts
      .filter((part) => oneLine(facts[part]))
      .map((part) => (words["help_part_" + part] || "{text}").replace("{text}", () => oneLine(facts[part])))
      .join(", "),
  })).filter(({ name, text }) => text || !OPTIONAL.includes(name));

/**
 * The message as a text to send: what is not known is left out.
 *
 * @param {{ label: string, text: string }[]} lines
 * @returns {string}
 */
export const messageText = (lines) =>
  lines
    .filter(({ text }) => text)
    .map(({ label, text }) => label + ": " + text)
    .join("\n");

/**
 * A link that opens the tablet's own messages with the text in them, by RFC 5724. Nothing is sent by it.
 *
 * @param {string} number
 * @param {string} text
 * @returns {string}
 */
export const smsAddress = (number, text) => "sms:" + number + "?body=" + encodeURIComponent(text);
