"""What compose's proxy writes down of each request, by Caddy itself: never what opens something."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from contextlib import closing
from http.client import HTTPSConnection
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from tests.chaos.proxy import Proxy
from tests.waiting import wait_until

pytestmark = pytest.mark.redis  # in CI, caddy is there in this stage
SECRET = "s3cret"
CLUB = "01980000-0000-7000-8000-000000000001"
OPEN_SOMETHING = (
    f"/calendar/{CLUB}/{SECRET}.ics",
    f"/join/{SECRET}",
    f"/password/Nw/{SECRET}",
    f"/oauth/authorize?client_id=board&state={SECRET}",
)


class SendsBack(BaseHTTPRequestHandler):
    """A service that is well, and sends every browser back to a program with a code."""

    def do_GET(self) -> None:
        self.send_response(200 if self.path == "/health/ready" else 302)
        self.send_header("Location", f"https://board.example/back?code={SECRET}")
        self.send_header("Content-Length", "0")
        self.end_headers()

    def log_message(self, *_: object) -> None:
        """Says nothing."""


@pytest.fixture
def proxy(folder: Path) -> Iterator[Proxy]:
    service = ThreadingHTTPServer(("127.0.0.1", 0), SendsBack)
    threading.Thread(target=service.serve_forever, daemon=True).start()
    made = Proxy(f"127.0.0.1:{service.server_port}", folder)
    made.program.start()
    try:
        wait_until(lambda: _status(made, "/") == 302, what="the proxy")
        yield made
    finally:
        made.program.kill()
        service.shutdown()
        service.server_close()


def _status(proxy: Proxy, path: str) -> int:
    try:
        with closing(
            HTTPSConnection("localhost", proxy.port, timeout=60, context=proxy.trust())
        ) as connection:
            connection.request("GET", path, headers={"Referer": f"https://localhost/join/{SECRET}"})
            return connection.getresponse().status
    except OSError:
        return 0


def test_the_log_of_requests_opens_nothing(proxy: Proxy) -> None:
    assert {_status(proxy, path) for path in OPEN_SOMETHING} == {302}

    def lines() -> list[dict[str, dict[str, str]]]:
        written = proxy.program.log.read_text(encoding="utf-8").splitlines()
        return [json.loads(one) for one in written if '"handled request"' in one]

    wait_until(lambda: len(lines()) > len(OPEN_SOMETHING), what="the lines")
    told = [one["request"]["uri"] for one in lines()]
    assert f"/calendar/{CLUB}/…" in told
    assert "/join/…" in told
    assert "/oauth/authorize?…" in told
    assert SECRET not in proxy.program.log.read_text(encoding="utf-8")
