"""A round posted over HTTP is analysed by a real Celery worker, and one whose analysis fails says so."""

from __future__ import annotations

import os
from typing import Any

import pytest

from golfstats.ground.clubs.models import Club, Role
from golfstats.ground.outbox import tasks
from golfstats.ground.outbox.worker import drain
from golfstats.ground.walls.scope import club_scope
from tests import factories
from tests.databases import committed
from tests.outbox.processes import send_messages_to, worker_process
from tests.players.conftest import client_of
from tests.waiting import wait_until


def signed_in(club: Club) -> Any:
    with club_scope(club.id):
        factories.make_tee_set(factories.make_course())
        member = factories.make_member(Role.PLAYER)
        factories.make_player(member=member)
    return client_of(member)


@committed
@pytest.mark.redis
def test_posted_round_is_analysed_by_a_real_worker(
    two_clubs: tuple[Club, Club], settings: Any, tmp_path: Any
) -> None:
    settings.REDIS_URL = os.environ.get("REDIS_URL") or "redis://127.0.0.1:6379/5"
    send_messages_to(settings.REDIS_URL)
    tasks.app.control.purge()
    client = signed_in(two_clubs[0])
    with worker_process(settings.REDIS_URL, tmp_path / "worker.log"):
        address = client.post("/api/v1/rounds", factories.round_body(), format="json").headers["Location"]
        wait_until(lambda: client.get(address).json()["analysis"] == "done")
        player = client.get(address).json()["player"]["id"]
        wait_until(lambda: client.get(f"/api/v1/players/{player}/handicap").json()["record"])
    analysis = client.get(f"{address}/analysis").json()
    assert [hole["number"] for hole in analysis["holes"]] == list(range(1, 19))
    # The telescoping sum: E(tee) - score, hole by hole (invariant 1 of the worked strokes-gained examples).
    for hole in analysis["holes"]:
        parts = sum(shot["strokes_gained"] for shot in hole["shots"])
        assert hole["strokes_gained"] == pytest.approx(parts, abs=1e-6)


@pytest.mark.django_db
def test_failing_analysis_is_told_with_its_reason_and_can_be_asked_again(
    two_clubs: tuple[Club, Club], monkeypatch: pytest.MonkeyPatch
) -> None:
    from players.figures import services as analysis

    client = signed_in(two_clubs[0])
    address = client.post("/api/v1/rounds", factories.round_body(), format="json").headers["Location"]

    def bug(*args: object) -> None:
        raise RuntimeError("a bug in the analysis")

    with monkeypatch.context() as patched:
        patched.setattr(analysis, "strokes_gained", bug)
        for _ in range(6):
            make_due()
            drain()
    told = client.get(address).json()
    assert told["analysis"] == "failed"
    assert "a bug in the analysis" in told["analysis_reason"]

    assert client.post(f"{address}/analyse").status_code == 202
    assert client.get(address).json()["analysis"] == "pending"
    drain()
    assert client.get(address).json()["analysis"] == "done"


def make_due() -> None:
    """As if the time until the next attempt had passed."""
    from django.utils import timezone

    from golfstats.ground.outbox.models import OutstandingWork

    OutstandingWork.objects.filter(due_at__isnull=False).update(due_at=timezone.now())
