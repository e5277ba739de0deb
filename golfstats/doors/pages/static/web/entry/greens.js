// Greens as found, in two taps: how fast, how smooth. Kept as the notation's header line; what else it says stays.
const SPEEDS = [["slow", "Slow"], ["medium", "Medium"], ["fast", "Fast"]];
const BUMPS = [["bumpy 1", "Smooth"], ["bumpy 2", "Nearly smooth"], ["bumpy 3", "Some bumps"], ["bumpy 4", "Bumpy"], ["bumpy 5", "Very bumpy"]];
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
