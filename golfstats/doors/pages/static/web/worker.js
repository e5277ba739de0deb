// Keeps the pages on which golf is entered at hand without a connection. Everything else always comes from the service.
const STORE = "golfstats-VERSION";
const FILES = ["FILES"];
const isPlay = (url) => /^\/clubs\/[^/]+\/rounds\/in-play\/[0-9a-f-]{36}$/.test(url.pathname);
// The session is over, or the club no longer theirs.
const isClosed = (answer) => answer.redirected || answer.type === "opaqueredirect" || [403, 404, 410].includes(answer.status);
const isEntry = (url) => isPlay(url) || /^\/clubs\/[^/]+\/rounds\/new$/.test(url.pathname);

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(STORE).then((store) => store.addAll(FILES)).then(() => self.skipWaiting()));
});
self.addEventListener("activate", (event) => {
  const old = (name) => name.startsWith("golfstats-") && name !== STORE;
  event.waitUntil(caches.keys().then((names) => Promise.all(names.filter(old).map((name) => caches.delete(name)))).then(() => self.clients.claim()));
});
self.addEventListener("message", (event) => {
  const url = new URL(event.data, self.location.origin);
  if (url.origin === self.location.origin && isEntry(url)) event.waitUntil(fetchAndKeep(new Request(url.pathname), url));
});

// What is kept changes in the order in which it was asked for, and no page is kept that was fetched before pages were dropped.
let drops = 0;
let turn = Promise.resolve();
function inTurn(change) {
  const done = turn.then(() => caches.open(STORE)).then(change);
  turn = done.catch(() => {});
  return done;
}
function drop(isDropped) {
  drops += 1;
  return inTurn(async (store) => {
    const dropped = (await store.keys()).filter((one) => isDropped(new URL(one.url)));
    await Promise.all(dropped.map((one) => store.delete(one)));
  });
}
async function fetchAndKeep(request, url) {
  const before = drops;
  const answer = await fetch(request);
  const kept = answer.clone();
  if (isClosed(answer)) await drop((one) => one.pathname === url.pathname);
  else if (answer.ok) await inTurn((store) => drops === before && store.put(url.pathname, kept));
  return answer;
}
async function entryPage(request, url) {
  try {
    return await fetchAndKeep(request, url);
  } catch (error) {
    const kept = await caches.match(url.pathname);
    if (kept) return kept;
    throw error;
  }
}
async function anyEntryPage(request) {
  try {
    return await fetch(request);
  } catch (error) {
    const store = await caches.open(STORE);
    const kept = (await store.keys()).map((one) => new URL(one.url));
    const known = kept.find(isPlay) ?? kept.find(isEntry);
    if (known) return Response.redirect(known.pathname);
    throw error;
  }
}
async function file(request, url) {
  try {
    return await fetch(request);
  } catch (error) {
    const kept = await caches.match(url.pathname);
    if (kept) return kept;
    throw error;
  }
}
async function withoutEntries(request) {
  // A page that was kept names its club's players: it goes with the session, and before another's. Drafts stay.
  await drop(isEntry);
  return fetch(request);
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== self.location.origin) return;
  if (request.method === "POST" && ["/sign-in", "/sign-out"].includes(url.pathname)) event.respondWith(withoutEntries(request));
  else if (request.method !== "GET") return;
  else if (request.mode === "navigate" && isEntry(url)) event.respondWith(entryPage(request, url));
  else if (request.mode === "navigate") event.respondWith(anyEntryPage(request));
  else if (FILES.includes(url.pathname)) event.respondWith(file(request, url));
});
