// Guided entry and correction of a round, a hole a screen. Buttons are made once and only change what they say, so that
// the focus stays where it was.
import { forget, keep, kept } from "./drafts.js";
import { greensKeys } from "./greens.js";
import { guessedShot, quickDistances, unitOf as unitOfLie, wrongDistance } from "./guesses.js";
import { detailsOf, emptyHole, finishesOf, holeLine, isDone, LIES, PENALTIES, readRound, strokesOf, writeRound } from "./notation.js";
import { send } from "./sending.js";

const byId = (id) => document.getElementById(id);
const places = JSON.parse(byId("places").textContent);
const correcting = places.round ?? null;
const STORE = correcting ? `correction:${places.club}:${places.member}:${correcting.id}:${correcting.version}` : `round:${places.club}:${places.member}`;
const SECTIONS = { 18: [1, 18], front: [1, 9], back: [10, 18] };
const UNDO_STEPS = 40;

const randomKey = () => [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
const fresh = () => ({ key: randomKey(), head: { player: places.player, course: places.courses[0]?.name ?? "", tee: "", date: places.today, section: "18", time: "", counting: true, competition: false }, other: {}, holes: {}, hole: 1, waiting: false, scoresOnly: false });

let draft = correcting ? fromRound() : fresh();
let shot = null; // the shot being told
let editing = null; // its place among the hole's shots, where it is a correction
let faults = {}; // by hole
let past = []; // what undo goes back to
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
const holeOf = (number) => (draft.holes[number] ??= emptyHole());
const unitOf = (lie) => unitOfLie(lie, places.metres);
function holeNumbers() {
  const [first, last] = SECTIONS[draft.head.section];
  const numbers = [];
  for (let number = first; number <= Math.min(last, course()?.holes ?? 18); number += 1) numbers.push(number);
  return numbers;
}
const roundText = () => writeRound(draft, tee()?.name ?? "", holeNumbers());

const guessed = (hole) => guessedShot(hole, tellHole(draft.hole)?.length, places.metres);
const shotBefore = () => holeOf(draft.hole).shots.at(editing === null ? -1 : editing - 1);

// --- drawing ----------------------------------------------------------------------------------------

function button(words, press, { label, group } = {}) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = words;
  if (label) made.setAttribute("aria-label", label);
  if (group) group.append(made);
  made.addEventListener("click", press);
  return made;
}
const pressed = (made, is) => made.setAttribute("aria-pressed", String(is));
const fill = (select, options, chosen) => select.replaceChildren(...options.map(([value, words]) => new Option(words, value, false, value === chosen)));

const lieKeys = LIES.map(([letter, words]) => {
  const made = button("", () => choose(() => { shot.lie = letter; shot.words = []; }), { label: words, group: byId("lies") });
  made.append(Object.assign(document.createElement("b"), { textContent: letter }), Object.assign(document.createElement("small"), { textContent: words }));
  return [letter, made];
});
const penaltyKeys = PENALTIES.map(([word, words]) => [word, button(words, () => choose(() => { shot.penalty = word; }), { group: byId("penalties") })]);
const quickKeys = Array.from({ length: 8 }, () => button("", (event) => choose(() => { shot.distance = event.currentTarget.dataset.distance; shot.offered = false; }), { group: byId("quick") }));
for (const key of ["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0", "⌫"]) button(key, () => press(key), { group: byId("pad"), label: { "⌫": "Delete the last digit", ".": "Decimal point" }[key] });
const drawGreens = greensKeys([byId("g-speed"), byId("g-bumps")], button, () => draft.other.greens, (line) => {
  if (line) draft.other.greens = line;
  else delete draft.other.greens;
  store();
  drawGreens();
});
let clubKeys = [];
let wordKeys = [];

function choose(change) {
  change();
  drawShot();
}
/** A row of words; of each group one at most. Made anew only where the lie asks for other words. */
function wordRow(id, groups) {
  const place = byId(id);
  const name = groups.map(([group, options]) => group + options.map(([word]) => word)).join();
  if (place.dataset.made !== name) {
    place.dataset.made = name;
    place.replaceChildren();
    wordKeys = wordKeys.filter(([, made]) => made.isConnected);
    for (const [, options] of groups) for (const [word, words] of options) {
      const made = button(words, () => choose(() => {
        const had = shot.words.includes(word);
        shot.words = shot.words.filter((one) => !options.some(([other]) => other === one));
        if (!had) shot.words.push(word);
      }), { group: place });
      wordKeys.push([word, made]);
    }
  }
}
function drawClubs() {
  const clubs = golfer()?.clubs ?? [];
  byId("clubs").replaceChildren();
  clubKeys = clubs.map((club) => [club, button(club, () => choose(() => { shot.club = shot.club === club ? "" : club; }), { group: byId("clubs") })]);
  byId("clubs").hidden = clubs.length === 0;
}

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
  const holes = byId("g-section").selectedOptions[0].textContent;
  byId("head-words").textContent = [course()?.name, `${tee()?.name ?? "no"} tees`, draft.head.date, holes].join(", ");
  drawGreens();
  drawClubs();
}

