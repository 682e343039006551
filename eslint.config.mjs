import js from "@eslint/js";
import globals from "globals";

/* Checked later: the scripts of the cab file share their names, and other work is under way. Shrink this list. */
const TO_FOLLOW = ["site_overrides/assets/js/cab/**", "site_overrides/assets/js/classroom/sight.js"];

const MODULES = ["score_rows", "class_store", "learner", "score_expiry", "score_expiry_state", "lesson_state", "lesson", "deck", "placing", "due_state", "trainer", "drill_state", "drill"];

export default [
  { ignores: [".venv*/", "site/", "editions/", "site_overrides/assets/javascripts/", ...TO_FOLLOW] },
  js.configs.recommended,
  {
    rules: {
      "no-unused-vars": ["error", { caughtErrors: "none" }],
      eqeqeq: "error",
      curly: ["error", "multi-line"],
      "no-implicit-globals": "error",
      "no-shadow": "error",
      "no-var": "error",
      "prefer-const": "error",
    },
  },
  { files: ["site_overrides/assets/js/**"], languageOptions: { sourceType: "script", globals: globals.browser } },
  { files: ["site_overrides/assets/js/classroom/**"], languageOptions: { globals: { classroom: "writable" } } },
  // Joined into one scope by the build, as the cab file's are; Node tests those without a page as modules.
  { files: MODULES.map((name) => `site_overrides/assets/js/classroom/${name}.js`), languageOptions: { sourceType: "module" } },
  {
    files: ["site_overrides/assets/js/classroom/scenario*.js"],
    languageOptions: { sourceType: "module" },
    rules: { "no-implicit-globals": "off" }, // a module has a scope of its own
  },
  {
    files: ["site_overrides/assets/js/sw.js"],
    languageOptions: {
      globals: { ...globals.serviceworker, judge: "readonly", Refused: "readonly", SIGNED_FILE: "readonly", SIGNATURE_FILE: "readonly" },
    },
    rules: { "no-implicit-globals": "off" }, // a worker is the only script of its scope
  },
  { files: ["site_overrides/assets/js/trust.js"], languageOptions: { sourceType: "module", globals: globals.serviceworker } },
  { files: ["tests/js/**", "*.mjs"], languageOptions: { globals: globals.node } },
  // A test sends it to a page with one call after it.
  { files: ["tests/browser/kept_rows.js"], languageOptions: { globals: globals.browser } },
  { files: ["tests/browser/play.js"], languageOptions: { globals: globals.browser }, rules: { "no-unused-vars": "off" } },
  // They run in Node, and hand functions to the browser.
  { files: ["tests/firefox/**"], languageOptions: { globals: { ...globals.node, ...globals.browser } } },
];
