"""Clients that post rounds while the service is being killed, and ask again until it has answered."""

from __future__ import annotations

import base64
import json
import threading
from collections import Counter
from dataclasses import dataclass, field
from http.client import HTTPException
from typing import Any
from urllib.error import HTTPError
from urllib.request import Request, urlopen

GIVES_UP_AFTER = 240
"""Tries of one request, half a second apart."""


@dataclass
class Seen:
    """What clients were answered, and which rounds they were told are saved."""

    statuses: Counter[int] = field(default_factory=Counter)
    lost_connections: int = 0
    saved: dict[str, str] = field(default_factory=dict)
    """Idempotency key → id of the round."""
    wrong: list[str] = field(default_factory=list)
    lock: threading.Lock = field(default_factory=threading.Lock)


def ask(address: str, seen: Seen, headers: dict[str, str], body: bytes | None = None) -> tuple[int, Any]:
    """One request: its status and JSON; status 0 if there was no answer."""
    request = Request(address, data=body, headers={"Content-Type": "application/json", **headers})
    try:
        with urlopen(request, timeout=30) as response:
            status, text = response.status, response.read()
    except HTTPError as refused:
        with refused:
            status, text = refused.code, refused.read()
    except (OSError, HTTPException):
        with seen.lock:
            seen.lost_connections += 1
        return 0, None
    with seen.lock:
        seen.statuses[status] += 1
        if status >= 500 and status != 503:
            seen.wrong.append(f"{status} from {address}: {text[:300]!r}")
    return status, json.loads(text) if text else None


def insist(address: str, seen: Seen, headers: dict[str, str], body: bytes | None = None) -> Any:
    """Ask again, with the same key, until the answer is neither nothing nor "later"."""
    pause = threading.Event()
    for _ in range(GIVES_UP_AFTER):
        status, answer = ask(address, seen, headers, body)
        if status not in {0, 409, 429, 503}:
            return answer if status < 400 else _wrong(seen, f"{status} from {address}: {answer}")
        pause.wait(0.5)
    return _wrong(seen, f"no answer from {address}")


def _wrong(seen: Seen, what: str) -> None:
    with seen.lock:
        seen.wrong.append(what)


def sign_in(web: str, person: dict[str, str], seen: Seen, address: str) -> dict[str, str]:
    """The headers with which this person asks from now on, from a telephone of this address."""
    phone = {"X-Forwarded-For": address}
    login = base64.b64encode(f"{person['user']}:{person['password']}".encode()).decode()
    answer = insist(f"{web}/api/v1/tokens", seen, {**phone, "Authorization": f"Basic {login}"}, b"{}")
    return {**phone, "Authorization": f"Bearer {answer['token']}"}


def play(
    web: str,
    headers: dict[str, str],
    bodies: list[dict[str, Any]],
    seen: Seen,
    may_be_posted: threading.Semaphore,
) -> None:
    """Post the rounds one after the other, each as often as it takes, and read figures after each."""
    for body in bodies:
        may_be_posted.acquire()
        key = f"{body['player']} {body['played_on']}"
        answer = insist(
            f"{web}/api/v1/rounds", seen, {**headers, "Idempotency-Key": key}, json.dumps(body).encode()
        )
        if answer is None:
            continue
        with seen.lock:
            seen.saved[key] = answer["id"]
        ask(f"{web}/api/v1/players/{body['player']}/trends", seen, headers)
        ask(f"{web}/api/v1/players/{body['player']}/priorities", seen, headers)


def look(web: str, headers: dict[str, str], squad: str, seen: Seen) -> None:
    """What a coach looks at first."""
    ask(f"{web}/api/v1/attention", seen, headers)
    ask(f"{web}/api/v1/squads/{squad}/table", seen, headers)
