/* What edition this is, whether it is kept on the tablet, and whether a newer one is ready.

   In: `window.fortyPacesEdition`, written before this text by the build. Out: one
   line of words in `[data-edition-status]` (made at the foot of the page where
   there is none) and, where a new whole edition waits, a button to change to it.
   Never reloads or changes anything unasked.

   A browser installs whatever the address sends for a worker's name, even nothing at
   all, and lets it take over when every page is closed. So an edition's worker is
   registered under a name that no later edition overwrites, and it alone says whether
   the address has a next edition. And nothing is called ready before the worker that
   serves, and the one that waits, have said which edition they hold. */
(() => {
  "use strict";

  /** @type {{ id: string, date: string, day: string, reviewBy: string, reviewDay: string, expires: string, expiresDay: string, key: string } | undefined} */
  const edition = /** @type {any} */ (window).fortyPacesEdition;
  if (!edition) return;

  const SILENT_MS = 10000; // An edition's worker says within this time that it has heard.
  const ENTRY = "sw.js";
  const script = /** @type {HTMLScriptElement | null} */ (document.currentScript);
  const root = document.documentElement.getAttribute("data-root");
  const base = root || !script || !script.src ? new URL(root || "./", location.href) : new URL("../../", script.src);
  const fileAboard = "Use cab.html as a file on this tablet, or the cards, and tell whoever runs this address.";
  const text = {
    file: "Opened as a file: nothing is needed from a network.",
    insecure: "This address is not secure (https), so the browser cannot keep the edition on this tablet.",
    unable: "This browser cannot keep the edition on this tablet.",
    broken: "The new edition did not arrive whole. The one you have stays in use.",
    older: "What this address offers is older than the edition you have, and was not taken. Yours stays in use.",
    key: "What this address offers is signed by another key than your edition, and was not taken. Yours stays in use. Ask your carrier.",
    unsigned: "What this address offers is not signed, as your edition is, and was not taken. Yours stays in use. Ask your carrier.",
    other: "What this address offers is for another carrier or vehicle, and was not taken. Yours stays in use.",
    signature: "The signature of what this address offers does not fit it, so it was not taken. The one you have stays in use.",
    noEdition: " What this address sends now is no edition, and was not taken: tell whoever runs it.",
    unsaved: "Not ready without signal yet. Reload this page where there is a signal.",
    checking: "Looking whether the edition that arrived is whole.",
    foreign: "Not ready without signal: what this address sent is no edition. " + fileAboard,
    threatened: "Not ready without signal: this address sent something that is no edition, and it takes over once every page is closed. Keep this page open. " + fileAboard,
    change: "Change to it now",
    reload: "Reload this page",
    replaced: "Another page changed to a new edition.",
  };

  let line = document.querySelector("[data-edition-status]");
  let asked = false;
  let replaced = false;
  let why = ""; // Why the last edition that arrived was refused, as its worker said.
  let turns = 0;
  let refused = false;
  let lasting = ""; // The lasting name of the worker that serves, once it was heard.
  const tried = new WeakSet(); // Workers in whose place that name was tried.
  let silences = 0;

  const toVerify = " On a computer, fortypaces verify FOLDER --key PUB does.";
  const signed = {
    file: "Opened as a file: its signature is not verified here." + toVerify,
    verified: "Its signature was verified on this tablet.",
    unchecked: "Its signature is not verified here: this browser cannot." + toVerify,
    refused: "Its signature does not fit. Do not rely on it, and tell your carrier.",
  };
  const short = { verified: " Signature verified.", unchecked: " Signature not verified here.", refused: " Its signature does not fit." };

  /* On the screen that shows which edition is aboard. */
  const saySignature = (status) => {
    const home = document.querySelector("[data-edition-signature]");
    if (home && edition.key) home.textContent = signed[status] || "";
  };

  const place = () => {
    if (line) return line;
    line = document.createElement("p");
    line.className = "fp-edition";
    line.setAttribute("data-edition-status", "");
    line.setAttribute("role", "status");
    (document.querySelector(".edition-foot__inner") || document.body).appendChild(line);
    return line;
  };

  const say = (kind, words, buttonWords, onTap) => {
    if (replaced && kind !== "foreign") return; // A page of an edition that no longer serves says that and nothing else.
    replaced = replaced || kind === "replaced";
    const home = place();
    home.setAttribute("data-state", kind);
    home.textContent = words;
    if (!buttonWords) return;
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = buttonWords;
    button.addEventListener("click", onTap);
    home.append(" ", button);
  };

  /** @typedef {{ edition: string, day: string, key?: string, script?: string, whole: boolean, signed: string }} Held */

  /**
   * What a worker says of itself; null where it says nothing in time. One that has heard may take as long as it needs
   * to read its files back.
   *
   * @param {ServiceWorker} worker
   * @param {() => void} late  Called when it does say something after all.
   * @returns {Promise<Held | null>}
   */
  const ask = (worker, late) =>
    new Promise((resolve) => {
      const channel = new MessageChannel();
      let silent = false;
      const patience = setTimeout(() => {
        silent = true;
        resolve(null);
      }, SILENT_MS);
      channel.port1.onmessage = (event) => {
        const answer = event.data || {};
        clearTimeout(patience);
        if (silent) late();
        else if (!answer.looking) resolve(typeof answer.edition === "string" ? answer : null);
      };
      worker.postMessage({ ask: "state", early: true }, [channel.port2]);
    });

  const register = (name) =>
    navigator.serviceWorker.register(new URL(name, base).href, { scope: base.href, updateViaCache: "none" });

  const hasName = (worker, name) => worker.scriptURL === new URL(name, base).href;

  /**
   * Registers the worker of this edition under its lasting name; null where that is not to be done.
   *
   * @param {ServiceWorkerRegistration} registration
   * @param {Held} serving
   * @returns {Promise<unknown> | null}
   */
  const giveLastingName = (registration, serving) => {
    const newest = registration.waiting || registration.active;
    if (registration.installing || !serving.whole || !lasting || !newest || hasName(newest, lasting) || tried.has(newest)) return null;
    tried.add(newest);
    const late = new Promise((resolve) => setTimeout(resolve, SILENT_MS));
    return Promise.race([register(lasting).catch(() => {}), late]);
  };

  const check = async (registration) => {
    const turn = (turns += 1);
    const { active, waiting } = registration;
    if (!active) return;
    if (waiting) say("checking", text.checking);
    const again = () => void check(registration);
    const [serving, next] = await Promise.all([ask(active, again), waiting ? ask(waiting, again) : null]);
    if (turn !== turns) return;
    if (serving) saySignature(serving.signed);
    if (!serving && !(next && next.whole)) {
      silent(registration);
      return;
    }
    silences = 0;
    lasting = (serving && serving.script) || "";
    const own = next && serving && next.key === serving.key; // The same edition under its lasting name.
    // Where something foreign waits, the edition's own worker takes its place, if the address still has it.
    const named = next || !serving ? null : giveLastingName(registration, serving);
    if (named && !waiting) {
      await named;
      if (turn !== turns || registration.installing) return; // It says so itself when it is there.
    }
    if (waiting && !next) say("threatened", text.threatened);
    else if (next && next.whole && !own) {
      say("new", "A new edition is ready, of " + next.day + ".", text.change, () => {
        asked = true;
        waiting.postMessage({ do: "switch" });
      });
    } else if (serving && serving.whole) {
      say("ready", "Ready without signal: edition " + serving.edition + " of " + serving.day + "." + (short[serving.signed] || "") + (refused ? text.noEdition : ""));
    } else say("unsaved", text.unsaved);
  };

  /* Nobody's worker serves. A good one that the address sends by now takes over when every page is closed. */
  const silent = (registration) => {
    say("foreign", text.foreign);
    silences += 1;
    if (silences < 2) check(registration);
    else if (silences === 2) register(ENTRY).catch(() => {});
  };

  const watch = (worker, registration) => {
    worker.addEventListener("statechange", () => {
      if (worker.state === "installed" || worker.state === "activated") check(registration);
      const next = registration.waiting && !(lasting && hasName(registration.waiting, lasting));
      if (worker.state === "redundant" && !next && !asked) {
        turns += 1;
        if (registration.active && lasting && hasName(worker, lasting)) check(registration);
        else if (registration.active) say("kept", text[why] || text.broken);
        else say("unsaved", text.unsaved);
      }
    });
  };

  /* The worker at hand looks, and not the browser: it takes nothing but a whole edition for one. */
  const lookForNew = (registration) => {
    const { active } = registration;
    if (!active) return;
    const channel = new MessageChannel();
    channel.port1.onmessage = ({ data }) => {
      const was = refused;
      refused = data.offer === "foreign";
      if (data.offer === "new") {
        register(data.script).catch(() => {
          /* No network any more: the edition at hand serves. */
        });
      }
      if (was !== refused) check(registration);
    };
    active.postMessage({ ask: "newer" }, [channel.port2]);
    // One that was registered as sw.js, by an edition before this one or on the first visit.
    if (hasName(active, ENTRY)) registration.update().catch(() => {});
  };

  const link = (rel, href) => {
    if (document.querySelector('link[rel="' + rel + '"]')) return;
    const made = document.createElement("link");
    made.rel = rel;
    made.href = new URL(href, base).href;
    document.head.appendChild(made);
  };

  const start = () => {
    if (location.protocol === "file:" || location.protocol === "content:") {
      if (line) say("file", text.file);
      saySignature("file");
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

    const workers = navigator.serviceWorker;
    let controlled = Boolean(workers.controller);
    let followed = null;
    workers.addEventListener("message", (event) => {
      const told = event.data || {};
      if (told.refused) {
        why = told.refused;
        if (followed && followed.active) say("kept", text[why] || text.broken);
        else say("unsaved", text[why] || text.unsaved);
      }
      if (told.of && followed && followed.installing && !followed.active) {
        say("saving", "Saving for use without signal: " + told.saving + " of " + told.of + " files.");
      }
    });
    workers.addEventListener("controllerchange", async () => {
      if (asked) return location.reload();
      const was = controlled;
      controlled = true;
      if (!was) return;
      turns += 1;
      say("replaced", text.replaced, text.reload, () => location.reload());
      // Another page need not have asked for it: a worker of anybody's can take over by itself.
      if (workers.controller && !(await ask(workers.controller, () => {}))) say("foreign", text.foreign);
    });
    const follow = (registration) => {
      if (!registration || followed) return;
      followed = registration;
      registration.addEventListener("updatefound", () => {
        why = "";
        if (registration.installing) watch(registration.installing, registration);
      });
      if (registration.installing) watch(registration.installing, registration);
      check(registration);
      window.addEventListener("online", () => lookForNew(registration));
    };
    // Registering waits for an update in progress, on a silent network for long: ask first what is there.
    const first = () =>
      register(ENTRY).then(follow, () => {
        if (line && !followed) say("unsaved", text.unsaved);
      });
    workers.getRegistration(base.href).then((registration) => {
      // An edition in a folder below another's is not the other.
      if (!registration || registration.scope !== base.href || !registration.active) {
        first();
        return;
      }
      follow(registration);
      lookForNew(registration);
    }, first);
  };

  const warnWhenStale = () => {
    const now = Date.now();
    const due = Date.parse(edition.reviewBy + "T23:59:59");
    const lastDay = Date.parse(edition.expires + "T23:59:59");
    const made = Date.parse(edition.date + "T00:00:00Z") - 86400000;
    let words = "";
    if (due && now > due) words = "This edition was due for review on " + edition.reviewDay + ". Get a newer one.";
    if (lastDay && now > lastDay) words = "The last day of this edition was " + edition.expiresDay + ". It still opens. Get a newer one.";
    if (made && now < made) words = "The clock of this device is behind the date of this edition. Times and deadlines will be wrong.";
    if (!words) return;
    let home = /** @type {HTMLElement | null} */ (document.querySelector("[data-edition-warning]"));
    if (!home) {
      home = document.createElement("p");
      home.className = "fp-edition fp-edition--warning";
      document.body.insertBefore(home, document.body.firstChild);
    }
    home.textContent = words;
    home.hidden = false;
  };

  warnWhenStale();
  start();
})();
