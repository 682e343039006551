/* A store that answers when it has written: one IndexedDB database, one row a mark, strict durability.

   Rows are kept by carrier and vehicle, because several files may share one origin: the files of a fleet's
   vehicles on one host, or all files of a tablet in some browsers. Each entry of a table is a row of its own, so
   that two pages that write at once take nothing from each other. Nothing here knows the page or the driver. */

/**
 * @typedef {"one" | "table" | "log"} Shape  A single value; texts or times by name; lines in the order written.
 * @typedef {{ vehicle: string, key: string, entry: string, value?: any }} Change  Without a value: taken away.
 * @typedef {"kept" | "writing" | "failed"} StoreState
 * @typedef {{ id: string, at: number, what: string, words: string }} LogLine
 */

const DATABASE = "forty-paces";
const ROWS = "kept";

/**
 * A value as the rows that keep it.
 *
 * @param {Shape} shape
 * @param {any} value
 * @returns {Map<string, any>}
 */
export const toEntries = (shape, value) => {
  if (value === null || value === undefined) return new Map();
  if (shape === "log") return new Map(value.map((/** @type {LogLine} */ line) => [line.id, line]));
  return new Map(shape === "table" ? Object.entries(value) : [["", value]]);
};

/**
 * The value that rows keep; the opposite of `toEntries`.
 *
 * @param {Shape} shape
 * @param {Map<string, any>} entries
 * @returns {any}
 */
export const fromEntries = (shape, entries) => {
  if (shape === "one") return entries.has("") ? entries.get("") : null;
  if (shape === "table") return Object.fromEntries(entries);
  return [...entries].sort(([one], [other]) => (one < other ? -1 : 1)).map(([, line]) => line);
};

/**
 * What has to be written so that `before` becomes `after`.
 *
 * @param {Map<string, any>} before
 * @param {Map<string, any>} after
 * @returns {{ entry: string, value?: any }[]}
 */
export const differences = (before, after) => {
  const same = (entry) => before.has(entry) && JSON.stringify(before.get(entry)) === JSON.stringify(after.get(entry));
  const gone = [...before.keys()].filter((entry) => !after.has(entry)).map((entry) => ({ entry }));
  return [...gone, ...[...after].filter(([entry]) => !same(entry)).map(([entry, value]) => ({ entry, value }))];
};

/**
 * The id of the next line of a log: lines sort in the order in which they were written, whatever the clock says.
 *
 * @param {{ id?: string }[]} log
 * @param {string} page  Tells apart two pages that write at once.
 * @returns {string}
 */
export const nextLineId = (log, page) => {
  const last = log.reduce((most, line) => Math.max(most, parseInt(line.id || "0", 10) || 0), 0);
  return String(last + 1).padStart(9, "0") + "-" + page;
};

/**
 * @typedef {object} StoreOptions
 * @property {IDBFactory | null | undefined} factory  The browser's databases; null where it has none.
 * @property {{ postMessage: (what: any) => void, onmessage: any } | null} channel  Reaches the other pages.
 * @property {string} carrier
 * @property {() => void} onChange  Another page wrote something.
 * @property {(state: StoreState) => void} onState
 */

/**
 * A store for one carrier. It answers from memory at once, and says by `onState` when the disk has it too.
 *
 * @param {StoreOptions} options
 */
