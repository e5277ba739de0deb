// Sending a draft: harmless twice (its own key), and with a fresh token, because the page may be older than the session.

const place = document.getElementById("guided").dataset;

/** Who is signed in, and the token that a form of theirs needs now. */
async function session() {
  const response = await fetch(place.session, { headers: { Accept: "application/json" }, cache: "no-store" });
  if (!response.ok) throw new TypeError("no session");
  return response.json();
}

/**
 * The answer as {kind, …}: "saved" with the id, "signed-out", "there-already", "changed", or "faults" with the problem.
 * Throws where there is no connection.
 */
export async function send({ text, key, club, version, round }) {
  const now = await session();
  if (!now.signed_in) return { kind: "signed-out" };
  const headers = { "Content-Type": "text/plain; charset=utf-8", Accept: "application/json", Club: club, "X-CSRFToken": now.token };
  if (round) headers["If-Match"] = `"${version}"`;
  else headers["Idempotency-Key"] = key;
  const response = await fetch(round ? `${place.rounds}/${round}` : place.rounds, { method: round ? "PUT" : "POST", headers, body: text });
  const body = await response.json();
  if (response.ok) return { kind: "saved", id: body.id };
  if (response.status === 401 || response.status === 403) return (await session()).signed_in ? { kind: "faults", problem: body } : { kind: "signed-out" };
  if (response.status === 412) return { kind: "changed" };
  if (body.type?.endsWith("/idempotency-key-reused")) return { kind: "there-already" };
  return { kind: "faults", problem: body };
}
