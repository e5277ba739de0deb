"""Who waits for whom: clubs take turns, and each queue has its own workers."""

from __future__ import annotations

from collections import defaultdict
from datetime import timedelta

import pytest
from django.utils import timezone

from golfstats.ground.ids import new_id
from golfstats.ground.outbox import worker
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.outbox.shares import FORGOTTEN_AFTER_SECONDS, Shares
from golfstats.ground.outbox.work import Postponed, Queue, handler
from tests.outbox.test_outstanding_work import ask_in

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("kinds")]


def test_a_club_with_a_thousand_pieces_of_work_delays_another_by_one(two_clubs):
    done = []
    handler("note")(done.append)
    for number in range(50):
        ask_in(two_clubs[0], "note", f"busy {number}")
    worker.drain(limit=5)
    ask_in(two_clubs[1], "note", "quiet")
    worker.drain(limit=2)
    assert "quiet" in done


def test_a_worker_of_one_queue_leaves_the_others_alone(two_clubs):
    done = []
    handler("quick")(done.append)
    handler("fit", queue=Queue.LONG)(done.append)
    ask_in(two_clubs[0], "fit", "fit")
    ask_in(two_clubs[0], "quick", "round")
    assert worker.drain(queue=Queue.QUICK) == 1
    assert done == ["round"]
    assert worker.drain(queue=Queue.LONG) == 1
    assert done == ["round", "fit"]


def test_a_club_has_one_message_on_its_way_at_a_time(two_clubs):
    sent = []
    handler("message", queue=Queue.MESSAGES, outside=True)(lambda _club, key: sent.append(key))
    for club, key in [(two_clubs[0], "a"), (two_clubs[0], "b"), (two_clubs[1], "c")]:
        ask_in(club, "message", key)
    # Another worker has just taken the first and waits for its receiver.
    OutstandingWork.objects.filter(key="a").update(leased_until=timezone.now() + worker.OUTSIDE_LEASE)
    assert worker.drain(queue=Queue.MESSAGES) == 1
    assert sent == ["c"]


def test_postponed_work_was_no_attempt(two_clubs):
    until = timezone.now() + timedelta(hours=1)
    handler("message", queue=Queue.MESSAGES, outside=True)(lambda _club, _key: Postponed(until))
    ask_in(two_clubs[0], "message", "a")
    assert worker.drain() == 1
    row = OutstandingWork.objects.get()
    assert (row.due_at, row.attempts, row.leased_until) == (until, 0, None)


def test_a_club_whose_work_takes_long_has_its_turn_the_more_seldom(two_clubs, monkeypatch):
    """One turn each would give the club with the long pieces nearly all of the worker."""
    clock, done = [0.0], []
    monkeypatch.setattr(worker, "_shares", defaultdict(lambda: Shares(now=lambda: clock[0])))
    slow, quick = two_clubs

    def takes(key: str) -> None:
        clock[0] += 10.0 if key.startswith("slow") else 1.0
        done.append(key.split(maxsplit=1)[0])

    handler("note")(takes)
    for number in range(30):
        ask_in(slow, "note", f"slow {number}")
        ask_in(quick, "note", f"quick {number}")
    worker.drain(limit=20)
    assert done.count("quick") > 5 * done.count("slow") > 0


def test_a_slow_receiver_is_no_reason_to_wait_for_a_round(two_clubs, monkeypatch):
    clock, done = [0.0], []
    monkeypatch.setattr(worker, "_shares", defaultdict(lambda: Shares(now=lambda: clock[0])))
    busy, other = two_clubs

    def hangs(_club, _key) -> None:
        clock[0] += 30.0

    handler("message", queue=Queue.MESSAGES, outside=True)(hangs)
    handler("round")(done.append)
    ask_in(busy, "message", "hangs")
    worker.drain(queue=Queue.MESSAGES)
    ask_in(busy, "round", "first")
    ask_in(other, "round", "second")
    worker.drain(limit=1, queue=Queue.QUICK)
    assert done == ["first"]


def test_what_was_had_long_ago_is_forgotten():
    clock = [0.0]
    shares = Shares(now=lambda: clock[0])
    club = new_id()
    with shares.measured(club):
        clock[0] += 60.0
    assert shares.of(club) > 50.0
    clock[0] += 10 * FORGOTTEN_AFTER_SECONDS
    assert shares.of(club) < 0.01
