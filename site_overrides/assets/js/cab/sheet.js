/* A sheet of lines, [kind, text] each, kind being title, heading or text: printed, or saved as a file. */

const printSheet = (paper, lines) => {
  emptied(paper);
  lines.forEach(([kind, text]) => {
    const tag = { title: "h2", heading: "h3", text: "p" }[kind];
    paper.appendChild(made(tag, { class: "paper__" + kind }, text));
  });
  paper.hidden = false;
  root.classList.add("paper-only");
  window.print();
  root.classList.remove("paper-only");
  paper.hidden = true;
};

/* Saves the lines as text and returns the file's name: what it is, and the minute. */
const saveSheet = (lines, what) => {
  const text = lines.map(([kind, words]) => (kind === "heading" ? "\n" + words : words)).join("\n");
  const stamp = new Date(now() - new Date().getTimezoneOffset() * 60000).toISOString().slice(0, 16).replace(/[:T]/g, "-");
  const name = what + "-" + stamp + ".txt";
  const address = URL.createObjectURL(new Blob([text + "\n"], { type: "text/plain;charset=utf-8" }));
  const link = made("a", { href: address, download: name });
  document.body.appendChild(link);
  link.click();
  document.body.removeChild(link);
  window.setTimeout(() => URL.revokeObjectURL(address), 60000);
  return name;
};
