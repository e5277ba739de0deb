"""The types that a well-kept generator makes of the API document let a TypeScript program call every operation."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from wsgiref.simple_server import WSGIRequestHandler, WSGIServer, make_server

import pytest

from golfstats.doors.rest.reference.openapi import document
from tests.api.world import World
from tests.clients.conftest import GENERATED_WITH, GUIDE, run
from tests.clients.every import Asked, Credentials, UndoneService, asked, described, names
from tests.clients.typescript import PRELUDE, program

pytestmark = pytest.mark.slow
STRICT = ("--strict", "--skipLibCheck", "--module", "esnext", "--moduleResolution", "bundler")
LATE = ("--target", "es2022")


class Quiet(WSGIRequestHandler):
    def log_message(self, *told: Any) -> None:
        """Nobody reads along."""


@contextmanager
def served(service: UndoneService) -> Iterator[WSGIServer]:
    """By whoever calls ``handle_request``, so on the connection that has not committed the world."""
    with make_server("127.0.0.1", 0, service, handler_class=Quiet) as server:
        server.timeout = 0.05
        yield server


def run_node(folder: Path, server: WSGIServer) -> list[dict[str, Any]]:
    """What the program prints, a line for each of its calls, while they are answered."""
    with (
        (folder / "told").open("w") as told,
        subprocess.Popen(["node", "calls.js"], cwd=folder, stdout=told, stderr=subprocess.STDOUT) as running,
    ):
        while running.poll() is None:
            server.handle_request()
    printed = (folder / "told").read_text()
    assert running.returncode == 0, printed[-2000:]
    return [json.loads(line) for line in printed.splitlines()]


def test_every_operation_is_called(typescript: Path, world: World, signed_in: Credentials) -> None:
    wanted = [asked(world, operation) for operation in sorted(names())]
    assert {one.id for one in wanted} == set(described())
    service = UndoneService()
    with served(service) as server:
        site = f"http://127.0.0.1:{server.server_port}"
        (typescript / "calls.ts").write_text(program(wanted, document(), signed_in, site))
        run("npx", "tsc", *STRICT, *LATE, "calls.ts", folder=typescript)
        told = run_node(typescript, server)
    assert [one["id"] for one in told] == [one.id for one in wanted]
    wrong = {
        one.id: line
        for one, line, answer in zip(wanted, told, service.answers, strict=True)
        if not _is_told(one, line, answer)
    }
    assert wrong == {}


def _is_told(one: Asked, line: dict[str, Any], answer: bytes) -> bool:
    """Whether the program got what was answered, and nothing that it takes for a refusal."""
    if line["status"] != one.status or "error" in line:
        return False
    if "bytes" in line:
        return bool(line["bytes"] == len(answer))
    content = described()[one.id]["responses"][str(one.status)].get("content", {})
    if not content:
        return answer == b""
    told = answer.decode() if "application/json" not in content else json.loads(answer)
    return bool(line["data"] == told)


def test_the_guide_says_how_the_types_are_made() -> None:
    assert " ".join(GENERATED_WITH) in GUIDE.read_text(encoding="utf-8")


def test_canary_a_wrong_call_does_not_compile(typescript: Path) -> None:
    """Types that allowed everything would pass the test above as well."""
    wrong = [
        *PRELUDE,
        'const golf = createClient<paths>({ baseUrl: "https://golf.example" });',
        'const { data } = await golf.GET("/api/v1/players/{player_id}", { params: { path: { player_id: "x" } } });',
        "const surname: string = data!.surname;",
    ]
    (typescript / "wrong.ts").write_text("\n".join(wrong))
    with pytest.raises(AssertionError, match="surname"):
        run("npx", "tsc", *STRICT, *LATE, "--noEmit", "wrong.ts", folder=typescript)
