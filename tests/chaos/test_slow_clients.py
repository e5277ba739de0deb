"""Clients that send or read slowly keep a connection to the proxy, and no thread of the service."""

from __future__ import annotations

import base64
import datetime as dt
import json
import socket
import ssl
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from http.client import HTTPResponse, HTTPSConnection
from pathlib import Path
from typing import Any

import pytest

from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.ground.ids import new_id
from players.people.models import Player
from tests.chaos.parts import Installation
from tests.chaos.proxy import Proxy
from tests.outbox.processes import ROOT
from tests.players.simulated_golf import bodies_of
from tests.waiting import wait_until

pytestmark = pytest.mark.redis

SLOW = 60
ORDINARY = 20
SWEEP = "from golfstats.ground.outbox import worker; worker.sweep()"
GIVES_UP_WAITING = 300.0
"""Seconds after which a socket fails: no promise of how soon anything comes."""
POST, LARGE = "POST /api/v1/rounds", "GET /api/v1/openapi"
THREADS = 16
"""Of the web in compose: two processes of eight."""
HOOKS = ROOT / "tests" / "chaos" / "arrivals.py"


@pytest.fixture
def installation(folder: Path) -> Iterator[Installation]:
    """As compose has it: behind TLS, and asked for by the name that people type."""
    made = Installation(folder, hooks=HOOKS, BEHIND_TLS="true", ALLOWED_HOSTS="localhost,127.0.0.1")
    try:
        made.start_web()
        yield made
    finally:
        made.stop()


@pytest.fixture
def proxy(installation: Installation, folder: Path) -> Iterator[Proxy]:
    # By a name that the service does not answer to, as "web" is in compose.
    made = Proxy(f"[::ffff:127.0.0.1]:{installation.port}", folder)
    made.program.start()
    try:
        wait_until(lambda: _answers(made), what="the proxy")
        yield made
    finally:
        made.program.kill()


def test_sixty_slow_clients_of_each_kind_are_no_burden(installation: Installation, proxy: Proxy) -> None:
    log = installation.web.log
    person = installation.inside("found(1)")["players"][0]
    trust, token = proxy.trust(), sign_in(proxy, person)
    # Nobody works here: health wants to know of a sweep of each queue.
    installation.manage("shell", "--no-imports", "--command", SWEEP)

    drips = [Drip(proxy.port, trust, token, body) for body in rounds_of(person, SLOW)]
    readers = [Reader(proxy.port, trust) for _ in range(SLOW)]
    # Nobody has read a byte, and the application is done with every answer.
    wait_until(
        lambda: said(log, "answered", LARGE) == SLOW,
        what="the readers' answers",
    )
    answered = Counter(
        asked(proxy, "GET", path, headers).status
        for path, headers in [("/health", {}), ("/api/v1/club", token), ("/api/v1/rounds", token)]
        for _ in range(ORDINARY)
    )
    for one in drips:
        one.drip()
    assert answered == {200: 3 * ORDINARY}
    assert said(log, "arrived", POST) == 0, "no body has reached the application unfinished"
    assert said(log, "arrived", "GET /api/v1/club") == ORDINARY, "these were answered by the application"

    # All of them were waited for: each gets its answer.
    finished = Counter(one.finish() for one in drips)
    assert finished == {201: SLOW}, finished
    assert said(log, "arrived", POST) == SLOW
    assert {one.read() for one in readers} == {(200, True)}


