/* A part of the cab file, or of the classroom, as a module of its own: the build joins the same text into one scope. */
import { readFileSync } from "node:fs";

const FOLDER = new URL("../../site_overrides/assets/js/", import.meta.url);

/* An address of the module, with the modules that it imports at addresses of the same kind. */
const addressOf = (name, folder) => {
  const text = readFileSync(new URL(folder + "/" + name + ".js", FOLDER), "utf8").replace(/^(import [^;]* from )"(?:\.|\.\.\/(\w+))\/(\w+)\.js";/gm, (all, start, beside, other) => start + JSON.stringify(addressOf(other, beside || folder)) + ";");
  return "data:text/javascript;base64," + Buffer.from(text).toString("base64");
};

/**
 * @param {string} name  Of a file in js/cab, or in another folder of js, without its ending.
 * @param {string} folder
 * @returns {Promise<any>}
 */
export const part = (name, folder = "cab") => import(addressOf(name, folder));
