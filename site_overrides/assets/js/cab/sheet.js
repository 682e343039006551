/* What leaves the page on purpose: printed, or saved as a file. A sheet is a list of lines, [kind, text] each, kind
   being title, heading or text. */

/* Print this part of the page and nothing else. */
const printAlone = (paper) => {
  paper.hidden = false;
  root.classList.add("paper-only");
  window.print();
  root.classList.remove("paper-only");
  paper.hidden = true;
};

/* Saves a text and returns the file's name: what it is, and the minute. */
const saveFile = (what, ending, type, text) => {
  const stamp = new Date(now() - new Date().getTimezoneOffset() * 60000).toISOString().slice(0, 16).replace(/[:T]/g, "-");
  const name = what + "-" + stamp + ending;
  const address = URL.createObjectURL(new Blob([text], { type: type + ";charset=utf-8" }));
  const link = made("a", { href: address, download: name });
  document.body.appendChild(link);
  link.click();
  document.body.removeChild(link);
  window.setTimeout(() => URL.revokeObjectURL(address), 60000);
  return name;
};

const printSheet = (paper, lines) => {
  emptied(paper);
  lines.forEach(([kind, text]) => {
    const tag = { title: "h2", heading: "h3", text: "p" }[kind];
    paper.appendChild(made(tag, { class: "paper__" + kind }, text));
  });
  printAlone(paper);
};

/* Saves the lines as text and returns the file's name. */
const saveSheet = (lines, what) =>
  saveFile(what, ".txt", "text/plain", lines.map(([kind, text]) => (kind === "heading" ? "\n" + text : text)).join("\n") + "\n");
