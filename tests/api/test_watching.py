"""What whoever runs the service can see: which part is down, figures, and lines that belong together."""

from __future__ import annotations

import io
import json
import logging
import os
import re
import subprocess
import sys
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from prometheus_client.parser import text_string_to_metric_families

from golfstats.ground.logs import JsonLines
from golfstats.ground.outbox import worker
from golfstats.ground.outbox.work import Queue, handler
from golfstats.ground.walls.scope import club_scope
from tests import factories
from tests.databases import committed, connected_otherwise
from tests.outbox.conftest import kinds
from tests.outbox.processes import ROOT
from tests.outbox.test_outstanding_work import AT_ONCE, ask_in
from tests.players.conftest import Place, client_of

__all__ = ["kinds"]  # a fixture of theirs that is used here as well
TOKEN = "read the figures"


@committed
def test_alive_is_not_ready() -> None:
    assert Client().get("/health/live").status_code == 200
    assert Client().get("/health/ready").json()["database"] == "ok"
    with connected_otherwise(HOST="127.0.0.1", PORT=1, EMBEDDED_IN=None):
        assert Client().get("/health/live").status_code == 200
        answer = Client().get("/health/ready")
        assert (answer.status_code, answer.json()["database"]) == (503, "unreachable")


@pytest.mark.django_db
def test_redis_down_is_told_and_no_reason_to_send_requests_elsewhere(settings: Any) -> None:
    assert Client().get("/health/ready").json() == {
        "database": "ok",
        "cache": "not used",
        "broker": "not used",
    }
    settings.CACHE_URL = settings.REDIS_URL = "redis://127.0.0.1:1/0"
    answer = Client().get("/health/ready")
    assert answer.status_code == 200
    assert answer.json() == {"database": "ok", "cache": "unreachable", "broker": "unreachable"}


@pytest.mark.django_db
def test_alive_tells_of_each_queue() -> None:
    worker.sweep(queue=Queue.QUICK)
    call_command("alive", "quick")
    with pytest.raises(CommandError, match="messages"):
        call_command("alive", "messages")


def figures(settings: Any) -> dict[tuple[str, tuple[str, ...]], float]:
    """Every sample by its name and the values of its labels, by the names of those."""
    settings.METRICS_TOKEN = TOKEN
    answer = Client().get("/metrics", headers={"Authorization": f"Bearer {TOKEN}"})
    assert answer.status_code == 200
    families = text_string_to_metric_families(answer.content.decode())
    return {
        (one.name, tuple(value for _, value in sorted(one.labels.items()))): one.value
        for family in families
        for one in family.samples
    }


@pytest.mark.django_db
def test_figures_of_requests_and_work(place: Place, settings: Any) -> None:
    before = figures(settings)
    client_of(place.coach).get("/api/v1/club")
    with club_scope(place.club.id):
        factories.make_round(place.player_member, place.player)
    after = figures(settings)
    club = ("golfstats_requests_total", ("club", "GET", "200"))
    assert after[club] == before.get(club, 0) + 1
    assert after["golfstats_work_outstanding", ("round_analysis", "quick")] == 1
    assert after["golfstats_work_delay_seconds", (str(place.club.id), "round_analysis", "quick")] >= 0
    assert sum(value for (name, _), value in after.items() if name == "golfstats_database_connections") >= 1
    names = {label for _, labels in after for label in labels}
    assert not any(place.player.name in name or "ines" in name for name in names)


@pytest.mark.django_db
def test_figures_tell_how_often_each_kind_of_work_was_begun_and_what_it_took(
    place: Place, settings: Any
) -> None:
    """Fits among them: how many a night, and seconds for one."""
    with club_scope(place.club.id):
        factories.make_round(place.player_member, place.player)
    worker.drain()
    first = figures(settings)
    with club_scope(place.club.id):
        factories.make_round(place.player_member, place.player, played_on=date(2026, 6, 1))
    worker.drain()
    second = figures(settings)
    fit, analysis = ("club_benchmark", "long"), ("round_analysis", "quick")
    assert first["golfstats_work_begun_total", fit] == 1
    assert first["golfstats_work_seconds_total", fit] > 0
    assert second["golfstats_work_begun_total", analysis] == first["golfstats_work_begun_total", analysis] + 1
    assert second["golfstats_work_seconds_total", analysis] > first["golfstats_work_seconds_total", analysis]


COUNTS_ONE = """
import django; django.setup()
from golfstats.doors.rest.watching import REQUESTS, requests_counted
REQUESTS.labels("club", "GET", "200").inc()
print(requests_counted().decode())
"""


