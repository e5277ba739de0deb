"""Without Redis a thread of the server does the outstanding work."""

from __future__ import annotations

import threading

import pytest

from golfstats.ground.outbox import thread
from golfstats.ground.outbox.work import Queue, ask, handler
from golfstats.ground.walls.scope import club_scope
from tests.databases import committed
from tests.waiting import wait_until


@pytest.fixture(autouse=True)
def without_redis(settings, kinds):
    settings.REDIS_URL = ""
    yield
    thread.stop()


def outbox_threads() -> list[threading.Thread]:
    return [found for found in threading.enumerate() if found.name.startswith("outbox")]


@committed
def test_the_thread_does_what_was_outstanding_and_wakes_for_what_is_asked(two_clubs, monkeypatch):
    monkeypatch.setattr(thread, "SWEEP_EVERY_SECONDS", 3600.0)
    done: list[str] = []
    handler("note")(done.append)
    with club_scope(two_clubs[0].id):
        ask("note", "asked before the start")
    thread.start()
    wait_until(lambda: done == ["asked before the start"])

    with club_scope(two_clubs[1].id):
        ask("note", "asked while it sleeps")
    # It would not look at the clock again: the commit wakes it.
    wait_until(lambda: done[1:] == ["asked while it sleeps"])


@committed
def test_it_starts_once_and_stops_cleanly(two_clubs):
    thread.start()
    thread.start()
    assert len(outbox_threads()) == len(thread.THREADS)
    thread.stop()
    assert outbox_threads() == []


@committed
def test_it_survives_a_sweep_that_fails(two_clubs, monkeypatch):
    sweeps: list[str] = []

    def broken_once(queue, **_ignored) -> None:
        if queue == Queue.QUICK:
            sweeps.append("swept")
        if len(sweeps) == 1:
            raise RuntimeError("the database went away")

    monkeypatch.setattr("golfstats.ground.outbox.worker.sweep", broken_once)
    thread.start()
    wait_until(lambda: len(sweeps) == 1)
    wait_until(lambda: (thread.wake(Queue.QUICK), len(sweeps) > 1)[1])


def test_with_redis_there_is_no_thread(settings):
    settings.REDIS_URL = "redis://localhost"
    thread.start()
    assert outbox_threads() == []
