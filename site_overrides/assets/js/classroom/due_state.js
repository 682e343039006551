/* When a lesson is due again, and the calendar file that says so (RFC 5545). */

/** Days after the first session: "about a week", and "four weeks or more". */
export const AFTER = { week: 7, month: 28 };

/** Whether a text is a day of the calendar, written "2026-12-04". */
export const isDay = (/** @type {string} */ text) => /^\d{4}-\d{2}-\d{2}$/.test(text) && text >= "1900" && addDays(text, 0) === text;

/** The day `count` days later. */
export const addDays = (/** @type {string} */ day, /** @type {number} */ count) => {
  const at = new Date(day + "T00:00:00Z");
  if (Number.isNaN(at.getTime())) return "";
  at.setUTCDate(at.getUTCDate() + count);
  return at.toISOString().slice(0, 10);
};

/**
 * The days on which each lesson comes back, earliest first.
 * @param {string} day
 * @param {{ id: string, title: string }[]} lessons
 */
export const dueDays = (day, lessons) => Object.entries(AFTER).flatMap(([session, count]) =>
  lessons.map((lesson) => ({ day: addDays(day, count), session, lesson: lesson.id, title: lesson.title })));

const escaped = (/** @type {string} */ text) => text.replace(/[\\;,]/g, "\\$&").replace(/\r\n|\r|\n/g, "\\n");

/* A content line holds 75 octets at most; what is longer goes on in the next line, after a space (RFC 5545, 3.1). */
const folded = (/** @type {string} */ line) => {
  const encoder = new TextEncoder();
  let out = "";
  let octets = 0;
  for (const letter of line) {
    const more = encoder.encode(letter).length;
    if (octets + more > 75) {
      out += "\r\n ";
      octets = 1;
    }
    out += letter;
    octets += more;
  }
  return out + "\r\n";
};

/**
 * A calendar with an event of a whole day for each entry.
 * @param {{ day: string, session: string, lesson: string, summary: string }[]} events
 * @param {{ now: Date, name: string }} made  When, and what tells this class from another.
 */
export const calendar = (events, { now, name }) => {
  const stamp = now.toISOString().replace(/[-:]/g, "").replace(/\.\d+/, "");
  const plain = (/** @type {string} */ day) => day.replace(/-/g, "");
  const lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Forty Paces//Classroom//EN", "CALSCALE:GREGORIAN", "METHOD:PUBLISH"];
  events.forEach((event) => lines.push(
    "BEGIN:VEVENT",
    `UID:${[event.lesson, event.session, event.day, name || "class"].join("-")}@forty-paces.invalid`,
    `DTSTAMP:${stamp}`,
    `DTSTART;VALUE=DATE:${plain(event.day)}`,
    `DTEND;VALUE=DATE:${plain(addDays(event.day, 1))}`,
    `SUMMARY:${escaped(event.summary)}`,
    "TRANSP:TRANSPARENT",
    "END:VEVENT"));
  return [...lines, "END:VCALENDAR"].map(folded).join("");
};
