"""What somebody outside makes of compose's proxy and web server: addresses, hosts and senders are those that they are.

In front stands the proxy of compose, behind it gunicorn as compose starts it, with an application that tells what came.
"""

from __future__ import annotations

import json
import re
import shlex
import socket
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.chaos.parts import Program, free_port
from tests.chaos.proxy import Proxy
from tests.outbox.processes import ROOT
from tests.waiting import wait_until

pytestmark = pytest.mark.redis  # in CI, caddy is there in this stage
INSIDE = "/metrics"
"""Nobody outside reads it."""
SPELLINGS = (
    *("/metrics", "//metrics", "/./metrics", "/%6detrics", "/%6Detrics", "/x/../metrics", "/%2e%2e/metrics"),
    *("/METRICS", "/%2fmetrics", "/x%2f..%2fmetrics", "/health/../metrics", "/metrics?x", "/.//metrics"),
)
SMUGGLED = f"GET {INSIDE} HTTP/1.1\r\nHost: localhost\r\n\r\n"


def web_command(port: int) -> list[str]:
    """Compose's own, with another application at another port."""
    compose = yaml.safe_load((ROOT / "docker-compose.yml").read_text(encoding="utf-8"))
    program, application, *options = shlex.split(compose["services"]["web"]["command"])
    assert (program, application) == ("gunicorn", "golfstats.wsgi:application")
    options[options.index("--bind") + 1] = f"127.0.0.1:{port}"
    return [sys.executable, "-m", "gunicorn", "tests.chaos.echo:application", *options]


@pytest.fixture
def proxy(folder: Path) -> Iterator[Proxy]:
    port = free_port()
    web = Program("echo", web_command(port), {"PYTHONPATH": str(ROOT)}, folder).start()
    made = Proxy(f"127.0.0.1:{port}", folder)
    made.program.start()
    try:
        wait_until(lambda: arrived(made, "GET /health/ready"), what="the proxy")
        yield made
    finally:
        made.program.kill()
        web.kill()


def sent(proxy: Proxy, head: str, *headers: str, host: str = "localhost", body: str = "") -> str:
    """Everything that is answered to these very bytes."""
    lines = [f"{head} HTTP/1.1", f"Host: {host}", *headers, "", body]
    plain = socket.create_connection(("localhost", proxy.port), timeout=60)
    with proxy.trust().wrap_socket(plain, server_hostname="localhost") as connection:
        connection.sendall("\r\n".join(lines).encode("latin-1"))
        return b"".join(iter(lambda: connection.recv(65536), b"")).decode("latin-1")


def arrived(proxy: Proxy, head: str, *headers: str, **more: str) -> list[dict[str, Any]]:
    """What has reached the application of it."""
    try:
        answer = sent(proxy, head, "Connection: close", *headers, **more)
    except OSError:
        return []
    return [json.loads(one) for one in re.findall(r"\{\"PATH_INFO.*?\}", answer)]


def test_no_spelling_leads_inside(proxy: Proxy) -> None:
    reached = [one["PATH_INFO"] for path in SPELLINGS for one in arrived(proxy, f"GET {path}")]
    assert INSIDE not in reached
    assert arrived(proxy, "GET /metricsx"), "others do arrive"


@pytest.mark.parametrize("name", ["SCRIPT_NAME", "Script_Name", "script-name", "PATH_INFO"])
def test_nobody_moves_an_address(proxy: Proxy, name: str) -> None:
    """What the proxy has let through as one address is not another one behind it."""
    for head, value in (("GET /x/metrics", "/x"), ("GET //evil.example/x", "//evil.example")):
        (one,) = arrived(proxy, head, f"{name}: {value}")
        assert (one["PATH_INFO"], one["SCRIPT_NAME"]) == (head.removeprefix("GET "), "")


def test_nobody_says_for_themselves_where_they_come_from(proxy: Proxy) -> None:
    told = ("For: 198.51.100.7", "Proto: http", "Host: evil.example")
    spellings = [
        f"{before}{one}" for one in told for before in ("X-Forwarded-", "X_Forwarded_", "x-forwarded_")
    ]
    (one,) = arrived(proxy, "GET /", *spellings, "Forwarded: for=198.51.100.7;proto=http;host=evil.example")
    assert one["HTTP_X_FORWARDED_FOR"] in {"127.0.0.1", "::1"}
    assert one["HTTP_X_FORWARDED_PROTO"] == "https"
    assert "evil" not in str(one["HTTP_X_FORWARDED_HOST"])
    assert arrived(proxy, "GET /", host="evil.example") == [], "only the name of the site is served"


@pytest.mark.parametrize(
    ("headers", "body"),
    [
        (["Content-Length: 60", "Transfer-Encoding: chunked"], f"0\r\n\r\n{SMUGGLED}"),
        (["Transfer-Encoding: xchunked", "Content-Length: 4"], f"0\r\n\r\n{SMUGGLED}"),
        (["Transfer-Encoding : chunked", "Content-Length: 4"], f"0\r\n\r\n{SMUGGLED}"),
        (["Content-Length: 0", "Content-Length: 60"], SMUGGLED),
        (["Content-Length: +60"], SMUGGLED),
        (["Transfer-Encoding: chunked"], f"1;a=\n\nX\r\n0\r\n\r\n{SMUGGLED}"),
    ],
)
def test_a_request_hides_no_other(proxy: Proxy, headers: list[str], body: str) -> None:
    """Request smuggling (CWE-444): two servers that disagree about where a body ends."""
    answer = sent(proxy, "POST /x", "Connection: close", *headers, body=body)
    assert answer.startswith("HTTP/1.1 ")
    assert f'"PATH_INFO": "{INSIDE}"' not in answer


def test_who_asks_without_tls_is_led_to_it_and_nothing_is_let_through(proxy: Proxy) -> None:
    """The redirect keeps method and body (308: RFC 9110, 15.4.9), and repeats nothing of what was sent."""
    lines = [
        "POST /api/v1/tokens?days=3 HTTP/1.1",
        "Host: localhost",
        "Authorization: Bearer not-to-be-repeated",
        "Connection: close",
        "Content-Length: 2",
        "",
        "{}",
    ]
    with socket.create_connection(("localhost", proxy.plain_port), timeout=60) as plain:
        plain.sendall("\r\n".join(lines).encode())
        answer = b"".join(iter(lambda: plain.recv(65536), b"")).decode("latin-1")
    assert answer.startswith("HTTP/1.1 308 ")
    (location,) = re.findall(r"(?im)^location: (.*?)\r$", answer)
    assert location == f"https://localhost:{proxy.port}/api/v1/tokens?days=3"
    assert "not-to-be-repeated" not in answer + proxy.program.log.read_text(encoding="utf-8")
    assert "PATH_INFO" not in answer, "the application was not asked"
