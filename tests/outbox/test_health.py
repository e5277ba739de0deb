from __future__ import annotations

import json
from datetime import timedelta

import pytest
from django.test import RequestFactory
from django.utils import timezone

from golfstats.ground.outbox import worker
from golfstats.ground.outbox.health import health
from golfstats.ground.outbox.models import OutstandingWork, WorkerHeartbeat
from golfstats.ground.outbox.work import Queue, ask, handler
from golfstats.ground.walls.scope import club_scope
from tests.databases import connected_otherwise


def asked_health() -> tuple[int, dict]:
    answer = health(RequestFactory().get("/health"))
    return answer.status_code, json.loads(answer.content)


@pytest.mark.django_db
def test_healthy_after_a_sweep_and_it_counts_what_is_outstanding(two_clubs, kinds):
    handler("note")(print)
    worker.sweep()
    with club_scope(two_clubs[0].id):
        for key in ["waits", "waits as well", "hopeless"]:
            ask("note", key)
    OutstandingWork.objects.filter(key="hopeless").update(due_at=None)
    OutstandingWork.objects.filter(key="waits").update(due_at=timezone.now() - timedelta(minutes=10))

    status, body = asked_health()
    assert status == 200
    assert (body["database"], body["worker"]) == ("ok", "ok")
    assert (body["outstanding"], body["given_up"]) == (2, 1)
    assert 600 <= body["oldest_due_seconds"] < 660
    assert "waits" not in json.dumps(body)


@pytest.mark.django_db
def test_no_sweep_lately_is_unhealthy():
    status, body = asked_health()
    assert (status, set(body["heartbeat_age_seconds"].values())) == (503, {None})
    worker.sweep(queue=Queue.QUICK)
    assert asked_health()[0] == 503, "nobody sends messages"
    worker.sweep()
    assert asked_health()[0] == 200
    WorkerHeartbeat.objects.update(beat_at=timezone.now() - timedelta(minutes=10))
    assert asked_health()[0] == 503


@pytest.mark.django_db
def test_an_unreachable_database_is_said_and_not_an_error_page():
    with connected_otherwise(HOST="127.0.0.1", PORT=1, EMBEDDED_IN=None):
        assert asked_health() == (503, {"database": "unreachable"})
