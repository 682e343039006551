/* What takes marks away asks first: the question comes up beside its button, and the answer that keeps everything
   comes first. Leaving the screen keeps everything too. */

const askTwice = (button, question, act, answer) => {
  const leave = () => {
    asked.remove();
    button.hidden = false;
    stopListening();
  };
  const keep = made("button", { type: "button", class: "leads", "data-keep": "" }, words.keep_it);
  const sure = made("button", { type: "button", "data-sure": "" }, answer || words.take_away);
  const asked = made("span", { class: "twice", role: "group", "aria-label": question }, [made("span", {}, question), keep, sure]);
  const stopListening = listenOnce("shown", leave);
  on(keep, "click", () => {
    leave();
    button.focus();
  });
  on(sure, "click", () => {
    leave();
    act();
  });
  button.hidden = true;
  button.after(asked);
  announce("moved");
  keep.focus();
};
