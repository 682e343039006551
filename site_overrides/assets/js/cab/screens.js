/* One screen at a time. The address after # says which, so that reload, rotation and Back keep the place:
   #tire-fire, #tire-fire/3, #tire-fire/list, #clock. Reads it, shows it, and moves the focus to its heading. */

var place = { screen: null, view: "" };
var screens = Object.create(null);
var SAME_TAP_MS = 400;
var SAME_TAP_PX = 48;

/* A new entry of the history. It is pushed, because for a fragment that is assigned the browser lays out the screen
   that is about to go, to look for a place to scroll to. */
const setAddress = (hash) => {
  if (window.location.hash === hash) return;
  try {
    window.history.pushState(null, "", hash);
  } catch (fault) {
    try {
      window.location.hash = hash;
    } catch (again) {
      /* Some viewers keep the address to themselves; the screen is shown all the same. */
    }
  }
};

function go(screen, view) {
  setAddress("#" + screen + (view ? "/" + view : ""));
  show(screen, view || "");
}

/* A browser that will not scroll still shows the screen. */
var toTop = guarded(function () {
  window.scrollTo(0, 0);
});

function show(screen, view) {
  if (!screens[screen]) {
    screen = "start";
    view = "";
  }
  var changed = place.screen !== screen;
  place = { screen: screen, view: view };
  Object.keys(screens).forEach((id) => screens[id].classList.toggle("is-open", id === screen));
  document.body.classList.toggle("is-start", screen === "start");
  root.classList.toggle("is-find", screen === "find");
  if (changed) toTop();
  announce("shown", place);
}

/* Focus something that is not a control, for as long as the focus stays. */
function focusOn(element) {
  if (!element) return;
  var added = !element.hasAttribute("tabindex");
  if (added) element.setAttribute("tabindex", "-1");
  element.focus({ preventScroll: true });
  if (!added) return;
  element.addEventListener("blur", function leave() {
    element.removeAttribute("tabindex");
    element.removeEventListener("blur", leave);
  });
}

function readAddress() {
  var hash = window.location.hash.slice(1);
  try {
    hash = decodeURIComponent(hash);
  } catch (fault) {
    hash = ""; // Half an escape: no address of ours.
  }
  var parts = hash.split("/");
  return { screen: parts[0], view: parts.slice(1).join("/") };
}

part("screens", function () {
  all(".screen").forEach(function (section) {
    screens[section.id] = section;
  });

  /* A source is an entry of the index; any other address that is no screen is the start. */
  function open() {
    var wanted = readAddress();
    var target = wanted.screen && document.getElementById(wanted.screen);
    if (target && !screens[wanted.screen] && target.closest(".screen")) {
      show(target.closest(".screen").id, "");
      target.scrollIntoView();
      focusOn(target);
      return;
    }
    if (wanted.screen === place.screen && wanted.view === place.view) return;
    show(wanted.screen, wanted.view);
  }

  listen("open", open);
  window.addEventListener("hashchange", guarded(open));

  on(document, "click", function (event) {
    var link = event.target.closest && event.target.closest('a[href^="#"]');
    if (!link || event.defaultPrevented || event.ctrlKey || event.metaKey || event.shiftKey) return;
    var parts = link.getAttribute("href").slice(1).split("/");
    if (!screens[parts[0]]) return;
    event.preventDefault();
    go(parts[0], parts.slice(1).join("/"));
  });

  /* The second tap of a double tap falls on a screen that nobody has read yet, and must not act there: it would
     mark a step as done or start the clock. Keys, and taps elsewhere, are never held back. */
  var shownAt = -Infinity;
  var last = { x: -Infinity, y: -Infinity, at: -Infinity };

  function secondTap(event) {
    var near = Math.abs(event.clientX - last.x) <= SAME_TAP_PX && Math.abs(event.clientY - last.y) <= SAME_TAP_PX;
    var finger = event.pointerType ? event.pointerType !== "mouse" : navigator.maxTouchPoints > 0;
    var opened = shownAt >= last.at && Math.abs(now() - last.at) < SAME_TAP_MS;
    last = { x: event.clientX, y: event.clientY, at: now() };
    return near && opened && (finger || event.detail > 1);
  }

  document.addEventListener(
    "click",
    function (event) {
      if (event.detail === 0 || !secondTap(event)) return;
      event.preventDefault();
      event.stopPropagation();
    },
    true
  );
  const taken = () => {
    shownAt = now();
  };
  listen("shown", taken);
  // The page moved under the finger: what lies there now was not what was tapped.
  listen("moved", taken);

  listen("shown", function (where) {
    var heading = one("[data-heading]", screens[where.screen]);
    document.title = heading ? filled(words.page_title, { heading: heading.textContent }) : words.page_name;
    if (!where.view && heading) focusOn(heading);
  });
});
