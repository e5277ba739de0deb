// Sending what was entered: harmless twice, and with a fresh token, because the page may be older than the session.

const place = document.getElementById("guided").dataset;

/** Who is signed in, and the token that a form of theirs needs now. */
async function session() {
  const response = await fetch(place.session, { headers: { Accept: "application/json" }, cache: "no-store" });
  if (!response.ok) throw new TypeError("no session");
  return response.json();
}

/** Status and body of the answer; "signed-out" where nobody is signed in. Throws where there is no connection. */
async function asked(address, { method, club, headers = {}, body }) {
  const now = await session();
  if (!now.signed_in) return { kind: "signed-out" };
  const language = document.documentElement.lang; // faults are told in the language of the page
  const always = { Accept: "application/json", "Accept-Language": language, Club: club, "X-CSRFToken": now.token };
  const response = await fetch(address, { method, headers: { ...always, ...headers }, body });
  const told = await response.json();
  const doubtful = response.status === 401 || response.status === 403;
  if (doubtful && !(await session()).signed_in) return { kind: "signed-out" };
  return { kind: "answered", ok: response.ok, status: response.status, body: told };
}

/**
 * The answer to a draft as {kind, …}: "saved" with the id, "signed-out", "there-already", "changed", or "faults" with
 * the problem. A draft has a key of its own.
 */
export async function send({ text, key, club, version, round }) {
  const headers = { "Content-Type": "text/plain; charset=utf-8" };
  if (round) headers["If-Match"] = `"${version}"`;
  else headers["Idempotency-Key"] = key;
  const answer = await asked(round ? `${place.rounds}/${round}` : place.rounds, { method: round ? "PUT" : "POST", club, headers, body: text });
  if (answer.kind === "signed-out") return answer;
  if (answer.ok) return { kind: "saved", id: answer.body.id };
  if (answer.status === 412) return { kind: "changed" };
  if (answer.body.type?.endsWith("/idempotency-key-reused")) return { kind: "there-already" };
  return { kind: "faults", problem: answer.body };
}

/**
 * The answer to one hole of a round in play: "saved" with the round so far, "behind" with the number that comes next,
 * "signed-out", "gone", or "faults". A hole is sent under a number, and under that number once. Throws where the
 * service is out of reach or asks for patience.
 */
export async function sendHole({ club, sequence, line }) {
  const body = JSON.stringify({ sequence, notation: line });
  return ofRoundInPlay(await asked(place.holes, { method: "POST", club, headers: { "Content-Type": "application/json" }, body }));
}

/** Likewise: the round in play becomes a round; asked again, the same round. */
export async function sendFinish(club) {
  return ofRoundInPlay(await asked(place.finished, { method: "POST", club }));
}

function ofRoundInPlay(answer) {
  if (answer.kind === "signed-out") return answer;
  if (answer.ok) return { kind: "saved", told: answer.body };
  if (answer.status === 429 || answer.status >= 500) throw new TypeError("not now");
  if (answer.body.next_sequence) return { kind: "behind", next: answer.body.next_sequence };
  if (answer.status === 404 || answer.body.type?.endsWith("/finished-already")) return { kind: "gone" };
  return { kind: "faults", problem: answer.body };
}
