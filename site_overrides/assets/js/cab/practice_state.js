/* Practice without a page: what is kept while practicing, and the recall of the lines known by heart. */

/**
 * @typedef {{ line: number, shown: boolean }} Recall  The line asked for, from 0, and whether it is shown.
 * @typedef {"ask" | "shown" | "over"} RecallStage
 */

/* Times, words and the log are read as they really are, and never written: a clock that runs goes on. */
const REAL_IN_PRACTICE = ["log", "marks", "fields", "stopped", "out", "events"];

/**
 * What the page remembers while practicing. Of the record, marks on steps go to a scratch copy that begins empty
 * and is dropped at the end; everything else of the record is read only. Choices of the tablet stay as they are.
 *
 * @param {(key: string) => boolean} isRecord
 */
export const createScratch = (isRecord) => {
  /** @type {Map<string, any> | null} */
  let marks = null;
  return {
    begin: () => {
      marks = new Map();
    },
    end: () => {
      marks = null;
    },
    practicing: () => marks !== null,
    /**
     * Whether the real memory must not see this key now.
     *
     * @param {string} key
     */
    takes: (key) => marks !== null && isRecord(key),
    /**
     * The value to use instead of the real one, or undefined where the real one counts.
     *
     * @param {string} key
     * @returns {any}
     */
    get: (key) => {
      if (marks === null || !isRecord(key) || REAL_IN_PRACTICE.includes(key)) return undefined;
      return marks.has(key) ? marks.get(key) : null;
    },
    /**
     * @param {string} key
     * @param {any} value
     */
    set: (key, value) => {
      if (marks !== null && !REAL_IN_PRACTICE.includes(key)) marks.set(key, value);
    },
  };
};

/** @type {Recall} */
export const FIRST_LINE = { line: 0, shown: false };

/**
 * @param {Recall} recall
 * @param {number} lines  How many lines there are.
 * @returns {RecallStage}
 */
export const recallStage = (recall, lines) => {
  if (recall.line >= lines) return "over";
  return recall.shown ? "shown" : "ask";
};

/**
 * Think, then show, then the next line; after the last one there is no more to ask.
 *
 * @param {Recall} recall
 * @param {number} lines
 * @returns {Recall}
 */
export const recallOn = (recall, lines) => {
  if (recallStage(recall, lines) === "over") return recall;
  return recall.shown ? { line: recall.line + 1, shown: false } : { line: recall.line, shown: true };
};

/**
 * The names of the words to show while lines are recalled: on the button that leads on, and as the question.
 * Null when recall is over.
 *
 * @param {Recall} recall
 * @param {number} lines
 * @returns {{ button: string, question: string } | null}
 */
export const recallWords = (recall, lines) => {
  const stage = recallStage(recall, lines);
  if (stage === "over") return null;
  if (stage === "ask") return { button: "recall_show", question: "recall_say" };
  return { button: recall.line + 1 < lines ? "recall_next" : "recall_known", question: "recall_compare" };
};
