// What scripts say, in the language of the page, which brings the words along: they are there without a connection too.

const WORDS = JSON.parse(document.getElementById("script-words").textContent);
const MARK = (1.5).toLocaleString(document.documentElement.lang).charAt(1); // decimal point or comma
const filled = (sentence, values) => sentence.replace(/\{(\w+)\}/g, (whole, name) => values[name] ?? whole);

/** A sentence by its English words, with values in place of what stands between braces. */
export const t = (english, values = {}) => filled(WORDS.one[english] ?? english, values);
/** So many of something: `one` is the English of one of them, which names the pair; {n} is the number. */
export const several = (number, one, values = {}) => filled(WORDS.several[one][number === 1 ? 0 : 1], { n: number, ...values });
/** A number as the reader's language writes it; it is kept and sent with a point. */
export const shown = (number) => String(number).replace(".", MARK);
/** A name within a sentence; only English writes it small. */
export const inside = (name) => (document.documentElement.lang.startsWith("en") ? name.toLowerCase() : name);
