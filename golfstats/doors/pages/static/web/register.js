"use strict";
// Lets the pages on which golf is entered open without a connection. A browser that cannot is none the worse.
if ("serviceWorker" in navigator) {
  navigator.serviceWorker.register("/worker.js").then(() => navigator.serviceWorker.ready).then((found) => {
    if (/\/rounds\/(new|in-play\/[0-9a-f-]{36})$/.test(location.pathname)) found.active.postMessage(location.pathname);
  }).catch(() => undefined);
}
