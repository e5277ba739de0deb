// A round posted hole by hole while it is played: each hole that is done goes into a queue on this device and from there,
// one after the other, to the service. What has not arrived stays, whatever becomes of the page, the browser or the session.
import { several, t } from "../words.js";
import { forget, keep, kept } from "./drafts.js";
import { holeLine, isDone, readRound, strokesOf } from "./notation.js";
import { byId, drawClubs, drawHole, drawHoleKeys, say, usePad } from "./pad.js";
import { sendFinish, sendHole } from "./sending.js";

const play = JSON.parse(byId("play").textContent);
const STORE = `play:${play.club}:${play.member}:${play.id}`;
const AGAIN = 20_000; // milliseconds until what could not be sent is tried again

let draft = { holes: {}, hole: play.numbers[0], scoresOnly: false, sent: {}, queue: [], sending: null, next: 1, ending: false };
let soFar = play.so_far;
let faults = {}; // by hole
let busy = false;
let cut = false; // the service could not be reached when it was last tried
let sure = false; // a second tap finishes a round with holes that are missing

const doneHoles = () => play.numbers.filter((number) => isDone(draft.holes[number]));
const lineOf = (number) => (isDone(draft.holes[number]) ? holeLine(number, draft.holes[number]) : null);
const waiting = () => draft.queue.length + (draft.sending ? 1 : 0);

async function store() {
  const safe = await keep(STORE, draft);
  byId("kept").textContent = safe ? t("Kept on this device until it has arrived.") : t("This browser keeps nothing: stay on the page until every hole has arrived.");
}

// --- what is said ------------------------------------------------------------------------------------

function drawSoFar() {
  const done = doneHoles();
  if (!done.length) return;
  const strokes = done.reduce((sum, number) => sum + strokesOf(draft.holes[number]), 0);
  const pars = done.map(parOf);
  const over = pars.includes(null) ? null : strokes - pars.reduce((sum, par) => sum + par, 0);
  const toPar = over === null ? [] : [over === 0 ? t("level par") : t("{over_par} to par", { over_par: `${over > 0 ? "+" : "−"}${Math.abs(over)}` })];
  const sum = several(done.length, "{strokes} after {n} hole", { strokes: several(strokes, "{n} stroke") });
  byId("so-far").textContent = `${[sum, ...toPar].join(", ")}. ${expectedWords(done)}`.trim();
}
/** The forecast made before, of these holes; its range only where the service told it of just these. */
function expectedWords(done) {
  const forecast = soFar.forecast;
  if (!forecast || !done.every((number) => number in forecast.by_hole)) return "";
  const expected = Math.round(done.reduce((sum, number) => sum + forecast.by_hole[number], 0));
  if (soFar.holes.join() !== done.join()) return t("Before the round about {expected} were to be expected here.", { expected });
  const range = { low: forecast.low_so_far, high: forecast.high_so_far };
  return t("Before the round about {expected} were to be expected here, {low} to {high} nine times in ten.", { expected, ...range });
}
function drawArrived() {
  const left = waiting();
  const going = cut ? several(left, "{n} hole waits on this device for a connection.") : several(left, "{n} hole is on the way.");
  byId("arrived").textContent = left ? going : Object.keys(draft.sent).length ? t("Every hole that is done has arrived.") : "";
  drawSoFar();
}

// --- the queue ---------------------------------------------------------------------------------------

const parOf = (number) => play.holes.find((one) => one.number === number)?.par ?? null;
function changed(number) {
  delete faults[number];
  sure = false;
  byId("faults").hidden = true;
  const line = lineOf(number);
  const before = draft.sending?.number === number ? draft.sending.line : draft.sent[number];
  draft.queue = draft.queue.filter((one) => one !== number);
  if (line && line !== before) draft.queue.push(number);
  store();
  drawArrived();
  flush();
}

