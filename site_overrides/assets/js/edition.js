/* What edition this is, whether it is kept on the tablet, and whether a newer one is ready.

   In: `window.fortyPacesEdition`, written before this text by the build. Out: one
   line of words in `[data-edition-status]` (made at the foot of the page where
   there is none, in the words that came with the edition) and, where a new whole edition waits, a button to change to it.
   Never reloads or changes anything unasked.

   A browser installs whatever the address sends for a worker's name, even nothing at
   all, and lets it take over when every page is closed. So an edition's worker is
   registered under a name that no later edition overwrites, and it alone says whether
   the address has a next edition. And nothing is called ready before the worker that
   serves, and the one that waits, have said which edition they hold. */
(() => {
  "use strict";

  /** @type {{ id: string, date: string, day: string, reviewBy: string, reviewDay: string, expires: string, expiresDay: string, key: string, words: Record<string, string>, inLanguages?: Record<string, Record<string, string>> } | undefined} */
  const edition = /** @type {any} */ (window).fortyPacesEdition;
  if (!edition) return;

  const SILENT_MS = 10000; // An edition's worker says within this time that it has heard.
  const ENTRY = "sw.js";
  const script = /** @type {HTMLScriptElement | null} */ (document.currentScript);
  const root = document.documentElement.getAttribute("data-root");
  const base = root || !script || !script.src ? new URL(root || "./", location.href) : new URL("../../", script.src);
  const text = (edition.inLanguages || {})[document.documentElement.lang.split("-")[0]] || edition.words;

  /* A text with its gaps filled: "{day}" by values.day. */
  const filled = (words, values) => words.replace(/\{(\w+)\}/g, (gap, name) => (name in values ? String(values[name]) : gap));

  let line = document.querySelector("[data-edition-status]");
  let asked = false;
  let replaced = false;
  let why = ""; // Why the last edition that arrived was refused, as its worker said.
  let turns = 0;
  let refused = false;
  let lasting = ""; // The lasting name of the worker that serves, once it was heard.
  const tried = new WeakSet(); // Workers in whose place that name was tried.
  let silences = 0;

  /* On the screen that shows which edition is aboard. */
  const saySignature = (status) => {
    const home = document.querySelector("[data-edition-signature]");
    if (home && edition.key) home.textContent = text["signed-" + status] || "";
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
      say("new", filled(text.ready_new, { day: next.day }), text.change, () => {
        asked = true;
        waiting.postMessage({ do: "switch" });
      });
    } else if (serving && serving.whole) {
      say("ready", [filled(text.ready, { edition: serving.edition, day: serving.day }), text["short-" + serving.signed], refused && text.no_edition].filter(Boolean).join(" "));
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
      const message = event.data || {};
      if (message.refused) {
        why = message.refused;
        if (followed && followed.active) say("kept", text[why] || text.broken);
        else say("unsaved", text[why] || text.unsaved);
      }
      if (message.of && followed && followed.installing && !followed.active) {
        say("saving", filled(text.saving, { done: message.saving, files: message.of }));
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
    if (due && now > due) words = filled(text.due, { day: text.review_day || edition.reviewDay });
    if (lastDay && now > lastDay) words = filled(text.expired, { day: text.expires_day || edition.expiresDay });
    if (made && now < made) words = text.clock_behind;
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
