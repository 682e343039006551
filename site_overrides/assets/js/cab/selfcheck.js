/* Before the finder may speak, the rule set's worked examples run against the table on this very tablet. */

var trusted = null;

part("selfcheck", function () {
  var reader = new TableReader(data.finder.table);
  if (!data.finder.table.examples.length) throw new Error("no worked example to check against");
  var wrong = reader.disagreements();
  if (wrong.length) throw new Error("worked examples disagree: " + wrong.join(", "));
  trusted = reader;
});
