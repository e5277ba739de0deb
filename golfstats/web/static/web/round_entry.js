"use strict";
// Guided entry of a round: builds the compact notation hole by hole and sends it to the API. The draft is kept
// in the browser until the service has taken it; sending it twice is harmless (Idempotency-Key).
(() => {
  const own = document.currentScript;
  const byId = (id) => document.getElementById(id);
  const places = JSON.parse(byId("places").textContent);
  const STORE = `golfstats-round:${places.club}:${places.member}`;
  const LIES = [["T", "Tee"], ["F", "Fairway"], ["R", "Rough"], ["S", "Sand"], ["C", "Recovery"], ["E", "Fringe"], ["G", "Green"], ["P", "Penalty area"]];
  const PENALTIES = [["", "No penalty"], ["1sd", "Stroke and distance"], ["1ld", "Lateral drop"], ["1un", "Unplayable"]];
  const SECTIONS = { 18: [1, 18], front: [1, 9], back: [10, 18] };

  const randomKey = () => [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  const fresh = () => ({ key: randomKey(), head: { player: places.player, course: places.courses[0]?.name ?? "", tee: "", date: places.today, section: "18", time: "", counting: true, competition: false }, holes: {}, hole: 1, waiting: false });

  let draft = restore();
  let shot = null; // the shot being told
  let faults = {}; // by hole

  function restore() {
    try {
      return JSON.parse(localStorage.getItem(STORE)) ?? fresh();
    } catch {
      return fresh();
    }
  }

  function keep() {
    try {
      localStorage.setItem(STORE, JSON.stringify(draft));
      byId("kept").textContent = "Kept on this device until it is sent.";
    } catch {
      byId("kept").textContent = "This browser keeps nothing: send the round before you leave the page.";
    }
  }

  // --- what is known of the place -----------------------------------------------------------------

  const course = () => places.courses.find((one) => one.name === draft.head.course) ?? places.courses[0];
  const tee = () => course()?.tees.find((one) => one.name === draft.head.tee) ?? course()?.tees[0];
  const tellHole = (number) => tee()?.holes.find((one) => one.number === number);
  const parOf = (number) => {
    const gender = places.players.find((one) => one.id === draft.head.player)?.gender ?? "men";
    return tellHole(number)?.[`par_${gender}`] ?? null;
  };
  const holeNumbers = () => {
    const [first, last] = SECTIONS[draft.head.section];
    const numbers = [];
    for (let number = first; number <= Math.min(last, course()?.holes ?? 18); number += 1) numbers.push(number);
    return numbers;
  };
  const holeOf = (number) => (draft.holes[number] ??= { shots: [], done: false, pickedUp: false, score: "", putts: "" });

  // --- the notation -------------------------------------------------------------------------------

  const shotWord = (one) => `${one.lie}${one.distance}${one.club ? `(club=${one.club})` : ""}${one.penalty ? `+${one.penalty}` : ""}`;
  function holeLine(number) {
    const hole = draft.holes[number];
    if (!hole) return null;
    if (hole.score) return `${number} =${hole.score}${hole.putts === "" ? "" : `/${hole.putts}`}`;
    if (hole.shots.length === 0) return null;
    return [number, ...hole.shots.map(shotWord), ...(hole.pickedUp ? ["x"] : [])].join(" ");
  }
  function notation() {
    const { head } = draft;
    const lines = [`course: ${head.course}`, `tee: ${tee()?.name ?? ""}`, `date: ${head.date}`];
    if (head.player) lines.unshift(`player: ${head.player}`);
    if (head.section !== "18") lines.push(`section: ${head.section}`);
    if (head.time) lines.push(`time: ${head.time}`);
    if (!head.counting) lines.push("counting: no");
    if (head.competition) lines.push("competition: yes");
    return [...lines, ...holeNumbers().map(holeLine).filter(Boolean)].join("\n") + "\n";
  }
  function strokesOf(hole) {
    if (hole.score) return Number(hole.score);
    return hole.shots.reduce((sum, one) => sum + 1 + (one.penalty ? Number(one.penalty[0]) : 0), 0);
  }

  // --- drawing ------------------------------------------------------------------------------------

  function button(words, press, { pressed, label } = {}) {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = words;
    if (label) made.setAttribute("aria-label", label);
    if (pressed !== undefined) made.setAttribute("aria-pressed", String(pressed));
    made.addEventListener("click", press);
    return made;
  }
  function fill(select, options, chosen) {
    select.replaceChildren(...options.map(([value, words]) => new Option(words, value, false, value === chosen)));
  }

  function drawHead() {
    fill(byId("g-player"), places.players.map((one) => [one.id, one.name]), draft.head.player);
    draft.head.player = byId("g-player").value;
    document.querySelector('[data-for="player"]').hidden = places.players.length < 2;
    fill(byId("g-course"), places.courses.map((one) => [one.name, one.name]), draft.head.course);
    fill(byId("g-tee"), (course()?.tees ?? []).map((one) => [one.name, one.name]), tee()?.name);
    draft.head.tee = tee()?.name ?? "";
    byId("g-section").querySelector('[value="back"]').disabled = (course()?.holes ?? 18) < 18;
    byId("g-section").querySelector('[value="18"]').disabled = (course()?.holes ?? 18) < 18;
    if ((course()?.holes ?? 18) < 18) draft.head.section = "front";
    byId("g-section").value = draft.head.section;
    byId("g-date").value = draft.head.date;
    byId("g-date").max = places.today;
    byId("g-time").value = draft.head.time;
    byId("g-counting").checked = draft.head.counting;
    byId("g-competition").checked = draft.head.competition;
  }

  function drawHoleKeys() {
    byId("holes").replaceChildren(...holeNumbers().map((number) => {
      const hole = draft.holes[number];
      const done = hole && (hole.done || hole.score);
      const wrong = faults[number];
      const state = wrong ? "has a fault" : done ? `${strokesOf(hole)} strokes` : hole?.shots.length ? "begun" : "not entered";
      const made = button(String(number), () => go(number), { pressed: number === draft.hole, label: `Hole ${number}, ${state}` });
      const small = document.createElement("small");
      small.textContent = wrong ? "!" : done ? String(strokesOf(hole)) : hole?.shots.length ? "…" : "·";
      made.append(small);
      if (wrong) made.classList.add("wrong");
      return made;
    }));
  }

  function drawHole() {
    const number = draft.hole;
    const hole = holeOf(number);
    const told = tellHole(number);
    const par = parOf(number);
    byId("hole-name").textContent = `Hole ${number}${par ? `, par ${par}` : ""}${told ? `, ${told.length} ${places.metres ? "m" : "yd"}` : ""}`;
    const wrong = faults[number] ?? [];
    byId("hole-faults").hidden = wrong.length === 0;
    byId("hole-faults").replaceChildren(...wrong.map((words) => Object.assign(document.createElement("li"), { textContent: words })));
    byId("shots").replaceChildren(...hole.shots.map((one) => {
      const item = document.createElement("li");
      const lie = LIES.find(([letter]) => letter === one.lie)[1].toLowerCase();
      const penalty = PENALTIES.find(([word]) => word === one.penalty)[1].toLowerCase();
      item.textContent = `${lie}, ${one.distance} ${unitOf(one.lie)}${one.club ? `, ${one.club}` : ""}${one.penalty ? `, ${penalty}` : ""}`;
      return item;
    }));
    if (hole.done) byId("shots").append(Object.assign(document.createElement("li"), { className: "end", textContent: hole.pickedUp ? "picked up" : `holed: ${strokesOf(hole)}` }));
    byId("by-score").open = Boolean(hole.score);
    byId("by-shots").hidden = Boolean(hole.score);
    byId("g-score").value = hole.score;
    byId("g-putts").value = hole.putts;
    drawShot();
  }

  function drawShot() {
    const hole = holeOf(draft.hole);
    shot ??= nextShot(hole);
    const ended = hole.done;
    byId("asking").textContent = ended ? "This hole is done. Take back to change it." : `Shot ${hole.shots.length + 1}: from where, and how far to the hole?`;
    for (const id of ["lies", "pad", "more"]) byId(id).hidden = ended;
    document.querySelector(".readout").hidden = ended;
    for (const id of ["next-shot", "holed", "picked-up"]) byId(id).disabled = ended;
    byId("take-back").disabled = !ended && hole.shots.length === 0;
    byId("picked-up").disabled = ended || hole.shots.length + (shot.lie && shot.distance ? 1 : 0) === 0;
    byId("lies").replaceChildren(...LIES.map(([letter, words]) => {
      const made = button("", () => { shot.lie = letter; drawShot(); }, { pressed: shot.lie === letter, label: words });
      made.append(Object.assign(document.createElement("b"), { textContent: letter }), Object.assign(document.createElement("small"), { textContent: words }));
      return made;
    }));
    byId("distance").textContent = shot.distance || "–";
    byId("unit").textContent = unitOf(shot.lie);
    byId("g-club").value = shot.club;
    byId("penalties").replaceChildren(...PENALTIES.map(([word, words]) => button(words, () => { shot.penalty = word; drawShot(); }, { pressed: shot.penalty === word })));
  }

  const unitOf = (lie) => (places.metres ? "m" : lie === "G" ? "ft" : "yd");

  function nextShot(hole) {
    const last = hole.shots.at(-1);
    if (!last) return { lie: "T", distance: String(Math.round(tellHole(draft.hole)?.length ?? 0) || ""), club: "", penalty: "", offered: true };
    if (last.penalty.endsWith("sd")) return { lie: last.lie, distance: last.distance, club: "", penalty: "", offered: true };
    return { lie: last.lie === "G" ? "G" : "", distance: "", club: "", penalty: "", offered: false };
  }

  function drawAll() {
    if (!holeNumbers().includes(draft.hole)) draft.hole = holeNumbers()[0] ?? 1;
    drawHead();
    drawHoleKeys();
    drawHole();
  }

  // --- doing --------------------------------------------------------------------------------------

  function say(words) {
    byId("said").hidden = !words;
    byId("said").textContent = words;
  }
  function changed() {
    delete faults[draft.hole];
    draft.waiting = false;
    keep();
    drawHoleKeys();
    drawHole();
  }
  function go(number) {
    draft.hole = number;
    shot = null;
    keep();
    drawHoleKeys();
    drawHole();
    byId("hole-name").focus({ preventScroll: true });
  }
  function take() {
    if (!shot.lie || !shot.distance || Number(shot.distance) <= 0) {
      say("Choose the lie and give the distance to the hole first.");
      return false;
    }
    say("");
    const { lie, distance, club, penalty } = shot;
    holeOf(draft.hole).shots.push({ lie, distance, club: club.trim(), penalty });
    shot = null;
    byId("more").open = false;
    byId("head").open = false;
    return true;
  }
  function end(pickedUp) {
    const hole = holeOf(draft.hole);
    hole.done = true;
    hole.pickedUp = pickedUp;
    const numbers = holeNumbers();
    const place = numbers.indexOf(draft.hole);
    changed();
    if (place < numbers.length - 1) go(numbers[place + 1]);
    else say("That was the last hole. Send the round when it is complete.");
  }

  function press(key) {
    if (shot.offered && key !== "⌫") shot.distance = "";
    shot.offered = false;
    if (key === "⌫") shot.distance = shot.distance.slice(0, -1);
    else if (key !== "." || !shot.distance.includes(".")) shot.distance = (shot.distance + key).replace(/^0+(?=\d)/, "").slice(0, 5);
    drawShot();
  }

  async function send() {
    if (holeNumbers().every((number) => holeLine(number) === null)) return say("No hole has been entered yet.");
    byId("send").disabled = true;
    byId("faults").hidden = true;
    say("Sending …");
    try {
      const response = await fetch(own.dataset.rounds, {
        method: "POST",
        headers: { "Content-Type": "text/plain; charset=utf-8", Accept: "application/json", Club: places.club, "Idempotency-Key": draft.key, "X-CSRFToken": document.querySelector("[name=csrfmiddlewaretoken]").value },
        body: notation(),
      });
      await answered(response);
    } catch {
      draft.waiting = true;
      keep();
      say("No connection. The round stays on this device and is sent as soon as there is one.");
    } finally {
      byId("send").disabled = false;
    }
  }

  async function answered(response) {
    const body = await response.json();
    draft.waiting = false;
    if (response.ok) {
      localStorage.removeItem(STORE);
      location.assign(places.rounds + body.id);
      return;
    }
    keep();
    if (response.status === 401 || response.status === 403) {
      say("You are signed out. Sign in again in another tab, then send; the round is kept here.");
      return;
    }
    if (body.type?.endsWith("/idempotency-key-reused")) {
      say("An earlier version of this round was saved already. Look at your last rounds, and correct it there.");
      return;
    }
    showFaults(body);
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

  // --- wiring -------------------------------------------------------------------------------------

  const onHead = (id, name, read = (field) => field.value) => byId(id).addEventListener("change", (event) => {
    draft.head[name] = read(event.target);
    if (name === "course") draft.head.tee = "";
    shot = null;
    keep();
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

  byId("pad").replaceChildren(...["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0", "⌫"].map((key) => button(key, () => press(key), key === "⌫" ? { label: "Delete the last digit" } : key === "." ? { label: "Decimal point" } : {})));
  byId("g-club").addEventListener("input", (event) => { shot.club = event.target.value.replace(/[^A-Za-z0-9.+-]/g, ""); });
  byId("next-shot").addEventListener("click", () => { if (take()) changed(); });
  byId("holed").addEventListener("click", () => {
    if (shot.penalty) return say("A holed shot takes no penalty: give the shot that followed.");
    if (take()) end(false);
  });
  byId("picked-up").addEventListener("click", () => {
    if (shot.lie && shot.distance && !shot.offered) take();
    if (holeOf(draft.hole).shots.length) end(true);
  });
  byId("take-back").addEventListener("click", () => {
    const hole = holeOf(draft.hole);
    const last = hole.shots.pop();
    Object.assign(hole, { done: false, pickedUp: false });
    shot = last ? { ...last, offered: true } : null;
    changed();
  });
  byId("score-done").addEventListener("click", () => {
    const hole = holeOf(draft.hole);
    hole.score = byId("g-score").value;
    hole.putts = hole.score ? byId("g-putts").value : "";
    const numbers = holeNumbers();
    const place = numbers.indexOf(draft.hole);
    changed();
    if (hole.score && place < numbers.length - 1) go(numbers[place + 1]);
  });
  byId("send").addEventListener("click", send);
  byId("start-over").addEventListener("click", () => {
    if (!confirm("Throw this draft away?")) return;
    draft = fresh();
    shot = null;
    faults = {};
    keep();
    say("");
    drawAll();
  });
  window.addEventListener("online", () => { if (draft.waiting) send(); });

  byId("guided").hidden = false;
  if (byId("plain").hasAttribute("data-fold")) byId("plain").open = false;
  byId("head").open = Object.values(draft.holes).every((hole) => hole.shots.length === 0 && !hole.score);
  drawAll();
  if (draft.waiting && navigator.onLine) send();
})();