const holeKeys = new Map();
function drawHoleKeys() {
  const numbers = holeNumbers();
  if ([...holeKeys.keys()].join() !== numbers.join()) {
    holeKeys.clear();
    byId("holes").replaceChildren();
    for (const number of numbers) {
      const made = button(String(number), () => go(number), { group: byId("holes") });
      made.append(document.createElement("small"));
      holeKeys.set(number, made);
    }
  }
  for (const [number, made] of holeKeys) {
    const hole = draft.holes[number];
    const state = faults[number] ? "has a fault" : isDone(hole) ? `${strokesOf(hole)} strokes` : hole?.shots.length ? "begun" : "not entered";
    made.setAttribute("aria-label", `Hole ${number}, ${state}`);
    made.querySelector("small").textContent = faults[number] ? "!" : isDone(hole) ? String(strokesOf(hole)) : hole?.shots.length ? "…" : "·";
    made.classList.toggle("wrong", Boolean(faults[number]));
    pressed(made, number === draft.hole);
  }
  drawTotal();
}
function drawTotal() {
  const done = holeNumbers().filter((number) => isDone(draft.holes[number]));
  const strokes = done.reduce((sum, number) => sum + strokesOf(draft.holes[number]), 0);
  const pars = done.map(parOf);
  const over = pars.includes(null) ? null : strokes - pars.reduce((sum, par) => sum + par, 0);
  const said = over === null ? "" : over === 0 ? ", level par" : over > 0 ? `, ${over} over par` : `, ${-over} under par`;
  byId("total").textContent = done.length === 0 ? "No hole done yet" : `${strokes} after ${done.length} ${done.length === 1 ? "hole" : "holes"}${said}`;
}

const wordsOf = (one) => {
  const lie = LIES.find(([letter]) => letter === one.lie)[1].toLowerCase();
  const penalty = PENALTIES.find(([word]) => word === one.penalty)?.[1].toLowerCase() ?? one.penalty;
  return [`${lie}, ${one.distance} ${unitOf(one.lie)}`, one.club, ...one.words.map((word) => word.replaceAll("_", " ")), one.penalty && penalty].filter(Boolean).join(", ");
};

function drawHole() {
  const number = draft.hole;
  const hole = holeOf(number);
  const told = tellHole(number);
  const par = parOf(number);
  byId("hole-name").textContent = `Hole ${number}${par ? `, par ${par}` : ""}${told ? `, ${Math.round(told.length)} ${unitOf("T")}` : ""}`;
  const wrong = faults[number] ?? [];
  byId("hole-faults").hidden = wrong.length === 0;
  byId("hole-faults").replaceChildren(...wrong.map((words) => Object.assign(document.createElement("li"), { textContent: words })));
  byId("shots").replaceChildren(...hole.shots.map((one, place) => {
    const item = document.createElement("li");
    const made = button(wordsOf(one), () => edit(place), { group: item, label: `Shot ${place + 1}: ${wordsOf(one)}. Change it` });
    made.className = "plain";
    pressed(made, place === editing);
    return item;
  }));
  if (hole.done) byId("shots").append(Object.assign(document.createElement("li"), { className: "end", textContent: hole.pickedUp ? "picked up" : `holed: ${strokesOf(hole)}` }));
  byId("by-score").open = Boolean(hole.score) || draft.scoresOnly;
  byId("by-shots").hidden = Boolean(hole.score);
  byId("g-score").value = hole.score;
  byId("g-putts").value = hole.putts;
  drawShot();
}

