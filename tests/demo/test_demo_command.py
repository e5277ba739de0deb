"""``manage.py demo`` as a newcomer meets it: a summary, a server that answers, no process left behind."""

from __future__ import annotations

import base64
import json
import os
import signal
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path
from typing import Any
from urllib.error import URLError

import psutil
import pytest

from tests.waiting import wait_until

ROOT = Path(__file__).parent.parent.parent
pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("demo")


def free_port() -> int:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return int(listener.getsockname()[1])


def environment(folder: Path) -> dict[str, str]:
    ours = {"DATABASE_URL", "OWNER_DATABASE_URL", "REDIS_URL", "CACHE_URL"}
    return {name: value for name, value in os.environ.items() if name not in ours} | {
        "GOLFSTATS_DATA": str(folder)
    }


def demo(folder: Path, *options: str) -> list[str]:
    return [sys.executable, str(ROOT / "manage.py"), "demo", *options]


def postgres_processes(folder: Path) -> list[psutil.Process]:
    return [
        process
        for process in psutil.process_iter(["name", "cmdline"])
        if process.info["name"] == "postgres" and str(folder) in " ".join(process.info["cmdline"] or [])
    ]


def call(
    address: str, token: str | None = None, data: bytes | None = None, **headers: str
) -> tuple[Any, Any]:
    request = urllib.request.Request(address, data=data, headers=headers)
    if token:
        request.add_header("Authorization", f"Bearer {token}")
    with urllib.request.urlopen(request, timeout=30) as response:
        body = response.read()
        return (json.loads(body) if "json" in response.headers["Content-Type"] else body), response.headers


def serves(address: str) -> bool:
    """Whether the front page is there; the summary is printed a moment before the server listens."""
    try:
        return b"Quillmere Hollow" in call(address)[0]
    except ConnectionError:
        return False
    except URLError as error:
        if isinstance(error.reason, ConnectionError):
            return False
        raise


def test_first_start_prints_a_summary_and_ends(folder: Path) -> None:
    done = subprocess.run(
        demo(folder, "--once"), env=environment(folder), capture_output=True, text=True, cwd=ROOT, check=False
    )
    assert done.returncode == 0, done.stderr
    assert "Quillmere Hollow Golf Club (everything invented)" in done.stdout
    assert "Posted 618 of 618 rounds" in done.stdout
    assert "mostly the greens" in done.stdout
    assert "mostly not the greens" in done.stdout
    assert "unofficial" in done.stdout
    assert done.stderr == ""
    assert postgres_processes(folder) == []


def test_second_start_serves_takes_a_round_and_ends_clean(folder: Path) -> None:
    port = free_port()
    server = subprocess.Popen(
        demo(folder, "--port", str(port)),
        env=environment(folder),
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    )
    assert server.stdout is not None
    try:
        lines: list[str] = []
        while "password" not in (line := server.stdout.readline()):
            assert line, "the demo ended before it served"
            lines.append(line)
        assert not any("Posted" in line for line in lines)  # nothing is loaded twice
        address = f"http://127.0.0.1:{port}"
        wait_until(lambda: serves(address), seconds=60)

        basic = base64.b64encode(b"ingrid:cored-greens").decode()
        token = call(f"{address}/api/v1/tokens", data=b"", Authorization=f"Basic {basic}")[0]["token"]
        text = (ROOT / "demo_fixtures" / "round.txt").read_bytes()
        _, headers = call(f"{address}/api/v1/rounds", token, text, **{"Content-Type": "text/plain"})
        location = headers["Location"]
        wait_until(lambda: call(location, token)[0]["analysis"] == "done", seconds=120)
        analysis, _ = call(f"{location}/analysis", token)
        assert analysis["total"]["holes_covered"] == 18
    finally:
        server.send_signal(signal.SIGINT)
        server.wait(60)
        server.stdout.close()
    assert server.returncode == 0
    wait_until(lambda: postgres_processes(folder) == [], seconds=30)
