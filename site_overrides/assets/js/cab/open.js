/* Last of all: figures are held to their units, and one screen is shown. Only a script that came this far may
   keep anything hidden. */

/* A screen's figures are held when it first comes up: all of them at the start would delay the first paint. */
part("figures", function () {
  var done = {};
  listen("shown", function (where) {
    if (done[where.screen]) return;
    done[where.screen] = true;
    all("[data-key], .why", screens[where.screen]).forEach(function (element) {
      if (element.children.length || !FIGURE.test(element.textContent)) return;
      var pieces = held(element.textContent);
      emptied(element);
      pieces.forEach(function (piece) {
        element.appendChild(typeof piece === "string" ? document.createTextNode(piece) : piece);
      });
    });
  });
});

part("open", function () {
  if (failed.indexOf("screens") >= 0 || failed.indexOf("procedure") >= 0) return;
  announce("open");
  // The first time of day put into words takes long on a slow tablet: now, while nobody waits for it.
  window.setTimeout(guarded(function () {
    clockTime(now());
  }), 0);
  var keep = one("[data-persist]");
  if (navigator.storage && navigator.storage.persist && /^http/.test(window.location.protocol)) {
    keep.hidden = false;
    on(keep, "click", function () {
      navigator.storage.persist().then(function (kept) {
        one("[data-persist-told]").textContent = kept ? words.kept_asked : words.kept_refused;
      });
    });
  }
});

/* The script came whole; what comes next is up to the tablet's memory. */
document.dispatchEvent(new Event("cab-read"));
whenRead(() => {
  startParts();
  document.dispatchEvent(new Event(place.screen ? "cab-started" : "cab-failed"));
});
