/* A part of the cab file as a module of its own: the build joins the same text into one scope. */
import { readFileSync } from "node:fs";

const FOLDER = new URL("../../site_overrides/assets/js/cab/", import.meta.url);

/* An address of the module, with the modules that it imports at addresses of the same kind. */
const addressOf = (name) => {
  const text = readFileSync(new URL(name + ".js", FOLDER), "utf8").replace(/^(import [^;]* from )"\.\/(\w+)\.js";/gm, (all, start, other) => start + JSON.stringify(addressOf(other)) + ";");
  return "data:text/javascript;base64," + Buffer.from(text).toString("base64");
};

/**
 * @param {string} name  Of a file in js/cab, without its ending.
 * @returns {Promise<any>}
 */
export const part = (name) => import(addressOf(name));
