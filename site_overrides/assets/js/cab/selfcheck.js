/* Before any distance is shown, the rule set's worked examples run against the script on this very tablet. */

let trusted = null;

part("selfcheck", () => {
  const engine = createPlacement(data.placement);
  if (!data.placement.examples.length) throw new Error("no worked example to check against");
  const wrong = engine.disagreements();
  if (wrong.length) throw new Error("worked examples disagree: " + wrong.join(", "));
  trusted = engine;
});
