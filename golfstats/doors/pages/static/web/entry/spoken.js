// A hole as somebody says or types it ("tee 412, fairway 155 seven iron, green 18 feet, green 2 holed"), read as its shots.
// Words in, shots out, nothing of a page. What is not understood comes back word by word and is left out; nothing is guessed.
import { bookFor, keyOf } from "./spoken_words.js";

const LONGEST = 6; // words of a phrase or of a number
const YARDS = { yd: 1, ft: 1 / 3, in: 1 / 36, m: 1 / 0.9144, cm: 1 / 91.44 };

function wordsOf(text, decimalComma) {
  const plain = text.replace(/(\d):(\d\d)(?!\d)/g, "$1$2"); // some phones write "four twelve" as a time
  const marked = decimalComma ? plain.replace(/(\d),(\d)/g, "$1.$2") : plain;
  return marked.match(/\d+(?:\.\d+)?|\p{L}+|\n|[^\s-]/gu) ?? [];
}

/** What begins here: the longest that is known, its kind, its value, and its words. */
function foundAt(said, at, book) {
  for (let size = Math.min(LONGEST, said.length - at); size > 0; size -= 1) {
    const [kind, value] = book.get(keyOf(said.slice(at, at + size).join(""))) ?? [];
    if (kind && !(kind === "number" && cutsAClub(said, at, size, book))) return { kind, value, words: said.slice(at, at + size) };
  }
  const words = [said[at]];
  if (/^\d/.test(said[at])) return { kind: "number", value: Number(said[at]), words };
  return { kind: /^[,;.!?\n]$/.test(said[at]) ? "pause" : "unclear", words };
}
/** Whether the last words of a number are a club's: in "one fifty seven iron" they are. */
function cutsAClub(said, at, size, book) {
  for (let place = at + 1; place < at + size; place += 1) for (let end = at + size + 1; end <= place + LONGEST; end += 1) {
    if (book.get(keyOf(said.slice(place, end).join("")))?.[0] === "club") return true;
  }
  return false;
}
function partsOf(said, book) {
  const parts = [];
  for (let at = 0; at < said.length; at += parts.at(-1).words.length) parts.push(foundAt(said, at, book));
  return parts;
}

/** Numbers with their units; what only looks like a distance (hole 3, two putts) is not understood. */
function joined(parts) {
  const whole = [];
  for (let at = 0; at < parts.length; at += 1) {
    const [part, next] = [parts[at], parts[at + 1]];
    const both = () => { at += 1; return [...part.words, ...next.words]; };
    if (part.kind === "one") whole.push(next?.kind === "unit" ? { kind: "distance", value: { number: 1, unit: next.value }, words: both() } : { ...part, kind: "filler" });
    else if (part.kind === "counted") whole.push(next?.kind === "number" ? { kind: "unclear", words: both() } : { ...part, kind: "filler" });
    else if (part.kind !== "number") whole.push(part);
    else if (next?.kind === "count") whole.push({ kind: "unclear", words: both() });
    else if (next?.kind === "unit") whole.push({ kind: "distance", value: { number: part.value, unit: next.value }, words: both() });
    else whole.push({ kind: "distance", value: { number: part.value }, words: part.words });
  }
  return whole;
}

function inUnit({ number, unit }, lie, metres) {
  const asked = metres ? "m" : lie === "G" ? "ft" : "yd";
  return String(unit && unit !== asked ? Math.round((number * YARDS[unit] * 10) / YARDS[asked]) / 10 : number);
}

/** The shots so far, and what waits for the lie that it belongs to: "driver from the tee". */
class Telling {
  shots = [];
  end = "";
  left = []; // words that were not understood
  waits = [];
  named = false; // whether this part of the sentence has a lie

  lie({ value }) {
    const last = this.shots.at(-1);
    if (this.named && last.lie === value && !last.distance) return; // "green, 18 foot putt" without its comma
    this.shots.push({ lie: value });
    this.named = true;
    this.handOver();
  }
  distance(part) { this.detail(part); }
  club(part) { this.detail(part); }
  /** Of the shot whose lie was named, unless that has its own already: then of the next. */
  detail(part) {
    const last = this.shots.at(-1);
    if (this.named && !last[part.kind]) last[part.kind] = part.value;
    else this.waits.push(part);
  }
  handOver() {
    const last = this.shots.at(-1);
    for (const part of this.waits) {
      if (last && !last[part.kind]) last[part.kind] = part.value;
      else this.unclear(part);
    }
    this.waits = [];
  }
  penalty(part) {
    const into = this.shots.at(-1);
    if (into?.lie === "P" && !into.distance && this.shots.length > 1) this.shots.pop(); // "water, drop": nothing was played from there
    const last = this.shots.at(-1);
    if (!last || last.penalty || (last.lie === "P" && part.value !== "1sd")) this.unclear(part);
    else last.penalty = part.value;
  }
  ended(part) {
    if (this.end && this.end !== part.value) this.unclear(part);
    else this.end = part.value;
  }
  pause() {
    this.handOver();
    this.named = false;
  }
  unclear({ words }) { this.left.push(words.join(" ")); }
}

/** Shots with lie, distance in the unit of the page, club and penalty; how the hole ended; and the words left out. `own` has a player's clubs by their names. */
export function readSpoken(text, { language, metres, own = {} }) {
  const { book: usual, decimalComma } = bookFor(language);
  const clubs = Object.entries(own).map(([name, club]) => [keyOf(name), ["club", club]]);
  const book = new Map([...clubs.filter(([key]) => /\p{L}{2}/u.test(key)), ...usual]);
  const telling = new Telling();
  for (const part of joined(partsOf(wordsOf(text, decimalComma), book))) {
    if (part.kind === "end") telling.ended(part);
    else if (part.kind === "unit" || part.kind === "count") telling.unclear(part);
    else if (part.kind !== "filler") telling[part.kind](part);
  }
  telling.pause();
  const shots = telling.shots.map(({ lie, distance, club = "", penalty = "" }) => ({ lie, distance: distance ? inUnit(distance, lie, metres) : "", club, penalty }));
  return { shots, end: telling.end, left: telling.left };
}
