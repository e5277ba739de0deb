// Greens as found, in two taps: how fast, how smooth. Kept as the notation's header line; what else it says stays.
import { t } from "../words.js";

const SPEEDS = [["slow", t("Slow")], ["medium", t("Medium")], ["fast", t("Fast")]];
const BUMPS = [["bumpy 1", t("Smooth")], ["bumpy 2", t("Nearly smooth")], ["bumpy 3", t("Some bumps")], ["bumpy 4", t("Bumpy")], ["bumpy 5", t("Very bumpy")]];
const partsOf = (line) => (line ?? "").split(",").map((part) => part.trim().toLowerCase()).filter(Boolean);
const isSpeed = (part) => SPEEDS.some(([word]) => word === part) || part.startsWith("speed ") || part.startsWith("stimpmeter ");
const isBumps = (part) => part.startsWith("bumpy ");

/** Fills the two groups with keys; gives what draws them. ``line`` reads the header, ``write`` keeps another. */
export function greensKeys(groups, button, line, write) {
  const keys = [[SPEEDS, isSpeed], [BUMPS, isBumps]].flatMap(([options, ofKind], row) => options.map(([word, words]) => {
    const tapped = () => {
      const parts = partsOf(line());
      const others = parts.filter((part) => !ofKind(part));
      write((parts.includes(word) ? others : [...others, word]).join(", "));
    };
    return [word, button(words, tapped, { group: groups[row] })];
  }));
  return () => {
    for (const [word, made] of keys) made.setAttribute("aria-pressed", String(partsOf(line()).includes(word)));
  };
}