def test_the_processes_of_one_web_count_together(tmp_path: Path) -> None:
    environment = os.environ | {
        "PROMETHEUS_MULTIPROC_DIR": str(tmp_path),
        "DJANGO_SETTINGS_MODULE": "golfstats.settings",
    }
    told = [
        subprocess.run(
            [sys.executable, "-c", COUNTS_ONE],
            cwd=ROOT,
            env=environment,
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for _ in range(2)
    ]
    counted = [re.findall(r"^golfstats_requests_total.* ([0-9.]+)$", one, re.MULTILINE) for one in told]
    assert counted == [["1.0"], ["2.0"]]


@pytest.mark.django_db
def test_figures_are_for_whoever_knows_the_token(settings: Any) -> None:
    settings.METRICS_TOKEN = ""
    assert Client().get("/metrics").status_code == 404
    assert Client().get("/metrics", headers={"Authorization": "Bearer "}).status_code == 404
    settings.METRICS_TOKEN = TOKEN
    assert Client().get("/metrics", headers={"Authorization": "Bearer guess"}).status_code == 404


class Lines(logging.Handler):
    """Keeps what is logged as the JSON it would be written as."""

    def __init__(self) -> None:
        super().__init__()
        self.setFormatter(JsonLines())
        self.lines: list[dict[str, Any]] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(json.loads(self.format(record)))


@pytest.fixture
def lines() -> Any:
    handler = Lines()
    root = logging.getLogger()
    level = root.level
    root.addHandler(handler)
    root.setLevel(logging.INFO)
    yield handler.lines
    root.removeHandler(handler)
    root.setLevel(level)


@pytest.mark.django_db
def test_a_request_has_one_line_and_its_id_is_told(place: Place, lines: list[dict[str, Any]]) -> None:
    answer = client_of(place.coach).get(f"/api/v1/players/{place.player.id}")
    (line,) = [one for one in lines if one["logger"] == "golfstats.access"]
    assert (line["address"], line["method"], line["status"]) == ("player", "GET", 200)
    assert line["request"] == answer.headers["X-Request-Id"]
    assert re.fullmatch(r"[0-9a-f-]{36}", line["request"])
    assert line["club"] == str(place.club.id)
    assert str(place.player.id) not in json.dumps(line)


@pytest.mark.django_db
def test_so_has_a_page_and_neither_leaves_its_club_to_the_next(
    place: Place, lines: list[dict[str, Any]]
) -> None:
    browser = Client()
    browser.force_login(place.coach.user)
    browser.get(f"/clubs/{place.club.slug}/")
    browser.get("/sign-in")
    page, elsewhere = (one for one in lines if one["logger"] == "golfstats.access")
    assert page["club"] == str(place.club.id)
    assert "club" not in elsewhere


@pytest.mark.django_db
def test_a_fault_of_ours_is_logged_with_its_club(
    place: Place, lines: list[dict[str, Any]], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("not foreseen")

    monkeypatch.setattr("golfstats.doors.rest.operations.OperationView.answer", broken)
    client = client_of(place.coach)
    client.raise_request_exception = False
    assert client.get("/api/v1/club").status_code == 500
    failed = [one for one in lines if one["level"] == "ERROR" and "RuntimeError" in one.get("error", "")]
    assert {(one["club"], one["request"] != "") for one in failed} == {(str(place.club.id), True)}


@pytest.mark.django_db
@pytest.mark.parametrize(
    "address",
    [
        "/calendar/01980000-0000-7000-8000-000000000001/s3cret.ics",
        "/join/01980000000070008000000000000001.s3cret",
        "/password/s3cret/s3cret-s3cret",
    ],
)
def test_no_line_has_an_address_that_opens_something(address: str) -> None:
    """Django's own lines about refused requests name the path."""
    root = logging.getLogger()
    (console,) = [one for one in root.handlers if one.name == "console"]
    assert isinstance(console, logging.StreamHandler)
    written = io.StringIO()
    before = console.setStream(written)
    try:
        Client().get(address)
        logging.getLogger("django.request").error("%s: %s", "Service Unavailable", address)
    finally:
        console.setStream(before)
    assert address.split("/")[1] in written.getvalue()
    assert "cret" not in written.getvalue().replace("/password/s3cret/", "")


@pytest.mark.django_db
def test_a_line_of_a_worker_names_club_and_work(
    two_clubs: Any, kinds: Any, lines: list[dict[str, Any]]
) -> None:
    @handler("poison", retry_after=AT_ONCE)
    def poison(key: str) -> None:
        logging.getLogger("golfstats.sample").info("about to fail")
        raise RuntimeError(key)

    ask_in(two_clubs[0], "poison", "x")
    worker.drain(limit=1)
    (said,) = [one for one in lines if one["logger"] == "golfstats.sample"]
    assert (said["club"], said["work"]) == (str(two_clubs[0].id), "poison x")
    (failed,) = [one for one in lines if one["level"] == "ERROR"]
    assert "RuntimeError: x" in failed["error"]
