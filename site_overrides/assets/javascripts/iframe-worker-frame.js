/* Inside the frame of iframe-worker.js: what a worker has and a page lacks. From iframe-worker 1.0.4, with its license. */
"use strict";
(() => {
  const worker = document.currentScript.dataset.worker;
  window.postMessage = (message, target) => parent.postMessage(message, target || "*");
  window.importScripts = (...names) =>
    names.reduce(
      (before, name) =>
        before.then(
          () =>
            new Promise((loaded) => {
              const script = document.createElement("script");
              script.src = name;
              script.onload = loaded;
              document.body.appendChild(script);
            })
        ),
      Promise.resolve()
    );
  addEventListener("error", ({ error }) => {
    parent.dispatchEvent(new ErrorEvent("error", { filename: worker, error }));
  });
})();
