"use strict";
// Lets the entry page open without a connection. A browser that cannot is none the worse.
if ("serviceWorker" in navigator) {
  navigator.serviceWorker.register("/worker.js").then(() => navigator.serviceWorker.ready).then((found) => {
    if (/\/rounds\/new$/.test(location.pathname)) found.active.postMessage(location.pathname);
  }).catch(() => undefined);
}
