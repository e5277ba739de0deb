// Where the next shot is likely to be played from, and distances that make sense there.
import { t } from "../words.js";
import { newShot } from "./notation.js";

const LONG_SHOT = 225; // yards that a long shot goes, for guessing what it leaves
const REACHES_THE_GREEN = 230;
const YARDS_A_METRE = 1.09;

export const unitOf = (lie, metres) => (metres ? "m" : lie === "G" ? t("ft") : t("yd"));
const longest = (lie, metres) => (lie === "G" ? (metres ? 60 : 200) : metres ? 800 : 900);

/** From what was told of the hole so far; `length` is the hole's, in the shown unit. */
export function guessedShot(hole, length, metres) {
  const last = hole.shots.at(-1);
  if (!last) return newShot("T", length ? String(Math.round(length)) : "", true);
  if (last.penalty.endsWith("sd")) return newShot(last.lie, last.distance, true);
  if (last.penalty) return newShot("", "", false);
  return newShot(guessedLie(last, metres), "", false);
}
function guessedLie(last, metres) {
  if (last.lie === "G" || last.lie === "E") return "G";
  return Number(last.distance) * (metres ? YARDS_A_METRE : 1) <= REACHES_THE_GREEN ? "G" : "F";
}

/** Eight distances to tap: usual putts, usual chips, or about where a long shot from `last` leaves one. */
export function quickDistances(lie, last, metres) {
  if (lie === "G") return metres ? [0.5, 1, 2, 3, 5, 8, 12, 18] : [2, 3, 5, 8, 12, 18, 25, 40];
  const left = last ? Number(last.distance) - LONG_SHOT : 0;
  if (left < 40) return [5, 10, 15, 20, 30, 40, 60, 80];
  const middle = Math.round(left / 10) * 10;
  return [-40, -30, -20, -10, 0, 10, 20, 30].map((step) => Math.max(middle + step, 10));
}

/** What is wrong with a shot as told; nothing where nothing is. */
export function wrongDistance(shot, metres) {
  const distance = Number(shot.distance);
  if (!shot.lie || !(distance > 0)) return t("Choose the lie and give the distance to the hole first.");
  if (distance <= longest(shot.lie, metres)) return "";
  const most = `${longest(shot.lie, metres)} ${unitOf(shot.lie, metres)}`;
  return shot.lie === "G" ? t("No putt is longer than {most}.", { most }) : t("No shot is farther from the hole than {most}.", { most });
}
