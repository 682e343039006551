/* Day and night, ordinary and large text: switched by the driver, remembered, never by themselves. */

part("look", function () {
  function choose(key, value, button) {
    if (value) root.setAttribute("data-" + key, value);
    else root.removeAttribute("data-" + key);
    if (button) button.setAttribute("aria-pressed", String(value === "night" || value === "large"));
    var color = one('meta[name="theme-color"]');
    if (color && key === "look") color.content = value === "night" ? "#0b0b0b" : "#111111";
  }

  /* Where the memory is silent, what the first script found stays: no white page flashes up in a dark cab. */
  const remembered = (key) => recalled(key) || root.getAttribute("data-" + key);

  var looks = one("[data-look-switch]");
  choose("look", remembered("look") === "night" ? "night" : "day", looks);
  on(looks, "click", function () {
    var next = root.getAttribute("data-look") === "night" ? "day" : "night";
    remember("look", next);
    choose("look", next, looks);
  });

  listen("changed-elsewhere", () => {
    choose("look", recalled("look") === "night" ? "night" : "day", looks);
    choose("text", recalled("text") === "large" ? "large" : "", sizes);
  });

  var sizes = one("[data-text-switch]");
  choose("text", remembered("text") === "large" ? "large" : "", sizes);
  on(sizes, "click", function () {
    var next = root.getAttribute("data-text") === "large" ? "" : "large";
    remember("text", next);
    choose("text", next, sizes);
  });
});
