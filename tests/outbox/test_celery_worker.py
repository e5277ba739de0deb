"""A real Celery worker on a real Redis, which die in the middle of things."""

from __future__ import annotations

import os

import pytest
from django.db import connection

from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox import tasks
from golfstats.ground.outbox.models import OutstandingWork, WorkerHeartbeat
from golfstats.ground.outbox.work import ask
from golfstats.ground.walls.scope import club_scope
from tests.databases import committed
from tests.outbox import sample_work
from tests.outbox.processes import OwnRedis, send_messages_to, worker_process
from tests.waiting import wait_until

pytestmark = [pytest.mark.redis, committed]


@pytest.fixture
def redis_url(settings):
    url = os.environ.get("REDIS_URL") or "redis://127.0.0.1:6379/5"
    settings.REDIS_URL = url
    send_messages_to(url)
    tasks.app.control.purge()
    return url


@pytest.fixture
def own_redis(settings, tmp_path):
    server = OwnRedis(tmp_path)
    server.start()
    settings.REDIS_URL = server.url
    send_messages_to(server.url)
    yield server
    server.stop()


def ask_in(club: Club, kind: str, key: str) -> None:
    with club_scope(club.id):
        ask(kind, key)


def name_of(club: Club) -> str:
    with club_scope(club.id):
        return Club.objects.get(id=club.id).name


def somebody_waits_for_the_gate() -> bool:
    with connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM pg_locks WHERE locktype = 'advisory' AND NOT granted")
        return cursor.fetchone()[0] > 0


def close_the_gate() -> None:
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_lock(hashtextextended(%s, 0))", [sample_work.GATE])


def open_the_gate() -> None:
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_unlock_all()")


def test_a_commit_is_enough_for_a_worker_to_do_it(two_clubs, redis_url, tmp_path):
    with worker_process(redis_url, tmp_path / "worker.log"):
        for club, key in zip(two_clubs, ["one", "two"], strict=True):
            ask_in(club, "sample_append", key)
        wait_until(lambda: not OutstandingWork.objects.exists())
    assert [name_of(club) for club in two_clubs] == ["Hollowfield one", "Stonebarrow two"]


@pytest.mark.parametrize("kind", ["sample_append", "sample_outside"])
def test_two_workers_of_a_queue_do_each_piece_once_and_leave_none(two_clubs, redis_url, tmp_path, kind):
    logs = [tmp_path / "first.log", tmp_path / "second.log"]
    keys = [str(number) for number in range(10, 30)]
    with worker_process(redis_url, logs[0]), worker_process(redis_url, logs[1]):
        for key in keys:
            for club in two_clubs:
                ask_in(club, kind, key)
        tasks.sweep.delay()  # finds the same pieces that the messages tell of
        tasks.sweep.delay()
        wait_until(lambda: not OutstandingWork.objects.exists())
    for club in two_clubs:
        assert sorted(name_of(club).split()[1:]) == keys
    assert all("succeeded" in log.read_text(encoding="utf-8") for log in logs), "both have worked"


def test_killed_in_the_middle_the_next_sweep_finishes_it(two_clubs, redis_url, tmp_path):
    with worker_process(redis_url, tmp_path / "first.log") as first:
        close_the_gate()
        ask_in(two_clubs[0], "sample_gated", "done")
        wait_until(somebody_waits_for_the_gate)
        first.kill()
    # The database notices the dead worker when it has something to tell it.
    open_the_gate()
    wait_until(lambda: not somebody_waits_for_the_gate())
    assert name_of(two_clubs[0]) == "Hollowfield"
    assert OutstandingWork.objects.get().attempts == 1

    with worker_process(redis_url, tmp_path / "second.log"):
        tasks.sweep.delay()
        wait_until(lambda: not OutstandingWork.objects.exists())
    assert name_of(two_clubs[0]) == "Hollowfield done"
    assert WorkerHeartbeat.objects.exists()


def test_asked_while_redis_is_down_it_is_done_when_redis_is_back(two_clubs, own_redis, tmp_path):
    with worker_process(own_redis.url, tmp_path / "worker.log"):
        own_redis.stop()
        ask_in(two_clubs[0], "sample_append", "after all")
        assert OutstandingWork.objects.get().attempts == 0

        own_redis.start()
        # What beat sends every half minute.
        tasks.sweep.delay()
        wait_until(lambda: not OutstandingWork.objects.exists())
    assert name_of(two_clubs[0]) == "Hollowfield after all"


@pytest.mark.parametrize(
    ("kind", "reason"),
    [
        ("sample_poison", "RuntimeError: no such tee"),
        ("sample_killer", "the worker stopped while doing this"),
    ],
)
def test_poison_ends_failed_and_does_not_loop(two_clubs, redis_url, tmp_path, kind, reason):
    with worker_process(redis_url, tmp_path / "worker.log"):
        ask_in(two_clubs[0], kind, "round")

        def given_up() -> bool:
            tasks.sweep.delay()
            return OutstandingWork.objects.get().due_at is None

        wait_until(given_up)
        # The worker goes on with what is not poisonous.
        ask_in(two_clubs[1], "sample_append", "lives")
        wait_until(lambda: name_of(two_clubs[1]) == "Stonebarrow lives")
    assert name_of(two_clubs[0]) == f"Hollowfield round failed: {reason}"
