// The pad that tells one hole, shot by shot or by its score. One page has one pad: a whole round's, or that of a round
// which is posted hole by hole. Buttons are made once and only change what they say, so that the focus stays where it was.
import { inside, several, shown, t } from "../words.js";
import { guessedShot, quickDistances, unitOf as unitOfLie, wrongDistance } from "./guesses.js";
import { detailsOf, emptyHole, finishesOf, isDone, LIES, PENALTIES, strokesOf } from "./notation.js";
import { sayingField } from "./saying.js";

export const byId = (id) => document.getElementById(id);
const UNDO_STEPS = 40;

/**
 * What the page says of itself: draft() with holes, hole and scoresOnly; numbers() of its holes; tellHole(n), parOf(n),
 * clubs(), clubWords by club, faults() by hole, metres; store(), changed(n), told(), and what is said after the last hole.
 */
let page;
let shot = null; // the shot being told
let editing = null; // its place among the hole's shots, where it is a correction
let adding = false; // whether it comes before the shot of that place instead of replacing it
let past = []; // what undo goes back to
let sure = ""; // what a second tap confirms
export const usePad = (given) => { page = given; };

export const holeOf = (number) => (page.draft().holes[number] ??= emptyHole());
const unitOf = (lie) => unitOfLie(lie, page.metres);
const guessed = (hole) => guessedShot(hole, page.tellHole(page.draft().hole)?.length, page.metres);
const shotBefore = () => holeOf(page.draft().hole).shots.at(editing === null ? -1 : editing - 1);

// --- drawing ----------------------------------------------------------------------------------------

export function button(words, press, { label, group } = {}) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = words;
  if (label) made.setAttribute("aria-label", label);
  if (group) group.append(made);
  made.addEventListener("click", press);
  return made;
}
const pressed = (made, is) => made.setAttribute("aria-pressed", String(is));