function drawShot() {
  const hole = holeOf(draft.hole);
  shot ??= guessed(hole);
  const ended = hole.done && editing === null;
  const change = editing !== null;
  byId("asking").textContent = ended ? "This hole is done. Tap a shot to change it." : change ? `Shot ${editing + 1}: change what is wrong` : `Shot ${hole.shots.length + 1}: from where, and how far to the hole?`;
  byId("quick").hidden = ended || (shot.lie === "T" && hole.shots.length === 0);
  for (const id of ["lies", "pad", "more", "after", "readout"]) byId(id).hidden = ended;
  for (const id of ["next-shot", "holed", "picked-up"]) byId(id).hidden = ended || change;
  for (const id of ["change-shot", "remove-shot", "leave-shot"]) byId(id).hidden = !change;
  byId("undo").disabled = past.length === 0;
  byId("holed").textContent = sure === "holed" ? "Really holed from there?" : "Holed";
  for (const [letter, made] of lieKeys) pressed(made, shot.lie === letter);
  for (const [word, made] of penaltyKeys) pressed(made, shot.penalty === word);
  quickDistances(shot.lie, shotBefore(), places.metres).forEach((distance, place) => {
    quickKeys[place].textContent = String(distance);
    quickKeys[place].dataset.distance = String(distance);
    quickKeys[place].setAttribute("aria-label", `${distance} ${unitOf(shot.lie)}`);
    pressed(quickKeys[place], shot.distance === String(distance));
  });
  wordRow("finish", finishesOf(shot.lie));
  wordRow("details", detailsOf(shot.lie));
  for (const [word, made] of wordKeys) pressed(made, shot.words.includes(word));
  for (const [club, made] of clubKeys) pressed(made, shot.club === club);
  byId("distance").textContent = shot.distance || "–";
  byId("unit").textContent = unitOf(shot.lie);
  if (byId("g-club").value !== shot.club) byId("g-club").value = shot.club;
}

function drawAll() {
  if (!holeNumbers().includes(draft.hole)) draft.hole = holeNumbers()[0] ?? 1;
  drawHead();
  drawHoleKeys();
  drawHole();
}

// --- doing ------------------------------------------------------------------------------------------

function say(words, link) {
  byId("said").hidden = !words;
  byId("said").replaceChildren(words);
  if (link) byId("said").append(" ", Object.assign(document.createElement("a"), { href: link, textContent: "Sign in" }));
}
async function store() {
  const safe = await keep(STORE, draft);
  byId("kept").textContent = safe ? "Kept on this device until it is sent." : "This browser keeps nothing: send the round before you leave the page.";
}
function remember() {
  past.push(structuredClone({ holes: draft.holes, hole: draft.hole }));
  past = past.slice(-UNDO_STEPS);
}
function changed() {
  delete faults[draft.hole];
  draft.waiting = false;
  sure = "";
  store();
  drawHoleKeys();
  drawHole();
}
function go(number) {
  draft.hole = number;
  shot = null;
  editing = null;
  sure = "";
  store();
  drawHoleKeys();
  drawHole();
  byId("hole").scrollIntoView({ block: "start" });
  byId("hole-name").focus({ preventScroll: true });
}
function edit(place) {
  editing = place;
  shot = structuredClone(holeOf(draft.hole).shots[place]);
  shot.offered = true;
  drawHole();
}
/** The shot as told, or nothing and why. */
function taken() {
  const wrong = wrongDistance(shot, places.metres);
  say(wrong);
  if (wrong) return null;
  const { lie, distance, club, penalty, words, rest } = shot;
  return { lie, distance: String(Number(distance)), club: club.trim(), penalty, words, rest };
}
function take() {
  const told = taken();
  if (!told) return false;
  remember();
  holeOf(draft.hole).shots.push(told);
  shot = null;
  byId("head").open = false;
  return true;
}
function end(pickedUp) {
  Object.assign(holeOf(draft.hole), { done: true, pickedUp });
  const numbers = holeNumbers();
  const next = numbers[numbers.indexOf(draft.hole) + 1];
  changed();
  if (next) go(next);
  else say("That was the last hole. Send the round when it is complete.");
}
function press(key) {
  if (shot.offered && key !== "⌫") shot.distance = "";
  shot.offered = false;
  if (key === "⌫") shot.distance = shot.distance.slice(0, -1);
  else if (key !== "." || !shot.distance.includes(".")) shot.distance = (shot.distance + key).replace(/^0+(?=\d)/, "").slice(0, 5);
  drawShot();
}

