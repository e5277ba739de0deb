// What golfers of each language call things, for reading a hole that was said (spoken.js). A phrase is known without its blanks,
// so that "sand wedge" and "Sandwedge" are one.

const ENGLISH = {
  ones: "one two three four five six seven eight nine",
  teens: "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen",
  tens: "twenty thirty forty fifty sixty seventy eighty ninety",
  both: (ten, one) => ten + one,
  zeros: ["oh", "o", "zero"],
  hundred: "hundred",
  noHundred: ["hundred", ""], // "four twelve" is said for 412
  firsts: ["", "a", "one"],
  half: "andahalf",
  point: "point",
  decimalComma: false,
  phrases: [
    ["lie", "T", "tee, tee box, teeing ground, tee shot"],
    ["lie", "F", "fairway"],
    ["lie", "R", "rough, semi rough, first cut"],
    ["lie", "S", "sand, bunker, fairway bunker, greenside bunker, green side bunker, sand trap"],
    ["lie", "C", "trees, tree, woods, recovery"],
    ["lie", "E", "fringe, apron, collar"],
    ["lie", "G", "green, putt, putting green"],
    ["lie", "P", "penalty, penalty area, water, water hazard, hazard"],
    ["penalty", "1sd", "out of bounds, ob, stroke and distance, lost ball, ball lost, lost"],
    ["penalty", "1ld", "drop, dropped, lateral drop, penalty drop, took a drop"],
    ["penalty", "1un", "unplayable, unplayable lie"],
    ["end", "holed", "holed, holed out, holed it, in the hole, made it, sunk it"],
    ["end", "up", "picked up, pick up, picked it up"],
    ["unit", "yd", "yard, yards, yd, yds"],
    ["unit", "ft", "foot, feet, ft, ', ’, ′"],
    ["unit", "m", "metre, metres, meter, meters, m"],
    ["unit", "in", "inch, inches, \", ″"],
    ["unit", "cm", "cm, centimetre, centimetres, centimeter, centimeters"],
    ["club", "driver", "driver, one wood, 1 wood"],
    ["club", "putter", "putter"],
    ["club", "pitching-wedge", "pitching wedge, pw"],
    ["club", "gap-wedge", "gap wedge, gw"],
    ["club", "sand-wedge", "sand wedge, sw"],
    ["club", "lob-wedge", "lob wedge, lw"],
    ["counted", "", "hole, par, shot, number"], // the number after them is no distance
    ["count", "", "putts, shots, strokes, penalties"], // nor is the one before these
    ["one", "", "a, an"],
    ["pause", "", "then, and then"],
    ["filler", "", "the, from, on, in, into, at, of, off, with, my, hit, to, for, and, i, was, is, it, ball, go, took, um, uh, free drop, free relief"],
    ["unclear", "", "penalty stroke, penalty strokes, one putt, two putt, three putt, 1 putt, 2 putt, 3 putt"],
  ],
  kinds: { wood: ["wood", "w"], hybrid: ["hybrid", "rescue", "h"], iron: ["iron", "i"] },
  numbered: (number, kind) => [number + kind, kind.length > 1 ? kind + number : ""],
  lofted: ["degree", "degrees", "degree wedge", "degrees wedge", "wedge", "°"],
};

