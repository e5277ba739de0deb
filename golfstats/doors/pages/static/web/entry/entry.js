// Guided entry and correction of a whole round: where and when, its holes on the pad, and sending it.
import { t } from "../words.js";
import { forget, keep, kept } from "./drafts.js";
import { greensKeys } from "./greens.js";
import { holeLine, isDone, readRound, writeRound } from "./notation.js";
import { button, byId, drawClubs, drawHole, drawHoleKeys, go, leave, remember, say, usePad } from "./pad.js";
import { send } from "./sending.js";

const places = JSON.parse(byId("places").textContent);
const correcting = places.round ?? null;
const STORE = correcting ? `correction:${places.club}:${places.member}:${correcting.id}:${correcting.version}` : `round:${places.club}:${places.member}`;
const SECTIONS = { 18: [1, 18], front: [1, 9], back: [10, 18] };

const randomKey = () => [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
/** Where somebody played last, or else the first course. */
const lastOf = (player) => ({ course: places.courses[0]?.name ?? "", tee: "", ...(places.players.find((one) => one.id === player) ?? places.players[0])?.last });
const fresh = () => ({ key: randomKey(), head: { player: places.player, ...lastOf(places.player), date: places.today, section: "18", time: "", counting: true, competition: false }, other: {}, holes: {}, hole: 1, waiting: false, scoresOnly: false });

let draft = correcting ? fromRound() : fresh();
let faults = {}; // by hole
let sure = ""; // what a second tap confirms

function fromRound() {
  const { head, holes } = readRound(correcting.text);
  const known = { player: head.player ?? places.player, course: head.course, tee: head.tee, date: head.date, section: head.section ?? "18", time: head.time ?? "", counting: head.counting !== "no", competition: head.competition === "yes" };
  const others = Object.entries(head).filter(([name]) => !["player", "course", "tee", "date", "section", "time", "counting", "competition"].includes(name));
  return { ...fresh(), head: known, other: Object.fromEntries(others), holes, hole: Number(Object.keys(holes)[0] ?? 1) };
}

// --- what is known of the place ---------------------------------------------------------------------

const course = () => places.courses.find((one) => one.name === draft.head.course) ?? places.courses[0];
const tee = () => course()?.tees.find((one) => one.name === draft.head.tee) ?? course()?.tees[0];
const tellHole = (number) => tee()?.holes.find((one) => one.number === number);
const golfer = () => places.players.find((one) => one.id === draft.head.player || one.name === draft.head.player);
const parOf = (number) => tellHole(number)?.[`par_${golfer()?.gender ?? "men"}`] ?? null;
function holeNumbers() {
  const [first, last] = SECTIONS[draft.head.section];
  const numbers = [];
  for (let number = first; number <= Math.min(last, course()?.holes ?? 18); number += 1) numbers.push(number);
  return numbers;
}
const roundText = () => writeRound(draft, tee()?.name ?? "", holeNumbers());

// --- drawing ----------------------------------------------------------------------------------------

const fill = (select, options, chosen) => select.replaceChildren(...options.map(([value, words]) => new Option(words, value, false, value === chosen)));
const drawGreens = greensKeys([byId("g-speed"), byId("g-bumps")], button, () => draft.other.greens, (line) => {
  if (line) draft.other.greens = line;
  else delete draft.other.greens;
  store();
  drawGreens();
});
function drawHead() {
  fill(byId("g-player"), places.players.map((one) => [one.id, one.name]), golfer()?.id ?? "");
  draft.head.player = correcting ? draft.head.player : byId("g-player").value;
  document.querySelector('[data-for="player"]').hidden = places.players.length < 2 || Boolean(correcting);
  fill(byId("g-course"), places.courses.map((one) => [one.name, one.name]), draft.head.course);
  fill(byId("g-tee"), (course()?.tees ?? []).map((one) => [one.name, one.name]), tee()?.name);
  draft.head.tee = tee()?.name ?? "";
  const short = (course()?.holes ?? 18) < 18;
  byId("g-section").querySelector('[value="back"]').disabled = short;
  byId("g-section").querySelector('[value="18"]').disabled = short;
  if (short) draft.head.section = "front";
  byId("g-section").value = draft.head.section;
  byId("g-date").value = draft.head.date;
  byId("g-date").max = places.today;
  byId("g-time").value = draft.head.time;
  byId("g-counting").checked = draft.head.counting;
  byId("g-competition").checked = draft.head.competition;
  byId("g-ball").value = draft.other.ball ?? "";
  byId("g-balls").replaceChildren(...(golfer()?.balls ?? []).map((ball) => new Option(ball)));
  const holes = byId("g-section").selectedOptions[0].textContent;
  const whose = places.players.length > 1 ? golfer()?.name : null;
  byId("head-words").textContent = [...whose ? [whose] : [], course()?.name, tee() ? t("{tee} tees", { tee: tee().name }) : t("no tees"), dayWords(draft.head.date), holes].join(", ");
  drawGreens();
  drawClubs();
}

/** A day as the club writes it; what is no day stays as it is. */
function dayWords(day) {
  if (places.date_style === "iso" || Number.isNaN(Date.parse(day))) return day;
  const spoken = document.documentElement.lang;
  const language = places.date_style === "month_day" && spoken.startsWith("en") ? "en-US" : spoken;
  return new Date(`${day}T12:00`).toLocaleDateString(language, { day: "numeric", month: "short", year: "numeric" });
}

function drawAll() {
  if (!holeNumbers().includes(draft.hole)) draft.hole = holeNumbers()[0] ?? 1;
  drawHead();
  drawHoleKeys();
  drawHole();
}

// --- doing ------------------------------------------------------------------------------------------

usePad({
  draft: () => draft,
  numbers: holeNumbers,
  tellHole,
  parOf,
  clubs: () => golfer()?.clubs ?? [],
  clubWords: places.club_words,
  faults: () => faults,
  metres: places.metres,
  store() {
    sure = "";
    return store();
  },
  changed(number) {
    delete faults[number];
    draft.waiting = false;
    sure = "";
    store();
  },
  told: () => { byId("head").open = false; },
  lastDone: t("That was the last hole. Send the round when it is complete."),
});
async function store() {
  const safe = await keep(STORE, draft);
  byId("kept").textContent = safe ? t("Kept on this device until it is sent.") : t("This browser keeps nothing: send the round before you leave the page.");
}
async function sendRound() {
  const told = holeNumbers().map((number) => holeLine(number, draft.holes[number]));
  if (told.every((one) => one === null)) return say(t("No hole has been entered yet."));
  const open = holeNumbers().filter((number) => !isDone(draft.holes[number]));
  if (open.length && sure !== "send" && !draft.waiting) {
    sure = "send";
    return say(open.length === 1 ? t("Hole {number} is not complete. Tap again to send all the same.", { number: open[0] }) : t("Holes {numbers} are not complete. Tap again to send all the same.", { numbers: open.join(", ") }));
  }
  sure = "";
  byId("send").disabled = true;
  byId("faults").hidden = true;
  say(t("Sending …"));
  draft.waiting = true;
  await store();
  try {
    await answered(await send({ text: roundText(), key: draft.key, club: places.club, round: correcting?.id, version: correcting?.version }));
  } catch {
    say(t("No connection. The round stays on this device and is sent as soon as there is one."));
  } finally {
    byId("send").disabled = false;
  }
}
async function answered(answer) {
  if (answer.kind === "saved") {
    await forget(STORE);
    location.assign(places.rounds + answer.id);
    return;
  }
  if (answer.kind === "signed-out") return say(t("You are signed out. The round is kept here and is sent when you are back."), `${byId("guided").dataset.signIn}?next=${encodeURIComponent(location.pathname)}`);
  draft.waiting = false;
  await store();
  if (answer.kind === "changed") return say(t("Somebody changed this round since you opened it. Reload the page and correct it again."));
  if (answer.kind === "there-already") return say(t("An earlier version of this round was saved already. Look at your last rounds, and correct it there."));
  showFaults(answer.problem);
}
function showFaults(problem) {
  faults = {};
  const rest = [];
  let aboutHead = false;
  for (const one of problem.errors ?? [{ detail: problem.detail ?? problem.title }]) {
    const words = one.shot ? t("Shot {number}: {fault}", { number: one.shot, fault: one.detail }) : one.detail;
    if (one.hole) (faults[one.hole] ??= []).push(words);
    else rest.push(words);
    aboutHead ||= Boolean(one.pointer) && !one.pointer.startsWith("/holes") && !one.hole;
  }
  const numbers = Object.keys(faults).map(Number).sort((a, b) => a - b);
  const list = document.createElement("ul");
  list.append(...rest.map((words) => Object.assign(document.createElement("li"), { textContent: words })));
  for (const number of numbers) {
    const item = document.createElement("li");
    item.append(button(t("Hole {number}", { number }), () => go(number)), ` ${faults[number].join("; ")}`);
    list.append(item);
  }
  byId("faults").replaceChildren(Object.assign(document.createElement("p"), { textContent: t("Nothing was saved yet:") }), list);
  byId("faults").hidden = false;
  say("");
  if (aboutHead) byId("head").open = true;
  if (numbers.length) go(numbers[0]);
  else drawHoleKeys();
}

// --- wiring -----------------------------------------------------------------------------------------

const onHead = (id, name, read = (field) => field.value) => byId(id).addEventListener("change", (event) => {
  draft.head[name] = read(event.target);
  if (name === "course") draft.head.tee = "";
  if (name === "player") delete draft.other.ball; // it was another golfer's
  if (name === "player" && !correcting && Object.keys(draft.holes).length === 0) Object.assign(draft.head, lastOf(draft.head.player));
  leave();
  store();
  drawAll();
});
onHead("g-player", "player");
onHead("g-course", "course");
onHead("g-tee", "tee");
onHead("g-date", "date");
onHead("g-section", "section");
onHead("g-time", "time");
onHead("g-counting", "counting", (field) => field.checked);
onHead("g-competition", "competition", (field) => field.checked);
byId("g-ball").addEventListener("change", (event) => {
  const ball = event.target.value.trim();
  if (ball) draft.other.ball = ball;
  else delete draft.other.ball;
  store();
});

byId("send").addEventListener("click", sendRound);
byId("start-over").addEventListener("click", () => {
  if (sure !== "over") {
    sure = "over";
    return say(t("Tap again to throw this draft away."));
  }
  remember();
  draft = { ...(correcting ? fromRound() : fresh()), key: randomKey() };
  leave();
  faults = {};
  sure = "";
  store();
  say(t("Thrown away. Undo brings the holes back."));
  drawAll();
});
window.addEventListener("online", () => { if (draft.waiting) sendRound(); });

async function begin() {
  draft = (await kept(STORE)) ?? draft;
  byId("guided").hidden = false;
  if (byId("plain").hasAttribute("data-fold")) byId("plain").open = false;
  drawAll();
  if (navigator.storage?.persist) navigator.storage.persist();
  if (draft.waiting && navigator.onLine) sendRound();
}
begin();