const lieKeys = LIES.map(([letter, words]) => {
  const made = button("", () => choose(() => { shot.lie = letter; shot.words = []; }), { label: words, group: byId("lies") });
  made.append(Object.assign(document.createElement("b"), { textContent: letter }), Object.assign(document.createElement("small"), { textContent: words }));
  return [letter, made];
});
const penaltyKeys = PENALTIES.map(([word, words]) => [word, button(words, () => choose(() => { shot.penalty = word; }), { group: byId("penalties") })]);
const quickKeys = Array.from({ length: 8 }, () => button("", (event) => choose(() => { shot.distance = event.currentTarget.dataset.distance; shot.offered = false; }), { group: byId("quick") }));
for (const key of ["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0", "⌫"]) button(shown(key), () => press(key), { group: byId("pad"), label: { "⌫": t("Delete the last digit"), ".": t("Decimal point") }[key] });
// Who has a keyboard types the distance wherever the focus stands on the pad, but for the fields that take words.
byId("by-shots").addEventListener("keydown", (event) => {
  if (event.target.matches("input, select, textarea") || event.ctrlKey || event.metaKey || event.altKey) return;
  const key = { Backspace: "⌫", ",": "." }[event.key] ?? event.key;
  if (!/^[0-9.⌫]$/.test(key)) return;
  event.preventDefault();
  press(key);
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
export function drawClubs() {
  const clubs = page.clubs();
  byId("clubs").replaceChildren();
  clubKeys = clubs.map((club) => [club, button(clubName(club), () => choose(() => { shot.club = shot.club === club ? "" : club; }), { group: byId("clubs") })]);
  byId("clubs").hidden = clubs.length === 0;
}

const clubName = (club) => page.clubWords?.[club] ?? club; // a page that a phone kept may have none

const holeKeys = new Map();
export function drawHoleKeys() {
  const numbers = page.numbers();
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
    const hole = page.draft().holes[number];
    const state = page.faults()[number] ? t("has a fault") : isDone(hole) ? several(strokesOf(hole), "{n} stroke") : hole?.shots.length ? t("begun") : t("not entered");
    made.setAttribute("aria-label", t("Hole {number}, {state}", { number, state }));
    made.querySelector("small").textContent = page.faults()[number] ? "!" : isDone(hole) ? String(strokesOf(hole)) : hole?.shots.length ? "…" : "·";
    made.classList.toggle("wrong", Boolean(page.faults()[number]));
    pressed(made, number === page.draft().hole);
  }
  drawTotal();
}
function drawTotal() {
  const done = page.numbers().filter((number) => isDone(page.draft().holes[number]));
  const strokes = done.reduce((sum, number) => sum + strokesOf(page.draft().holes[number]), 0);
  const pars = done.map(page.parOf);
  const over = pars.includes(null) ? null : strokes - pars.reduce((sum, par) => sum + par, 0);
  const toPar = over === null ? [] : [over === 0 ? t("level par") : over > 0 ? t("{over} over par", { over }) : t("{over} under par", { over: -over })];
  byId("total").textContent = done.length === 0 ? t("No hole done yet") : [several(done.length, "{strokes} after {n} hole", { strokes }), ...toPar].join(", ");
}

const wordsOf = (one) => {
  const lie = inside(LIES.find(([letter]) => letter === one.lie)[1]);
  const penalty = PENALTIES.find(([word]) => word === one.penalty)?.[1];
  const words = new Map([...finishesOf(one.lie), ...detailsOf(one.lie)].flatMap(([, options]) => options));
  return [lie, `${shown(one.distance)} ${unitOf(one.lie)}`, clubName(one.club), ...one.words.map((word) => words.get(word) ?? word), one.penalty && (penalty ? inside(penalty) : one.penalty)].filter(Boolean).join(", ");
};

export function drawHole() {
  const number = page.draft().hole;
  const hole = holeOf(number);
  const told = page.tellHole(number);
  const par = page.parOf(number);
  byId("hole-name").textContent = [t("Hole {number}", { number }), par && t("par {par}", { par }), told && `${Math.round(told.length)} ${unitOf("T")}`].filter(Boolean).join(", ");
  const wrong = page.faults()[number] ?? [];
  byId("hole-faults").hidden = wrong.length === 0;
  byId("hole-faults").replaceChildren(...wrong.map((words) => Object.assign(document.createElement("li"), { textContent: words })));
  byId("shots").replaceChildren(...hole.shots.map((one, place) => {
    const item = document.createElement("li");
    const made = button(wordsOf(one), () => edit(place), { group: item, label: t("Shot {number}: {words}. Change it", { number: place + 1, words: wordsOf(one) }) });
    made.className = "plain";
    pressed(made, place === editing && !adding);
    return item;
  }));
  if (hole.done) byId("shots").append(Object.assign(document.createElement("li"), { className: "end", textContent: hole.pickedUp ? t("picked up") : t("holed: {strokes}", { strokes: strokesOf(hole) }) }));
  byId("by-score").open = Boolean(hole.score) || page.draft().scoresOnly;
  byId("by-shots").hidden = Boolean(hole.score);
  byId("g-score").value = hole.score;
  byId("g-putts").value = hole.putts;
  inWords.draw(hole);
  drawShot();
}

function drawShot() {
  const hole = holeOf(page.draft().hole);
  shot ??= guessed(hole);
  const ended = hole.done && editing === null;
  const change = editing !== null;
  byId("asking").textContent = ended ? t("This hole is done. Tap a shot to change it.") : adding ? t("A shot before shot {number}: from where, and how far to the hole?", { number: editing + 1 }) : change ? t("Shot {number}: change what is wrong", { number: editing + 1 }) : t("Shot {number}: from where, and how far to the hole?", { number: hole.shots.length + 1 });
  byId("quick").hidden = ended || (shot.lie === "T" && hole.shots.length === 0);
  for (const id of ["lies", "pad", "more", "after", "readout"]) byId(id).hidden = ended;
  for (const id of ["next-shot", "holed", "picked-up"]) byId(id).hidden = ended || change;
  inWords.hide(ended || change);
  for (const id of ["change-shot", "leave-shot"]) byId(id).hidden = !change;
  for (const id of ["shot-before", "remove-shot"]) byId(id).hidden = !change || adding;
  byId("add-shot").hidden = !ended;
  byId("undo").disabled = past.length === 0;
  byId("undo").hidden = change; // what is being changed is left as it was by a button of its own
  byId("holed").textContent = sure === "holed" ? t("Really holed from there?") : t("Holed");
  for (const [letter, made] of lieKeys) pressed(made, shot.lie === letter);
  for (const [word, made] of penaltyKeys) pressed(made, shot.penalty === word);
  quickDistances(shot.lie, shotBefore(), page.metres).forEach((distance, place) => {
    quickKeys[place].textContent = shown(distance);
    quickKeys[place].dataset.distance = String(distance);
    quickKeys[place].setAttribute("aria-label", `${shown(distance)} ${unitOf(shot.lie)}`);
    pressed(quickKeys[place], shot.distance === String(distance));
  });
  wordRow("finish", finishesOf(shot.lie));
  wordRow("details", detailsOf(shot.lie));
  for (const [word, made] of wordKeys) pressed(made, shot.words.includes(word));
  for (const [club, made] of clubKeys) pressed(made, shot.club === club);
  byId("distance").textContent = shown(shot.distance || "–");
  byId("unit").textContent = unitOf(shot.lie);
  if (byId("g-club").value !== shot.club) byId("g-club").value = shot.club;
}

export function say(words, link) {
  byId("said").hidden = !words;
  byId("said").replaceChildren(words);
  if (link) byId("said").append(" ", Object.assign(document.createElement("a"), { href: link, textContent: t("Sign in") }));
}

// --- doing ------------------------------------------------------------------------------------------

/** `half`: a shot that is being told and would be lost. */
export function remember(half = null) {
  past.push(structuredClone({ half, holes: page.draft().holes, hole: page.draft().hole }));
  past = past.slice(-UNDO_STEPS);
}
function changed() {
  sure = "";
  page.changed(page.draft().hole);
  drawHoleKeys();
  drawHole();
}
export function go(number) {
  page.draft().hole = number;
  leave();
  sure = "";
  page.store();
  drawHoleKeys();
  drawHole();
  showHole();
}
function showHole() {
  byId("hole").scrollIntoView({ block: "start" });
  byId("hole-name").focus({ preventScroll: true });
}
function edit(place) {
  editing = place;
  adding = false;
  shot = structuredClone(holeOf(page.draft().hole).shots[place]);
  shot.offered = true;
  drawHole();
}
/** The shot as told, or nothing and why. */
function taken() {
  const wrong = wrongDistance(shot, page.metres);
  say(wrong);
  return wrong ? null : asKept(shot);
}
const asKept = ({ lie, distance, club, penalty, words, rest }) => ({ lie, distance: String(Number(distance)), club: club.trim(), penalty, words, rest });
function take() {
  const told = taken();
  if (!told) return false;
  remember();
  holeOf(page.draft().hole).shots.push(told);
  shot = null;
  page.told?.();
  return true;
}
function end(pickedUp) {
  Object.assign(holeOf(page.draft().hole), { done: true, pickedUp });
  const numbers = page.numbers();
  const next = numbers[numbers.indexOf(page.draft().hole) + 1];
  changed();
  if (next) go(next);
  else say(page.lastDone);
}
function press(key) {
  if (shot.offered && key !== "⌫") shot.distance = "";
  shot.offered = false;
  if (key === "⌫") shot.distance = shot.distance.slice(0, -1);
  else if (key !== "." || !shot.distance.includes(".")) shot.distance = (shot.distance + key).replace(/^0+(?=\d)/, "").slice(0, 5);
  drawShot();
}

/** A hole in words, or its rest, after the shots that are there; what is wrong with it, if anything. */
function takeWords({ shots, end: ending }) {
  const hole = holeOf(page.draft().hole);
  const whole = [...hole.shots, ...shots];
  if (!whole.length || (!shots.length && !ending)) return t("There is no shot in it yet: say from where, and how far to the hole.");
  const wrong = whole.map((one) => wrongDistance(one, page.metres));
  const place = wrong.findIndex(Boolean);
  if (place >= 0) return t("Shot {number}: {fault}", { number: place + 1, fault: wrong[place] });
  if (ending === "holed" && whole.at(-1).penalty) return t("A holed shot takes no penalty: give the shot that followed.");
  remember(shot);
  hole.shots.push(...shots.map(asKept));
  hole.said = "";
  shot = null;
  say("");
  page.told?.();
  if (ending) end(ending === "up");
  else changed();
  showHole();
  return "";
}
const inWords = sayingField({
  hole: () => holeOf(page.draft().hole),
  metres: () => page.metres,
  clubs: () => Object.fromEntries(page.clubs().flatMap((club) => [[club, club], [clubName(club), club]])),
  wordsOf,
  strokesOf,
  store: () => page.store(),
  take: takeWords,
});

// --- wiring -----------------------------------------------------------------------------------------

byId("g-club").addEventListener("input", (event) => { shot.club = event.target.value.replace(/[^A-Za-z0-9.+-]/g, ""); });
byId("by-score").addEventListener("toggle", (event) => { if (!holeOf(page.draft().hole).score) page.draft().scoresOnly = event.target.open; });
byId("next-shot").addEventListener("click", () => { if (take()) changed(); });
byId("holed").addEventListener("click", () => {
  if (shot.penalty) return say(t("A holed shot takes no penalty: give the shot that followed."));
  if (shot.lie !== "G" && shot.lie !== "E" && sure !== "holed" && !wrongDistance(shot, page.metres)) {
    sure = "holed";
    return drawShot();
  }
  if (take()) end(false);
});
byId("picked-up").addEventListener("click", () => {
  if (shot.lie && shot.distance && !shot.offered && !take()) return;
  if (holeOf(page.draft().hole).shots.length) end(true);
});
byId("change-shot").addEventListener("click", () => {
  const told = taken();
  if (!told) return;
  remember();
  holeOf(page.draft().hole).shots.splice(editing, adding ? 0 : 1, told);
  leave();
  changed();
});
byId("shot-before").addEventListener("click", () => {
  const hole = holeOf(page.draft().hole);
  adding = true;
  shot = guessed({ ...hole, shots: hole.shots.slice(0, editing) });
  drawHole();
  byId("hole-name").focus({ preventScroll: true });
});
byId("add-shot").addEventListener("click", () => {
  remember();
  Object.assign(holeOf(page.draft().hole), { done: false, pickedUp: false });
  leave();
  changed();
  byId("hole-name").focus({ preventScroll: true });
});
byId("remove-shot").addEventListener("click", () => {
  remember();
  const hole = holeOf(page.draft().hole);
  hole.shots.splice(editing, 1);
  if (hole.shots.length === 0) Object.assign(hole, { done: false, pickedUp: false });
  leave();
  changed();
});
export function leave() {
  editing = null;
  adding = false;
  shot = null;
}
byId("leave-shot").addEventListener("click", () => { leave(); drawHole(); });
byId("undo").addEventListener("click", () => {
  if (past.length === 0) return;
  const { half, ...before } = past.pop();
  Object.assign(page.draft(), before);
  leave();
  shot = half;
  changed();
});
byId("score-done").addEventListener("click", () => {
  remember();
  const hole = holeOf(page.draft().hole);
  hole.score = byId("g-score").value;
  hole.putts = hole.score ? byId("g-putts").value : "";
  const numbers = page.numbers();
  const next = numbers[numbers.indexOf(page.draft().hole) + 1];
  const told = hole.score;
  changed();
  if (told && next) go(next);
});
