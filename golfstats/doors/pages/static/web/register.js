"use strict";
// Lets the pages on which golf is entered open without a connection. A browser that cannot is none the worse.
if ("serviceWorker" in navigator) {
  navigator.serviceWorker.register("/worker.js").then(() => navigator.serviceWorker.ready).then((found) => {
    if (/\/rounds\/(new|in-play\/[0-9a-f-]{36})$/.test(location.pathname)) found.active.postMessage(location.pathname);
  }).catch(() => undefined);
}
// Rows of ways and chapters are wider than a phone: the one that is open comes into sight.
for (const open of document.querySelectorAll("nav a[aria-current=page]")) {
  const row = open.closest("ul");
  row.scrollLeft = open.offsetLeft - row.offsetLeft - (row.clientWidth - open.offsetWidth) / 2;
}
// A club that is founded is most likely in the time zone of the browser.
const zones = document.querySelector("#f-time_zone");
if (zones && location.pathname === "/found") {
  const here = [...zones.options].find((one) => one.value === Intl.DateTimeFormat().resolvedOptions().timeZone);
  if (here && zones.value === "UTC") here.selected = true;
}
