"""``manage.py demo`` as a newcomer meets it: a summary, a server that answers, no process left behind."""

from __future__ import annotations

import ast
import base64
import json
import os
import re
import signal
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.error import URLError

import psutil
import pytest

from tests.demo import readme
from tests.waiting import wait_until

ROOT = Path(__file__).parent.parent.parent
pytestmark = pytest.mark.slow


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
    return [sys.executable, "-m", "tests.demo.on_the_day", "demo", *options]


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


@dataclass(frozen=True)
class FirstStart:
    folder: Path
    done: subprocess.CompletedProcess[str]


@pytest.fixture(scope="module")
def first_start(tmp_path_factory: pytest.TempPathFactory) -> FirstStart:
    """Of whichever test comes first in its process: test workers may have divided them."""
    folder = tmp_path_factory.mktemp("demo")
    done = subprocess.run(
        demo(folder, "--once"), env=environment(folder), capture_output=True, text=True, cwd=ROOT, check=False
    )
    return FirstStart(folder, done)


@pytest.fixture
def folder(first_start: FirstStart) -> Path:
    return first_start.folder


def test_first_start_prints_a_summary_and_ends(first_start: FirstStart) -> None:
    done = first_start.done
    assert done.returncode == 0, done.stderr
    assert "Quillmere Hollow Golf Club (everything invented)" in done.stdout
    assert "Posted 618 of 618 rounds" in done.stdout
    assert re.search(r"^Noor Haddadin +6\.8 +48( +[+-]\d\.\d\d ± \d\.\d\d){5}$", done.stdout, re.MULTILINE)
    assert "mostly the greens" in done.stdout
    assert "mostly not the greens" in done.stdout
    assert "unofficial" in done.stdout
    assert done.stderr == ""
    wait_until(lambda: postgres_processes(first_start.folder) == [])


@contextmanager
def serving(folder: Path) -> Iterator[tuple[str, list[str]]]:
    """The address of the demo and the lines that it printed; it has to end clean."""
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
        address = f"http://127.0.0.1:{port}"
        wait_until(lambda: serves(address))
        yield address, lines
    finally:
        server.send_signal(signal.SIGINT)
        server.wait(60)
        server.stdout.close()
    assert server.returncode == 0
    wait_until(lambda: postgres_processes(folder) == [])


def token_of(address: str, name: str) -> str:
    basic = base64.b64encode(f"{name}:cored-greens".encode()).decode()
    return str(call(f"{address}/api/v1/tokens", data=b"", Authorization=f"Basic {basic}")[0]["token"])


def asking(address: str, name: str) -> readme.Ask:
    token = token_of(address, name)
    return lambda path: call(f"{address}/api/v1/{path}", token)[0]


def test_the_readme_quotes_what_the_service_says(folder: Path) -> None:
    """If this fails, the answers have changed: tell them anew in the README."""
    with serving(folder) as (address, _):
        wrong = [
            *readme.wrong_in_the_session(asking(address, "coach")),
            *readme.wrong_of_the_away_round(asking(address, "tomasz")),
        ]
    assert not wrong, "\n".join(wrong)


def test_second_start_serves_takes_a_round_and_ends_clean(folder: Path) -> None:
    with serving(folder) as (address, lines):
        assert not any("Posted" in line for line in lines)  # nothing is loaded twice
        token = token_of(address, "ingrid")
        text = (ROOT / "demo_fixtures" / "round.txt").read_bytes()
        _, headers = call(f"{address}/api/v1/rounds", token, text, **{"Content-Type": "text/plain"})
        location = headers["Location"]
        wait_until(lambda: call(location, token)[0]["analysis"] == "done")
        analysis, _ = call(f"{location}/analysis", token)
        assert analysis["total"]["holes_covered"] == 18
        the_kept_plan_is_what_is_planned_today(address)
        readme_tells_of_the_away_round_as_it_runs(address, folder)


def the_kept_plan_is_what_is_planned_today(address: str) -> None:
    """If this fails, the mathematics of plans has changed: ``manage.py demo --once --plan-anew`` keeps a new one."""
    token = token_of(address, "tomasz")
    player = call(f"{address}/api/v1/me", token)[0]["player"]["id"]
    (kept,) = call(f"{address}/api/v1/players/{player}/plans", token)[0]["results"]
    assert kept["state"] == "done"
    told = call(f"{address}/api/v1/plans/{kept['id']}", token)[0]
    read = call(f"{address}/api/v1/plans/{kept['id']}/afterwards", token)[0]
    assert read["choice"] + read["execution"] + read["greens"] + read["luck"] == pytest.approx(
        read["total"], abs=1e-3
    )
    course = next(
        one for one in call(f"{address}/api/v1/courses", token)[0]["results"] if one["name"] == kept["course"]
    )
    tee = call(f"{address}/api/v1/courses/{course['id']}", token)[0]["tees"][0]["id"]
    asked = {"tee": tee, "planned_for": kept["planned_for"], "section": "front"} | {
        "greens_found": kept["greens_found"],
        "wind_mph": 9,
        "temperature_c": 11,
    }
    json_type = {"Content-Type": "application/json"}
    plans = f"{address}/api/v1/players/{player}/plans"
    anew = call(plans, token, json.dumps(asked).encode(), **json_type)[0]["id"]
    wait_until(lambda: len(call(f"{address}/api/v1/plans/{anew}", token)[0]["by_hole"]) >= 2, seconds=240)
    for now in call(f"{address}/api/v1/plans/{anew}", token)[0]["by_hole"]:
        before = told["by_hole"][now["number"] - 1]
        # The round that was played since has taught a little about the player.
        assert now["expected"] == pytest.approx(before["expected"], abs=0.06)
    request = urllib.request.Request(f"{address}/api/v1/plans/{anew}", method="DELETE")
    request.add_header("Authorization", f"Bearer {token}")
    urllib.request.urlopen(request, timeout=30).close()


def readme_tells_of_the_away_round_as_it_runs(address: str, folder: Path) -> None:
    """The lines of the README, run as they stand (but for the port)."""
    lines = readme.TEXT.partition("<!-- away -->")[2].partition("```sh\n")[2].partition("```")[0]
    lines = lines.replace("http://127.0.0.1:8000", address).replace("card.pdf", str(folder / "card.pdf"))
    lines = lines.replace("posted.json", str(folder / "posted.json")).replace(
        "asked.json", str(folder / "asked.json")
    )
    done = subprocess.run(
        ["bash", "-euo", "pipefail", "-c", lines],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
        timeout=900,
    )
    assert done.returncode == 0, done.stderr
    sentences, hole, read = done.stdout.strip().splitlines()
    assert sentences.startswith("['Expect about")
    assert ": " in hole
    parts = ast.literal_eval(read)
    assert parts["score"] == 44
    assert sum(parts[name] for name in ("choice", "execution", "greens", "luck")) == pytest.approx(
        parts["total"], abs=1e-3
    )
    assert (folder / "card.pdf").read_bytes().startswith(b"%PDF-")
