/* Score rows without a page: what a row holds, and the file that a trainer collects.
   The file is CSV by RFC 4180. Each row carries a check code over its own fields and the row before; the last line
   carries the number of rows. So a file that was cut or edited is found out. It is no protection against forgery. */

/**
 * @typedef {{ class: string, number: string, day: string, time: string, edition: string, work: string, title: string,
 *   version: string, session: string, question: string, asked: string, attempt: number, aids: string, seconds: number,
 *   sure: string, given: string, answer: string, verdict: string, points: number, of: number }} ScoreRow
 */

export const COLUMNS = ["class", "number", "day", "time", "edition", "work", "title", "version", "session", "question",
  "asked", "attempt", "aids", "seconds", "sure", "given", "answer", "verdict", "points", "of"];

export const END = "end";

/** A text that no spreadsheet takes for a formula. */
export const neutral = (/** @type {string} */ text) => /^[=+\-@\t\r]/.test(text) ? "'" + text : text;

const quoted = (/** @type {string} */ text) => /[",\r\n]/.test(text) ? '"' + text.replace(/"/g, '""') + '"' : text;

/**
 * The check code of a line: FNV-1a, 32 bits, over the code before and the fields as they stand in the file.
 * @param {string} before
 * @param {string[]} fields
 */
export const checkCode = (before, fields) => {
  let hash = 0x811C9DC5;
  for (const byte of new TextEncoder().encode([before, ...fields].join("\u001f"))) {
    hash = Math.imul(hash ^ byte, 0x01000193) >>> 0;
  }
  return hash.toString(16).padStart(8, "0");
};

/** @param {ScoreRow[]} rows */
export const scoreFile = (rows) => {
  const lines = [[...COLUMNS, "check"]];
  let before = "";
  const add = (/** @type {string[]} */ fields) => {
    before = checkCode(before, fields);
    lines.push([...fields, "x" + before]);
  };
  rows.forEach((row) => add(COLUMNS.map((name) => neutral(String(row[name] ?? "")))));
  add([END, String(rows.length), ...COLUMNS.slice(2).map(() => "")]);
  return lines.map((line) => line.map(quoted).join(",") + "\r\n").join("");
};

/** "scores-B12-7-2026-12-04.csv"; rows of several numbers are those of "all". */
export const fileName = (/** @type {ScoreRow[]} */ rows, /** @type {string} */ today) => {
  const one = (/** @type {"class" | "number" | "day"} */ name, /** @type {string} */ several) => {
    const values = new Set(rows.map((row) => row[name]));
    return values.size === 1 ? [...values][0] : several;
  };
  return ["scores", one("class", "all"), one("number", "all"), one("day", today)].join("-") + ".csv";
};

/** A class is named by up to eight letters and digits; whatever else is typed is left out. */
export const className = (/** @type {string} */ typed) => typed.toUpperCase().replace(/[^A-Z0-9]/g, "").slice(0, 8);

/** A learner is a number of up to three digits, without leading zeros; "" for anything else. */
export const learnerNumber = (/** @type {string} */ typed) => typed.replace(/\D/g, "").replace(/^0+(?=\d)/, "").slice(0, 3);

/** How often this learner has answered this question in this session, counting the answer now given. */
export const attemptOf = (/** @type {ScoreRow[]} */ rows, /** @type {Partial<ScoreRow>} */ row) => {
  const same = /** @type {const} */ (["class", "number", "work", "session", "question"]);
  return 1 + rows.filter((other) => same.every((name) => other[name] === row[name])).length;
};

/** The local day, "2026-12-04". */
export const localDay = (/** @type {Date} */ at) =>
  [String(at.getFullYear()).padStart(4, "0"), at.getMonth() + 1, at.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