async function sendRound() {
  const told = holeNumbers().map((number) => holeLine(number, draft.holes[number]));
  if (told.every((one) => one === null)) return say("No hole has been entered yet.");
  const open = holeNumbers().filter((number) => !isDone(draft.holes[number]));
  if (open.length && sure !== "send" && !draft.waiting) {
    sure = "send";
    return say(`${open.length === 1 ? `Hole ${open[0]} is` : `Holes ${open.join(", ")} are`} not complete. Tap again to send all the same.`);
  }
  sure = "";
  byId("send").disabled = true;
  byId("faults").hidden = true;
  say("Sending …");
  draft.waiting = true;
  await store();
  try {
    await answered(await send({ text: roundText(), key: draft.key, club: places.club, round: correcting?.id, version: correcting?.version }));
  } catch {
    say("No connection. The round stays on this device and is sent as soon as there is one.");
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
  if (answer.kind === "signed-out") return say("You are signed out. The round is kept here and is sent when you are back.", `${byId("guided").dataset.signIn}?next=${encodeURIComponent(location.pathname)}`);
  draft.waiting = false;
  await store();
  if (answer.kind === "changed") return say("Somebody changed this round since you opened it. Reload the page and correct it again.");
  if (answer.kind === "there-already") return say("An earlier version of this round was saved already. Look at your last rounds, and correct it there.");
  showFaults(answer.problem);
}
function showFaults(problem) {
  faults = {};
  const rest = [];
  let aboutHead = false;
  for (const one of problem.errors ?? [{ detail: problem.detail ?? problem.title }]) {
    const words = one.shot ? `Shot ${one.shot}: ${one.detail}` : one.detail;
    if (one.hole) (faults[one.hole] ??= []).push(words);
    else rest.push(words);
    aboutHead ||= Boolean(one.pointer) && !one.pointer.startsWith("/holes") && !one.hole;
  }
  const numbers = Object.keys(faults).map(Number).sort((a, b) => a - b);
  const list = document.createElement("ul");
  list.append(...rest.map((words) => Object.assign(document.createElement("li"), { textContent: words })));
  for (const number of numbers) {
    const item = document.createElement("li");
    item.append(button(`Hole ${number}`, () => go(number)), ` ${faults[number].join("; ")}`);
    list.append(item);
  }
  byId("faults").replaceChildren(Object.assign(document.createElement("p"), { textContent: "Nothing was saved yet:" }), list);
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
  shot = null;
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

byId("g-club").addEventListener("input", (event) => { shot.club = event.target.value.replace(/[^A-Za-z0-9.+-]/g, ""); });
byId("by-score").addEventListener("toggle", (event) => { if (!holeOf(draft.hole).score) draft.scoresOnly = event.target.open; });
byId("next-shot").addEventListener("click", () => { if (take()) changed(); });
byId("holed").addEventListener("click", () => {
  if (shot.penalty) return say("A holed shot takes no penalty: give the shot that followed.");
  if (shot.lie !== "G" && shot.lie !== "E" && sure !== "holed" && !wrongDistance(shot, places.metres)) {
    sure = "holed";
    return drawShot();
  }
  if (take()) end(false);
});
byId("picked-up").addEventListener("click", () => {
  if (shot.lie && shot.distance && !shot.offered && !take()) return;
  if (holeOf(draft.hole).shots.length) end(true);
});
byId("change-shot").addEventListener("click", () => {
  const told = taken();
  if (!told) return;
  remember();
  holeOf(draft.hole).shots[editing] = told;
  leave();
  changed();
});
byId("remove-shot").addEventListener("click", () => {
  remember();
  const hole = holeOf(draft.hole);
  hole.shots.splice(editing, 1);
  if (hole.shots.length === 0) Object.assign(hole, { done: false, pickedUp: false });
  leave();
  changed();
});
function leave() {
  editing = null;
  shot = null;
}
byId("leave-shot").addEventListener("click", () => { leave(); drawHole(); });
byId("undo").addEventListener("click", () => {
  const before = past.pop();
  if (!before) return;
  Object.assign(draft, before);
  leave();
  changed();
});
byId("score-done").addEventListener("click", () => {
  remember();
  const hole = holeOf(draft.hole);
  hole.score = byId("g-score").value;
  hole.putts = hole.score ? byId("g-putts").value : "";
  const numbers = holeNumbers();
  const next = numbers[numbers.indexOf(draft.hole) + 1];
  const told = hole.score;
  changed();
  if (told && next) go(next);
});
byId("send").addEventListener("click", sendRound);
byId("start-over").addEventListener("click", () => {
  if (sure !== "over") {
    sure = "over";
    return say("Tap again to throw this draft away.");
  }
  remember();
  draft = { ...(correcting ? fromRound() : fresh()), key: randomKey() };
  leave();
  faults = {};
  sure = "";
  store();
  say("Thrown away. Undo brings the holes back.");
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
