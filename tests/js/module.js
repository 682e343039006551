/* A part of the cab file as a module of its own: the build joins the same text into one scope. */
import { readFileSync } from "node:fs";

const FOLDER = new URL("../../site_overrides/assets/js/cab/", import.meta.url);

/**
 * @param {string} name  Of a file in js/cab, without its ending.
 * @returns {Promise<any>}
 */
export const part = (name) => import("data:text/javascript;base64," + readFileSync(new URL(name + ".js", FOLDER)).toString("base64"));