export const createStore = ({ factory, channel, carrier, onChange, onState }) => {
  /** @type {Map<string, Map<string, any>>} */
  let tables = new Map();
  /** @type {Promise<IDBDatabase> | null} */
  let opening = null;
  /** @type {Change[]} */
  let waiting = [];
  /** @type {Change[]} */
  let flying = [];
  /** @type {Promise<void> | null} */
  let flushing = null;

  const nameOf = (vehicle, key) => JSON.stringify([vehicle, key]);

  const tableIn = (all, vehicle, key) => {
    const name = nameOf(vehicle, key);
    if (!all.has(name)) all.set(name, new Map());
    return all.get(name);
  };

  const apply = (all, changes) => {
    for (const { vehicle, key, entry, value } of changes) {
      if (value === undefined) tableIn(all, vehicle, key).delete(entry);
      else tableIn(all, vehicle, key).set(entry, value);
    }
  };

  const open = () =>
    new Promise((resolve, reject) => {
      if (!factory) return reject(new Error("this browser has no database"));
      const request = factory.open(DATABASE, 1);
      request.onupgradeneeded = () => request.result.createObjectStore(ROWS);
      request.onerror = () => reject(request.error);
      request.onsuccess = () => {
        const database = request.result;
        const forget = () => {
          opening = null;
        };
        database.onversionchange = () => {
          database.close();
          forget();
        };
        database.onclose = forget;
        resolve(database);
      };
    });

  /* One connection; a failed one is tried anew by whoever needs it next. */
  const connected = () => {
    if (!opening) {
      opening = open();
      opening.catch(() => {
        opening = null;
      });
    }
    return opening;
  };

  const ranTo = (transaction) =>
    new Promise((resolve, reject) => {
      transaction.oncomplete = () => resolve(undefined);
      transaction.onabort = () => reject(transaction.error || new Error("not written"));
    });

  const load = async () => {
    const transaction = (await connected()).transaction(ROWS, "readonly");
    const range = IDBKeyRange.bound([carrier], [carrier, []]);
    const keys = transaction.objectStore(ROWS).getAllKeys(range);
    const values = transaction.objectStore(ROWS).getAll(range);
    await ranTo(transaction);
    const found = new Map();
    keys.result.forEach(([, vehicle, key, entry], at) => tableIn(found, vehicle, key).set(entry, values.result[at]));
    apply(found, flying);
    apply(found, waiting);
    return found;
  };

  /* Large values have rows of their own, which nobody reads with the others: their keys begin with an array, and
     arrays sort behind every text. */
  const fileKey = (id) => [["files", carrier], id];

  const inRows = async (mode, act) => {
    const transaction = (await connected()).transaction(ROWS, mode, mode === "readwrite" ? { durability: "strict" } : {});
    const request = act(transaction.objectStore(ROWS));
    await ranTo(transaction);
    return request ? request.result : undefined;
  };

  /* Strict: the transaction is complete when the disk has it, and not when the system has promised to write it. */
  const commit = async (changes) => {
    const transaction = (await connected()).transaction(ROWS, "readwrite", { durability: "strict" });
    const rows = transaction.objectStore(ROWS);
    try {
      for (const { vehicle, key, entry, value } of changes) {
        if (value === undefined) rows.delete([carrier, vehicle, key, entry]);
        else rows.put(value, [carrier, vehicle, key, entry]);
      }
    } catch (fault) {
      transaction.abort();
      throw fault;
    }
    await ranTo(transaction);
  };

  const flush = async () => {
    await null; // Everything that one tap changes goes into one transaction.
    while (waiting.length) {
      flying = waiting;
      waiting = [];
      try {
        await commit(flying);
      } catch (fault) {
        // Tried again with the next mark.
        waiting = [...flying, ...waiting];
        flying = [];
        return onState("failed");
      }
      flying = [];
      if (channel) channel.postMessage("written");
    }
    onState("kept");
  };

  const write = (changes) => {
    if (!changes.length) return;
    apply(tables, changes);
    waiting.push(...changes);
    onState("writing");
    flushing = (flushing || Promise.resolve()).then(flush);
  };

  const asText = (all) =>
    JSON.stringify([...all].map(([name, table]) => [name, [...table].sort(([a], [b]) => (a < b ? -1 : 1))]).filter(([, rows]) => rows.length).sort(([a], [b]) => (a < b ? -1 : 1)));

  const reread = async () => {
    const found = await load();
    const changed = asText(found) !== asText(tables);
    tables = found;
    if (changed) onChange();
  };

  if (channel) channel.onmessage = () => void reread().catch(() => {});

  return {
    /** Reads what the database holds; what was written meanwhile stays. Rejects where there is no database. */
    reread,
    /** Resolves when nothing waits to be written, or writing has failed. */
    settled: () => flushing || Promise.resolve(),
    /**
     * @param {string} vehicle
     * @param {string} key
     * @param {Shape} shape
     * @returns {any}
     */
    get: (vehicle, key, shape) => fromEntries(shape, tables.get(nameOf(vehicle, key)) || new Map()),
    /**
     * @param {string} vehicle
     * @param {string} key
     * @param {Shape} shape
     * @param {any} value
     */
    set: (vehicle, key, shape, value) => {
      const before = tables.get(nameOf(vehicle, key)) || new Map();
      write(differences(before, toEntries(shape, value)).map((change) => ({ vehicle, key, ...change })));
    },
    /**
     * Gives the rows of one vehicle to another, all in one transaction.
     *
     * @param {string} from
     * @param {string} to
     * @param {string[]} keys
     */
    move: (from, to, keys) => {
      const rows = keys.flatMap((key) => [...(tables.get(nameOf(from, key)) || [])].map(([entry, value]) => ({ key, entry, value })));
      write(rows.flatMap(({ key, entry, value }) => [{ vehicle: to, key, entry, value }, { vehicle: from, key, entry }]));
    },
    /**
     * Keeps a large value under an id. Rejects where the disk has no room for it, or there is no database.
     *
     * @param {string} id
     * @param {any} value
     * @returns {Promise<void>}
     */
    keepFile: (id, value) => inRows("readwrite", (rows) => void rows.put(value, fileKey(id))),
    /**
     * @param {string} id
     * @returns {Promise<any>}  Undefined where there is none.
     */
    file: (id) => inRows("readonly", (rows) => rows.get(fileKey(id))),
    /**
     * @param {string[]} ids
     * @returns {Promise<void>}
     */
    dropFiles: (ids) => inRows("readwrite", (rows) => void ids.forEach((id) => rows.delete(fileKey(id)))),
    /**
     * @param {string} vehicle
     * @param {string[]} keys
     * @returns {boolean}
     */
    has: (vehicle, keys) => keys.some((key) => (tables.get(nameOf(vehicle, key)) || new Map()).size > 0),
  };
};
