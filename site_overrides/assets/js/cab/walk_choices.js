/* The questions of the guided walk on the screen: which answers are offered, which one is chosen, how lengths are
   counted. Every function draws a walk that it is given; none changes it. */

/**
 * @param {any} home  The element of the walk.
 * @param {any} model  The placement data.
 * @param {any} questions  The places, grades and surfaces to choose from, and what is chosen at first.
 * @param {any} offered  What the walk may hold.
 */
const createWalkChoices = (home, model, { places, grades, surfaces, chosen }, offered) => {
  const { lengths } = model;
  const press = (buttons, isChosen) => buttons.forEach((button) => button.setAttribute("aria-pressed", String(isChosen(button))));

  const drawRoad = (walk) => {
    press(all("[data-axis]", home), (button) => {
      const axis = button.getAttribute("data-axis");
      return (axis === "road" ? walk.place : walk.at[axis]) === Number(button.getAttribute("data-place"));
    });
    const kinds = walk.place >= 0 ? places[walk.place].roads : [];
    all("[data-kind]", home).forEach((button) => {
      button.hidden = !kinds.includes(button.getAttribute("data-kind"));
      button.setAttribute("aria-pressed", String(kinds[walk.kind] === button.getAttribute("data-kind")));
    });
    const changed = walk.at.grade !== chosen.grade || walk.at.surface !== chosen.surface;
    one("[data-more-words]", home).textContent = filled(words.walk_more, { grade: grades[walk.at.grade].toLowerCase(), surface: surfaces[walk.at.surface].toLowerCase() });
    if (changed) one("[data-more]", home).open = true;
  };

  /* Where what hides the vehicle begins: always nearer than the view ends. */
  const isPossible = (button, sight) => {
    const end = Number(button.getAttribute("data-end"));
    const near = button.closest("[data-end-of]").getAttribute("data-end-of") === "near";
    return !near || !(end > 0) || !sight || lengths.near[end - 1] < lengths.sight[sight - 1];
  };

  const drawSide = (question, walk) => {
    const side = question.getAttribute("data-ask-side");
    const { cause, sight, end } = walk.hidden[side];
    question.hidden = !walkSides(walk, offered).includes(side);
    press(all("[data-cause]", question), (button) => button.getAttribute("data-cause") === cause);
    press(all("[data-hidden]", question), (button) => Number(button.getAttribute("data-hidden")) === sight);
    press(all("[data-end]", question), (button) => button.getAttribute("data-end") === end);
    const pictured = cause === "hill" || cause === "obstruction" ? cause : "bend";
    all("[data-picture]", question).forEach((picture) => picture.toggleAttribute("hidden", picture.getAttribute("data-picture") !== pictured));
    all("[data-end-of]", question).forEach((row) => {
      row.hidden = (row.getAttribute("data-end-of") === "far") !== (cause === "obstruction");
    });
    one("[data-end-word]", question).textContent = cause === "hill" ? words.walk_begins_hill : words.walk_begins_bend;
    all("[data-end]", question).forEach((button) => {
      button.hidden = !isPossible(button, sight);
    });
  };

  const drawCounts = (question, counted, hasTrailer) => {
    all("[data-count]", question).forEach((button) => {
      const count = button.getAttribute("data-count");
      button.hidden = count === "trailers" && !hasTrailer;
      button.setAttribute("aria-pressed", String(count === counted));
    });
    // One way to count is no choice.
    all(".choices--count", question).forEach((row) => {
      row.hidden = all("[data-count]:not([hidden])", row).length < 2;
    });
    all("[data-counted]", question).forEach((length) => {
      length.hidden = length.getAttribute("data-counted") !== counted;
    });
  };

  return {
    draw(walk, counted, hasTrailer) {
      drawRoad(walk);
      all("[data-ask-side]", home).forEach((question) => {
        drawSide(question, walk);
        drawCounts(question, counted, hasTrailer);
      });
    },
    /* Speed, light, grade and surface in one line. */
    drawConditions({ at: { speed, visibility, grade, surface } }) {
      const parts = { speed: model.speeds[speed].text, visibility: model.visibility[visibility].title.toLowerCase(), grade: grades[grade].toLowerCase(), surface: surfaces[surface].toLowerCase() };
      emptied(one("[data-walk-conditions]", home)).appendChild(made("span", {}, held(filled(words.walk_conditions, parts))));
    },
  };
};
