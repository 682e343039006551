/* What edition this is, whether it is kept on the tablet, and whether a newer one is ready.

   In: `window.fortyPacesEdition`, written before this text by the build. Out: one
   line of words in `[data-edition-status]` (made at the foot of the page where
   there is none) and, where a new whole edition waits, a button to change to it.
   Never reloads or changes anything unasked. */
(function () {
  "use strict";

  var edition = window.fortyPacesEdition;
  if (!edition) return;

  var script = document.currentScript;
  var root = document.documentElement.getAttribute("data-root");
  var base = root || !script || !script.src ? new URL(root || "./", location.href) : new URL("../../", script.src);

  var line = document.querySelector("[data-edition-status]");
  var asked = false;
  var replaced = false;
  var text = {
    label: "edition " + edition.id + " of " + edition.day,
    file: "Opened as a file: nothing is needed from a network.",
    insecure: "This address is not secure (https), so the browser cannot keep the edition on this tablet.",
    unable: "This browser cannot keep the edition on this tablet.",
    broken: "The new edition did not arrive whole. The one you have stays in use.",
    unsaved: "Not ready without signal yet. Reload this page where there is a signal.",
    change: "Change to it now",
    reload: "Reload this page",
    replaced: "Another page changed to a new edition.",
  };

  function place() {
    if (line) return line;
    line = document.createElement("p");
    line.className = "fp-edition";
    line.setAttribute("data-edition-status", "");
    line.setAttribute("role", "status");
    (document.querySelector(".edition-foot__inner") || document.body).appendChild(line);
    return line;
  }

  function say(kind, words, buttonWords, onTap) {
    if (replaced) return; // A page of an edition that no longer serves says that and nothing else.
    replaced = kind === "replaced";
    var home = place();
    home.setAttribute("data-state", kind);
    home.textContent = words;
    if (!buttonWords) return;
    var button = document.createElement("button");
    button.type = "button";
    button.textContent = buttonWords;
    button.addEventListener("click", onTap);
    home.appendChild(document.createTextNode(" "));
    home.appendChild(button);
  }

  function ask(worker, then) {
    var channel = new MessageChannel();
    channel.port1.onmessage = function (event) {
      then(event.data || {});
    };
    worker.postMessage({ ask: "state" }, [channel.port2]);
  }

  function offer(worker) {
    ask(worker, function (found) {
      if (!found.whole) return;
      say("new", "A new edition is ready, of " + found.day + ".", text.change, function () {
        asked = true;
        worker.postMessage({ do: "switch" });
      });
    });
  }

  function tell(worker) {
    ask(worker, function (found) {
      if (found.whole) say("ready", "Ready without signal: edition " + found.edition + " of " + found.day + ".");
      else say("unsaved", text.unsaved);
    });
  }

  function watch(worker, registration) {
    worker.addEventListener("statechange", function () {
      if (worker.state === "installed" && registration.active) offer(worker);
      if (worker.state === "activated") tell(worker);
      if (worker.state === "redundant" && !registration.waiting && !asked) {
        if (registration.active) say("kept", text.broken);
        else say("unsaved", text.unsaved);
      }
    });
  }

  function lookForNew(registration) {
    registration.update().catch(function () {
      /* No network, or none that answers: the edition at hand serves. */
    });
  }

  function link(rel, href) {
    if (document.querySelector('link[rel="' + rel + '"]')) return;
    var made = document.createElement("link");
    made.rel = rel;
    made.href = new URL(href, base).href;
    document.head.appendChild(made);
  }

  function start() {
    if (location.protocol === "file:" || location.protocol === "content:") {
      if (line) say("file", text.file);
      return;
    }
    if (!window.isSecureContext) {
      if (line) say("insecure", text.insecure);
      return;
    }
    if (!("serviceWorker" in navigator)) {
      if (line) say("unable", text.unable);
      return;
    }
    link("manifest", "manifest.webmanifest");
    link("apple-touch-icon", "assets/icons/icon-180.png");

    var workers = navigator.serviceWorker;
    var controlled = Boolean(workers.controller);
    var followed = null;
    workers.addEventListener("message", function (event) {
      var told = event.data || {};
      if (told.of && followed && followed.installing && !followed.active) say("saving", "Saving for use without signal: " + told.saving + " of " + told.of + " files.");
    });
    workers.addEventListener("controllerchange", function () {
      if (asked) location.reload();
      else if (controlled) say("replaced", text.replaced, text.reload, location.reload.bind(location));
      controlled = true;
    });
    function follow(registration) {
      if (!registration || followed) return;
      followed = registration;
      registration.addEventListener("updatefound", function () {
        if (registration.installing) watch(registration.installing, registration);
      });
      if (registration.installing) watch(registration.installing, registration);
      if (registration.active) tell(registration.active);
      if (registration.waiting) offer(registration.waiting);
      window.addEventListener("online", function () {
        lookForNew(registration);
      });
    }
    // Registering waits for an update in progress, on a silent network for long: ask first what is there.
    workers.getRegistration(base.href).then(follow, function () {});
    workers.register(new URL("sw.js", base).href, { scope: base.href, updateViaCache: "none" }).then(follow, function () {
      if (line && !followed) say("unsaved", text.unsaved);
    });
  }

  function warnWhenStale() {
    var now = Date.now();
    var due = Date.parse(edition.reviewBy + "T23:59:59");
    var made = Date.parse(edition.date + "T00:00:00Z") - 86400000;
    var words = "";
    if (due && now > due) words = "This edition was due for review on " + edition.reviewDay + ". Get a newer one.";
    if (made && now < made) words = "The clock of this device is behind the date of this edition. Times and deadlines will be wrong.";
    if (!words) return;
    var home = document.querySelector("[data-edition-warning]");
    if (!home) {
      home = document.createElement("p");
      home.className = "fp-edition fp-edition--warning";
      document.body.insertBefore(home, document.body.firstChild);
    }
    home.textContent = words;
    home.hidden = false;
  }

  warnWhenStale();
  start();
})();