def test_canary_without_the_proxy_slow_bodies_take_every_thread(installation: Installation) -> None:
    log = installation.web.log
    port = installation.port
    # As the proxy says: what came in without TLS would be sent away before its body is read.
    plain = {"X-Forwarded-Proto": "https"}
    drips: list[Drip] = []

    def every_thread_has_one() -> bool:
        # Of two processes one may take in many more connections than it has threads.
        drips.append(Drip(port, None, plain, {"never": "sent whole"}))
        return said(log, "arrived", POST) == THREADS

    wait_until(every_thread_has_one, what="the drips to take all threads")
    with socket.create_connection(("127.0.0.1", port), timeout=3) as health:
        health.sendall(b"GET /health/ready HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
        with pytest.raises(TimeoutError):
            health.recv(1)
    assert said(log, "arrived", "GET /health/ready") == 0
    assert said(log, "answered", POST) == 0
    for one in drips:
        one.close()


def rounds_of(person: dict[str, str], rounds: int) -> list[dict[str, Any]]:
    days = [dt.date(2026, 4, 1) + dt.timedelta(days=day) for day in range(rounds)]
    return bodies_of(Player(id=person["player"], club_id=new_id()), days, golfer_of_handicap(12.0), seed=3)


def said(log: Path, what: str, of: str) -> int:
    """How many lines of the web's log tell this of such an address."""
    lines = log.read_text(encoding="utf-8", errors="replace").splitlines()
    return sum(f" {what} " in line and of in line for line in lines)


def _answers(proxy: Proxy) -> bool:
    try:
        return asked(proxy, "GET", "/health/ready", {}).status == 200
    except OSError:
        return False


@dataclass
class Answer:
    status: int
    body: bytes


def asked(proxy: Proxy, method: str, path: str, headers: dict[str, str]) -> Answer:
    connection = HTTPSConnection("localhost", proxy.port, timeout=GIVES_UP_WAITING, context=proxy.trust())
    try:
        connection.request(method, path, headers=headers)
        answer = connection.getresponse()
        return Answer(answer.status, answer.read())
    finally:
        connection.close()


def sign_in(proxy: Proxy, person: dict[str, str]) -> dict[str, str]:
    login = base64.b64encode(f"{person['user']}:{person['password']}".encode()).decode()
    answer = asked(proxy, "POST", "/api/v1/tokens", {"Authorization": f"Basic {login}"})
    return {"Authorization": f"Bearer {json.loads(answer.body)['token']}"}


class Drip:
    """A client that has sent the head of a request and some of its body."""

    def __init__(
        self,
        port: int,
        trust: ssl.SSLContext | None,
        headers: dict[str, str],
        body: dict[str, Any],
    ) -> None:
        self._socket = socket.create_connection(("localhost", port), timeout=GIVES_UP_WAITING)
        if trust:
            self._socket = trust.wrap_socket(self._socket, server_hostname="localhost")
        self._left = json.dumps(body).encode()
        head = {
            "Host": "localhost",
            "Content-Type": "application/json",
            "Content-Length": str(len(self._left)),
            **headers,
        }
        lines = [
            f"{POST} HTTP/1.1",
            *(f"{name}: {of}" for name, of in head.items()),
        ]
        self._socket.sendall("\r\n".join([*lines, "", ""]).encode())
        self.drip()

    def drip(self) -> None:
        self._socket.sendall(self._left[:1])
        self._left = self._left[1:]

    def finish(self) -> int:
        """Sends what is left and gives the status of the answer."""
        self._socket.sendall(self._left)
        answer = HTTPResponse(self._socket)
        answer.begin()
        self.close()
        return answer.status

    def close(self) -> None:
        self._socket.close()


class Reader:
    """A client that has asked for something large and takes none of the answer yet."""

    def __init__(self, port: int, trust: ssl.SSLContext) -> None:
        plain = socket.socket()
        plain.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
        plain.settimeout(GIVES_UP_WAITING)
        plain.connect(("127.0.0.1", port))
        self._socket = trust.wrap_socket(plain, server_hostname="localhost")
        self._socket.sendall(f"{LARGE} HTTP/1.1\r\nHost: localhost\r\n\r\n".encode())

    def read(self) -> tuple[int, bool]:
        """Status of the answer, and whether it came whole."""
        answer = HTTPResponse(self._socket)
        answer.begin()
        whole = json.loads(answer.read())
        self._socket.close()
        return answer.status, "paths" in whole
