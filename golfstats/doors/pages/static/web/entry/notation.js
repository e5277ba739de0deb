// The compact notation: from a round's text to what the pad edits, and back. What the pad does not know is kept as it is.
import { t } from "../words.js";

export const LIES = [["T", t("Tee")], ["F", t("Fairway")], ["R", t("Rough")], ["S", t("Sand")], ["C", t("Recovery")], ["E", t("Fringe")], ["G", t("Green")], ["P", t("Penalty area")]];
export const PENALTIES = [["", t("No penalty")], ["1sd", t("Stroke and distance")], ["1ld", t("Lateral drop")], ["1un", t("Unplayable")]];

// One optional row a shot: words of the notation by what they are about; of each group one.
const AFTER_A_SHOT = [["side", [["left", t("left")], ["right", t("right")]]], ["depth", [["short", t("short")], ["long", t("long")]]], ["sided", [["short-sided", t("short-sided")]]]];
const AFTER_A_PUTT = [["side", [["low", t("low")], ["high", t("high")]]], ["depth", [["short", t("short")], ["long", t("past")]]], ["fault", [["read", t("read")], ["line", t("line")], ["pace", t("pace")]]]];
const OF_A_LIE = [["quality", [["good", t("good lie")], ["poor", t("poor lie")], ["plugged", t("plugged")]]]];
const OF_A_PUTT = [["break", [["straight", t("straight")], ["left_to_right", t("breaks right")], ["right_to_left", t("breaks left")]]]];
export const finishesOf = (lie) => (lie === "G" ? AFTER_A_PUTT : AFTER_A_SHOT);
export const detailsOf = (lie) => (lie === "G" ? OF_A_PUTT : OF_A_LIE);
const WORDS = new Set([AFTER_A_SHOT, AFTER_A_PUTT, OF_A_LIE, OF_A_PUTT].flat().flatMap(([, options]) => options.map(([word]) => word)));
const KEYED = /=|^#|^not-/;
const OTHER_WORDS = new Set(["full", "part", "calm", "into", "helping", "from_left", "from_right", "level", "uphill", "downhill", "sidehill"]);

export const emptyHole = () => ({ shots: [], done: false, pickedUp: false, score: "", putts: "", tail: [] });
export const newShot = (lie = "", distance = "", offered = false) => ({ lie, distance, club: "", penalty: "", words: [], rest: [], offered });

function readShot(word) {
  const found = /^([TFRSCEGP])([\d.]+)(?:\(([^)]*)\))?(?:\+(\w+))?$/.exec(word);
  if (!found) return null;
  const shot = newShot(found[1], found[2]);
  shot.penalty = found[4] ?? "";
  for (const detail of (found[3] ?? "").split(",").filter(Boolean)) {
    if (detail.startsWith("club=")) shot.club = detail.slice(5);
    else if (WORDS.has(detail)) shot.words.push(detail);
    else if (KEYED.test(detail) || OTHER_WORDS.has(detail)) shot.rest.push(detail);
    else shot.club = detail;
  }
  return shot;
}

function readHole(words) {
  const hole = emptyHole();
  for (const word of words) {
    const shot = readShot(word);
    const score = /^=(\d+)(?:\/(\d+))?$/.exec(word);
    const up = /^x(\d*)$/.exec(word);
    if (shot) hole.shots.push(shot);
    else if (up) Object.assign(hole, { pickedUp: true, tail: up[1] ? [...hole.tail, word] : hole.tail });
    else if (score && hole.shots.length === 0) Object.assign(hole, { score: score[1], putts: score[2] ?? "" });
    else if (!score) hole.tail.push(word);
  }
  hole.done = hole.shots.length > 0;
  return hole;
}

/** A round's text as what the pad edits: headers by name, holes by number. */
export function readRound(text) {
  const head = {};
  const holes = {};
  for (const line of text.split("\n").map((one) => one.trim()).filter(Boolean)) {
    const header = /^([a-z]+):\s*(.*)$/.exec(line);
    if (header) head[header[1]] = header[2];
    else {
      const [number, ...words] = line.split(/\s+/);
      holes[Number(number)] = readHole(words);
    }
  }
  return { head, holes };
}

export function shotWord(shot) {
  const rest = shot.rest.filter((one) => !shot.words.some((word) => one === `not-${word}`));
  const details = [...(shot.club ? [`club=${shot.club}`] : []), ...shot.words, ...rest];
  return `${shot.lie}${shot.distance}${details.length ? `(${details.join(",")})` : ""}${shot.penalty ? `+${shot.penalty}` : ""}`;
}

/** A hole's line; nothing for a hole of which nothing is told. */
export function holeLine(number, hole) {
  if (!hole) return null;
  const facts = hole.tail.filter((word) => !word.startsWith("x"));
  if (hole.score) return [number, `=${hole.score}${hole.putts === "" ? "" : `/${hole.putts}`}`, ...facts].join(" ");
  if (hole.shots.length === 0) return null;
  const up = hole.pickedUp ? [hole.tail.find((word) => word.startsWith("x")) ?? "x"] : [];
  return [number, ...hole.shots.map(shotWord), ...up, ...facts].join(" ");
}

/** A draft as the text that is sent, with the holes of these numbers. */
export function writeRound(draft, tee, numbers) {
  const { head } = draft;
  const lines = [`course: ${head.course}`, `tee: ${tee}`, `date: ${head.date}`];
  if (head.player) lines.unshift(`player: ${head.player}`);
  if (head.section !== "18") lines.push(`section: ${head.section}`);
  if (head.time) lines.push(`time: ${head.time}`);
  if (!head.counting) lines.push("counting: no");
  if (head.competition) lines.push("competition: yes");
  lines.push(...Object.entries(draft.other).map(([name, value]) => `${name}: ${value}`));
  return [...lines, ...numbers.map((number) => holeLine(number, draft.holes[number])).filter(Boolean)].join("\n") + "\n";
}

export function strokesOf(hole) {
  if (hole.score) return Number(hole.score);
  return hole.shots.reduce((sum, one) => sum + 1 + (one.penalty ? Number(one.penalty[0]) : 0), 0);
}

export const isDone = (hole) => Boolean(hole && (hole.done || hole.score));