/** Sends what waits, the oldest first; a hole goes on under its number until the service has answered. */
async function flush() {
  if (busy) return;
  busy = true;
  try {
    while (await sendNext());
    if (!waiting()) cut = false;
    if (draft.ending && !waiting()) await end();
  } catch {
    cut = true;
    say(draft.ending ? t("No connection. The round stays on this device and is finished as soon as there is one.") : "");
  } finally {
    busy = false;
    drawArrived();
  }
}
async function sendNext() {
  if (!draft.sending) {
    const number = draft.queue.shift();
    if (number === undefined) return false;
    const line = lineOf(number);
    if (!line) return true; // taken back meanwhile
    draft.sending = { sequence: draft.next, number, line };
    await store();
  }
  const goesOn = took(await sendHole({ club: play.club, ...draft.sending }));
  await store();
  drawArrived();
  return goesOn;
}
/** What an answer means for the queue; whether the next may be sent. */
function took(answer) {
  const { number, line } = draft.sending;
  cut = answer.kind === "signed-out" || answer.kind === "gone";
  if (answer.kind === "saved") {
    draft.sent[number] = line;
    draft.next = answer.told.next_sequence;
    draft.sending = null;
    tellSoFar(answer.told);
    return true;
  }
  if (answer.kind === "behind") { // another device sent as well, or what was thought to have arrived did not
    draft.next = answer.next;
    draft.sending = { sequence: answer.next, number, line };
    return true;
  }
  if (answer.kind === "faults") {
    draft.sending = null;
    draft.ending = false;
    faults[number] = wordsOf(answer.problem);
    tellFaults(number);
    return true;
  }
  stopped(answer);
  return false;
}
function tellSoFar(told) {
  const by = told.forecast && Object.fromEntries(told.forecast.by_hole.map((one) => [one.number, one.expected]));
  soFar = { holes: told.holes.map((one) => one.number), forecast: told.forecast && { ...told.forecast, by_hole: by } };
}
/** Without leaving the hole that is being told. */
function tellFaults(number) {
  drawHoleKeys();
  if (draft.hole === number) drawHole();
  say(t("Hole {number} was not taken. {faults}", { number, faults: faults[number].join("; ") }));
}
const wordsOf = (problem) => (problem.errors ?? [{ detail: problem.detail ?? problem.title }]).map((one) => (one.shot ? t("Shot {number}: {fault}", { number: one.shot, fault: one.detail }) : one.detail));
function stopped(answer) {
  if (answer.kind === "signed-out") return say(t("You are signed out. What was entered is kept here and is sent when you are back."), `${byId("guided").dataset.signIn}?next=${encodeURIComponent(location.pathname)}`);
  draft.ending = false;
  say(t("This round was finished or thrown away elsewhere. Reload the page."));
}

// --- finishing ---------------------------------------------------------------------------------------

async function end() {
  const answer = await sendFinish(play.club);
  if (answer.kind === "saved") {
    await Promise.all([forget(STORE), forgetPage()]);
    location.assign(play.rounds + answer.told.id);
    return;
  }
  if (answer.kind !== "faults") return stopped(answer);
  draft.ending = false;
  await store();
  byId("faults").replaceChildren(...[t("Nothing was posted yet:"), ...wordsOf(answer.problem)].map((words) => Object.assign(document.createElement("p"), { textContent: words })));
  byId("faults").hidden = false;
  say("");
}
async function forgetPage() {
  if (!("caches" in window)) return;
  for (const name of await caches.keys()) await (await caches.open(name)).delete(location.pathname);
}
byId("finish-round").addEventListener("click", async () => {
  const open = play.numbers.filter((number) => !isDone(draft.holes[number]));
  if (open.length === play.numbers.length) return say(t("No hole has been entered yet."));
  if (open.length && !sure) {
    sure = true;
    return say(open.length === 1 ? t("Hole {number} is not complete. Tap again to finish all the same.", { number: open[0] }) : t("Holes {numbers} are not complete. Tap again to finish all the same.", { numbers: open.join(", ") }));
  }
  draft.ending = true;
  say(t("Sending …"));
  await store();
  flush();
});

// --- beginning ---------------------------------------------------------------------------------------

usePad({
  draft: () => draft,
  numbers: () => play.numbers,
  tellHole: (number) => play.holes.find((one) => one.number === number),
  parOf,
  clubs: () => play.clubs,
  clubWords: play.club_words,
  faults: () => faults,
  metres: play.metres,
  store,
  changed,
  lastDone: t("That was the last hole. Finish the round when it is complete."),
});

/** Holes that arrived from elsewhere, unless the page is older than what this device knows, or the hole is being told. */
function takeOver() {
  if (play.next < draft.next) return;
  if (!draft.sending) draft.next = play.next;
  const { holes } = readRound(Object.values(play.sent).join("\n"));
  for (const [number, line] of Object.entries(play.sent)) {
    const own = draft.holes[number];
    const unsent = draft.queue.includes(Number(number)) || draft.sending?.number === Number(number);
    if (unsent || (own?.shots.length && !isDone(own))) continue;
    draft.holes[number] = holes[number];
    draft.sent[number] = line;
  }
}
async function begin() {
  const before = await kept(STORE);
  draft = before ?? draft;
  takeOver();
  if (!before) draft.hole = play.numbers.find((number) => !isDone(draft.holes[number])) ?? play.numbers[0];
  byId("guided").hidden = false;
  if (byId("plain").hasAttribute("data-fold")) byId("plain").open = false;
  drawClubs();
  drawHoleKeys();
  drawHole();
  drawArrived();
  if (navigator.storage?.persist) navigator.storage.persist();
  window.addEventListener("online", flush);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) flush(); });
  window.setInterval(() => { if (waiting() || draft.ending) flush(); }, AGAIN);
  flush();
}
begin();
