// One field for a hole in words: typed, dictated by the phone's keyboard, or heard by the browser where it can do so on the device
// itself. What was understood stands beneath for a look before it is put on the pad.
import { t } from "../words.js";
import { newShot } from "./notation.js";
import { readSpoken } from "./spoken.js";

const byId = (id) => document.getElementById(id);
const REST = 300; // milliseconds without a word after which what is there is read
const LANGUAGE = document.documentElement.lang.slice(0, 2);
const USUAL = { en: "en-US", de: "de-DE" };

/** `pad`: hole(), metres(), clubs() by their names, wordsOf(shot), strokesOf(hole), store(), and take(told), which says what is wrong. */
export function sayingField(pad) {
  const field = byId("g-said");
  if (!field) return { draw() {}, hide() {} }; // a page that a phone kept from before
  let resting = 0;
  let listening = null;

  function read() {
    const told = readSpoken(field.value, { language: LANGUAGE, metres: pad.metres(), own: pad.clubs() });
    return { ...told, shots: told.shots.map((one) => ({ ...newShot(), ...one })) };
  }
  function show() {
    const { shots, end, left } = read();
    const lines = shots.map((one) => pad.wordsOf({ ...one, distance: one.distance || "–" }));
    if (end) lines.push(end === "up" ? t("picked up") : t("holed: {strokes}", { strokes: pad.strokesOf({ shots: [...pad.hole().shots, ...shots] }) }));
    write(byId("understood"), lines, pad.hole().shots.length + 1, Boolean(end));
    byId("not-understood").textContent = left.length ? t("Not understood and left out: {words}", { words: left.join(", ") }) : "";
  }
  function told() {
    pad.hole().said = field.value;
    wrong("");
    window.clearTimeout(resting);
    resting = window.setTimeout(show, REST);
    pad.store();
  }
  function wrong(words) {
    byId("said-wrong").textContent = words;
    byId("said-wrong").hidden = !words;
  }

  // --- hearing, where nothing that is said leaves the device -------------------------------------------

  function stop() {
    const heard = listening;
    listening = null;
    heard?.abort();
    byId("listen").setAttribute("aria-pressed", "false");
  }
  function listen({ Recogniser, lang }) {
    const before = field.value;
    const ear = new Recogniser();
    Object.assign(ear, { lang, processLocally: true, continuous: true, interimResults: true });
    ear.onresult = (event) => {
      if (listening !== ear) return;
      field.value = [before, ...Array.from(event.results, (one) => one[0].transcript)].map((one) => one.trim()).filter(Boolean).join(" ");
      told();
    };
    ear.onerror = (event) => {
      if (listening !== ear) return;
      wrong(event.error === "not-allowed" ? t("The browser may not use the microphone. Type the hole, or dictate with the keyboard.") : t("Nothing was heard. Try again, or type the hole."));
    };
    ear.onend = () => { if (listening === ear) stop(); };
    listening = ear;
    byId("listen").setAttribute("aria-pressed", "true");
    wrong("");
    ear.start();
  }
  findRecogniser().then((found) => {
    if (!found) return;
    byId("listen").hidden = false;
    byId("listen").addEventListener("click", () => (listening ? stop() : listen(found)));
  });

  field.addEventListener("input", () => { stop(); told(); });
  byId("take-said").addEventListener("click", () => {
    stop();
    window.clearTimeout(resting);
    show();
    const fault = pad.take(read());
    wrong(fault);
    if (fault) field.focus();
  });
  return {
    /** The words kept for a hole, which is shown now. */
    draw(hole) {
      const said = hole.said ?? "";
      if (field.value === said) return;
      stop();
      field.value = said;
      wrong("");
      show();
      if (said) byId("in-words").open = true;
    },
    hide(hidden) { byId("in-words").hidden = hidden; },
  };
}

/** Lines of a list; those that say what they said stay, so that a screen reader tells only what is new. */
function write(list, lines, start, ended) {
  list.start = start;
  while (list.children.length > lines.length) list.lastChild.remove();
  lines.forEach((words, place) => {
    const line = list.children[place] ?? list.appendChild(document.createElement("li"));
    if (line.textContent !== words) line.textContent = words;
    line.classList.toggle("end", ended && place === lines.length - 1);
  });
}

/** The browser's recogniser if it works on the device, and its language; without that none, and none is fetched. */
async function findRecogniser() {
  const Recogniser = window.SpeechRecognition ?? window.webkitSpeechRecognition;
  if (!Recogniser?.available || !("processLocally" in Recogniser.prototype)) return null;
  const own = navigator.languages.filter((one) => one.startsWith(`${LANGUAGE}-`));
  try {
    for (const lang of new Set([...own, USUAL[LANGUAGE] ?? LANGUAGE])) {
      if (await Recogniser.available({ langs: [lang], processLocally: true }) === "available") return { Recogniser, lang };
    }
  } catch {
    // Forbidden, or of an older kind: then it is typed.
  }
  return null;
}