const GERMAN = {
  ones: "eins zwei drei vier fünf sechs sieben acht neun",
  teens: "zehn elf zwölf dreizehn vierzehn fünfzehn sechzehn siebzehn achtzehn neunzehn",
  tens: "zwanzig dreißig vierzig fünfzig sechzig siebzig achtzig neunzig",
  both: (ten, one) => `${one === "eins" ? "ein" : one}und${ten}`,
  zeros: ["null"],
  hundred: "hundert",
  noHundred: ["hundert"],
  firsts: ["", "ein", "eins"],
  half: "einhalb",
  point: "komma",
  decimalComma: true,
  phrases: [
    ["lie", "T", "Abschlag, Tee"],
    ["lie", "F", "Fairway"],
    ["lie", "R", "Rough, Semirough"],
    ["lie", "S", "Sand, Bunker, Fairwaybunker, Grünbunker"],
    ["lie", "C", "Bäume, Bäumen, Baum, Wald, Notlage, Recovery"],
    ["lie", "E", "Vorgrün, Fringe"],
    ["lie", "G", "Grün, Green, Putt"],
    ["lie", "P", "Penalty Area, Penalty, Wasser, Wasserhindernis"],
    ["penalty", "1sd", "im Aus, ins Aus, Aus geschlagen, out of bounds, Schlag und Distanz, Ball verloren, verloren, verlorener Ball"],
    ["penalty", "1ld", "Drop, gedroppt, droppen, seitlich gedroppt, seitliche Erleichterung"],
    ["penalty", "1un", "unspielbar, unspielbarer Ball"],
    ["end", "holed", "eingelocht, gelocht, im Loch, ins Loch, versenkt"],
    ["end", "up", "aufgenommen, Ball aufgenommen, aufgehoben"],
    ["unit", "yd", "Yard, Yards, yd"],
    ["unit", "ft", "Fuß, ft"],
    ["unit", "m", "Meter, Metern, m"],
    ["unit", "in", "Zoll"],
    ["unit", "cm", "cm, Zentimeter, Zentimetern"],
    ["club", "driver", "Driver, Holz 1, Holz eins"],
    ["club", "putter", "Putter"],
    ["club", "pitching-wedge", "Pitching Wedge, pw"],
    ["club", "gap-wedge", "Gap Wedge, gw"],
    ["club", "sand-wedge", "Sand Wedge, sw"],
    ["club", "lob-wedge", "Lob Wedge, lw"],
    ["counted", "", "Loch, Par, Schlag, Nummer"],
    ["count", "", "Putts, Schläge, Schlägen, Strafschlag, Strafschläge"],
    ["one", "", "ein, eine, einen"],
    ["pause", "", "dann, und dann, danach"],
    ["filler", "", "von, vom, der, die, das, dem, den, aus, auf, im, in, ins, am, an, mit, und, zum, zur, bis, noch, ich, war, liegt, einem, einer, Ball, äh, ähm, straflos gedroppt, straflose Erleichterung"],
    ["unclear", "", "ein Putt, zwei Putt, drei Putt, 1 Putt, 2 Putt, 3 Putt"],
  ],
  kinds: { wood: ["Holz"], hybrid: ["Hybrid", "Rescue"], iron: ["Eisen"] },
  numbered: (number, kind) => [kind + number, `${number}er${kind}`],
  lofted: ["Grad", "Grad Wedge", "°"],
};

/** What was said, as it is looked up. */
export const keyOf = (words) => words.toLowerCase().replaceAll("ß", "ss").replace(/[\s-]+/g, "");

/** Each way to say the whole numbers to 699, and halves and tenths of small ones. */
function addNumbers(book, language) {
  const [ones, teens, tens] = [language.ones, language.teens, language.tens].map((one) => one.split(" "));
  const add = (said, number) => book.set(keyOf(said), ["number", number]);
  const below = (n) => (n < 10 ? ones[n - 1] : n < 20 ? teens[n - 10] : n % 10 ? language.both(tens[Math.floor(n / 10) - 2], ones[n % 10 - 1]) : tens[n / 10 - 2]);
  for (let n = 1; n < 100; n += 1) add(below(n), n);
  for (let n = 100; n < 700; n += 1) {
    const [first, rest] = [Math.floor(n / 100), n % 100];
    for (const begun of first === 1 ? language.firsts : [ones[first - 1]]) {
      for (const joint of rest ? ["", "and", "und"] : [""]) add(begun + language.hundred + joint + (rest ? below(rest) : ""), n);
    }
    if (rest >= 10) for (const hundred of language.noHundred) add(ones[first - 1] + hundred + below(rest), n);
    for (const zero of language.zeros) add([first, Math.floor(rest / 10), rest % 10].map((digit) => (digit ? ones[digit - 1] : zero)).join(""), n);
  }
  for (let n = 1; n < 30; n += 1) {
    add((n === 1 && language === GERMAN ? "ein" : below(n)) + language.half, n + 0.5);
    ones.forEach((one, place) => add(below(n) + language.point + one, n + (place + 1) / 10));
  }
}

function addNumberedClubs(book, language) {
  const ones = language.ones.split(" ");
  const add = (said, club) => said && book.set(keyOf(said), ["club", club]);
  for (const [kind, names] of Object.entries(language.kinds)) for (const name of names) for (let n = 2; n <= 9; n += 1) {
    for (const number of [String(n), ones[n - 1]]) for (const said of language.numbered(number, name)) add(said, `${n}-${kind}`);
  }
  const spoken = [...book].filter(([, [kind, number]]) => kind === "number" && number >= 44 && number <= 64);
  for (const [said, [, number]] of spoken) for (const words of language.lofted) add(said + words, String(number));
  for (let n = 44; n <= 64; n += 1) for (const words of language.lofted) add(n + words, String(n));
}

function bookOf(language) {
  const book = new Map();
  addNumbers(book, language);
  addNumberedClubs(book, language);
  for (const [kind, value, said] of language.phrases) for (const phrase of said.split(", ")) book.set(keyOf(phrase), [kind, value]);
  return { book, decimalComma: language.decimalComma };
}

const books = new Map();
/** Whatever can be said in this language, by its key: what kind of thing it is, and which. */
export function bookFor(language) {
  const spoken = language.startsWith("de") ? GERMAN : ENGLISH;
  if (!books.has(spoken)) books.set(spoken, bookOf(spoken));
  return books.get(spoken);
}
