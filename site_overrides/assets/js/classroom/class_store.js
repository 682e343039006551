/* What a classroom page keeps on its device: score rows by class and number, and where each learner's lessons stand.
   It leaves the device only as a file that somebody saves, or on paper. Storage may be forbidden, full or shared with another tab;
   then everything goes on in memory, and `kept` says so. */
import { touchedNow } from "./score_expiry_state.js";

export const STORAGE_KEY = "forty-paces-classroom-scores";
export const LESSONS_KEY = "forty-paces-classroom-lessons";
export const LEARNER_KEY = "forty-paces-classroom-learner";
export const EXPIRY_KEY = "forty-paces-classroom-expiry";

/**
 * @typedef {{ class: string, number: string }} Learner
 * @typedef {Pick<Storage, "getItem" | "setItem" | "removeItem">} Place
 * @param {() => Place} local  May throw.
 * @param {() => Place} session  What ends with the tab: who is answering here.
 * @param {boolean} expires  Whether the time of a class's last answer is kept, because its results expire.
 */
export const classStore = (local, session, expires = false) => {
  /** @type {Record<string, unknown>} */
  const memory = {};
  let kept = true;

  const read = (/** @type {() => Place} */ place, /** @type {string} */ key, /** @type {(value: any) => boolean} */ fits) => {
    if (key in memory) return memory[key];
    try {
      const value = JSON.parse(place().getItem(key) || "null");
      return value !== null && fits(value) ? value : null;
    } catch (refused) { return null; }
  };

  /* What could not be written is kept in memory, and memory goes before the older state on the disk. */
  const write = (/** @type {() => Place} */ place, /** @type {string} */ key, /** @type {unknown} */ value) => {
    try {
      if (value === null) { place().removeItem(key); } else { place().setItem(key, JSON.stringify(value)); }
      delete memory[key];
    } catch (refused) {
      memory[key] = value;
      if (value !== null) { kept = false; }
    }
  };

  const isRow = (/** @type {any} */ row) => row !== null && typeof row === "object" && typeof row.question === "string";
  const rows = () => (read(local, STORAGE_KEY, Array.isArray) || []).filter(isRow);
  const isTable = (/** @type {any} */ value) => typeof value === "object" && !Array.isArray(value);
  const lessons = () => read(local, LESSONS_KEY, isTable) || {};
  const keyOf = (/** @type {Learner} */ who, /** @type {string} */ work) => [who.class, who.number, work].join("/");
  const times = () => read(local, EXPIRY_KEY, isTable) || {};
  const touch = (/** @type {string} */ name) => {
    if (expires) { write(local, EXPIRY_KEY, touchedNow(times(), name, Date.now())); }
  };
  const classOf = (/** @type {string} */ key) => key.split("/")[0];
  const own = (/** @type {Learner} */ who) => (/** @type {any} */ row) => row.class === who.class && row.number === who.number;

  return {
    /** Every row on this device, or one learner's. */
    rows: (/** @type {Learner | null} */ who) => who ? rows().filter(own(who)) : rows(),
    add: (/** @type {any} */ row) => {
      write(local, STORAGE_KEY, [...rows(), row]);
      touch(row.class);
    },
    /** The learner who is answering in this tab, or null. */
    learner: () => read(session, LEARNER_KEY, (value) => isTable(value) && "class" in value && "number" in value),
    enter: (/** @type {Learner} */ who) => write(session, LEARNER_KEY, who),
    leave: () => write(session, LEARNER_KEY, null),
    /** Where a learner's lesson stands, and what was missed in it; null if there is nothing. */
    lesson: (/** @type {Learner} */ who, /** @type {string} */ work) => lessons()[keyOf(who, work)] || null,
    keepLesson: (/** @type {Learner} */ who, /** @type {string} */ work, /** @type {unknown} */ state) => {
      write(local, LESSONS_KEY, { ...lessons(), [keyOf(who, work)]: state });
      touch(who.class);
    },
    /** Every class of which something is kept. */
    classes: () => [...new Set([...rows().map((/** @type {any} */ row) => String(row.class)), ...Object.keys(lessons()).map(classOf)])],
    /** When each class last answered, was warned and was erased. */
    times,
    keepTimes: (/** @type {Record<string, unknown>} */ all) => {
      if (JSON.stringify(all) !== JSON.stringify(times())) { write(local, EXPIRY_KEY, all); }
    },
    /** Removes everything of a class. */
    forgetClass: (/** @type {string} */ name) => {
      write(local, STORAGE_KEY, rows().filter((/** @type {any} */ row) => String(row.class) !== name));
      write(local, LESSONS_KEY, Object.fromEntries(Object.entries(lessons()).filter(([key]) => classOf(key) !== name)));
    },
    /** Removes the rows, and with `everything` also what comes back in later sessions. */
    wipe: (/** @type {boolean} */ everything) => {
      write(local, STORAGE_KEY, null);
      if (everything) {
        write(local, LESSONS_KEY, null);
        write(local, EXPIRY_KEY, null);
      }
      write(session, LEARNER_KEY, null);
    },
    /** Whether everything so far is on the device's storage. */
    kept: () => kept,
  };
};
