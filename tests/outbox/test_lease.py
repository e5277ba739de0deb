"""Work in hand, what is asked for meanwhile, and work that could feed itself."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from golfstats.ground.outbox import worker
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.outbox.work import AGAIN, ask, handler
from golfstats.ground.walls.scope import club_scope
from tests.databases import committed
from tests.outbox.attempts import AT_ONCE, ENOUGH, MAX_ATTEMPTS
from tests.outbox.test_outstanding_work import ask_in, in_a_thread, name_of, rename

pytestmark = pytest.mark.usefixtures("kinds")


def pass_time(by: timedelta) -> None:
    """As if this time had passed: every time in the outbox is so much nearer."""
    for row in OutstandingWork.objects.all():
        for name in ("due_at", "leased_until", "again_at"):
            moment = getattr(row, name)
            setattr(row, name, moment - by if moment else None)
        row.save()


@committed
def test_asked_for_tomorrow_while_it_runs_it_is_done_tomorrow_and_not_when_the_lease_ends(two_clubs):
    done = []
    tomorrow = timezone.now() + timedelta(days=1)

    @handler("fit")
    def fit(key: str) -> None:
        done.append(key)
        in_a_thread(lambda: ask_in(two_clubs[0], "fit", "a", due_at=tomorrow)).join(10)

    ask_in(two_clubs[0], "fit", "a")
    worker.drain(limit=ENOUGH)
    assert OutstandingWork.objects.get().due_at == tomorrow
    pass_time(timedelta(hours=1))
    worker.drain(limit=ENOUGH)
    assert done == ["a"]
    pass_time(timedelta(hours=24))
    worker.drain(limit=1)
    assert done == ["a", "a"]


@committed
def test_a_run_longer_than_its_lease_leaves_tomorrow_s_request_for_tomorrow(two_clubs):
    done = []

    @handler("slow fit", retry_after=AT_ONCE)
    def fit(key: str) -> None:
        done.append(key)
        later = timezone.now() + timedelta(days=1)
        in_a_thread(lambda: ask_in(two_clubs[0], "slow fit", key, due_at=later)).join(10)

    ask_in(two_clubs[0], "slow fit", "a")
    assert worker.drain(limit=ENOUGH) == 1
    assert done == ["a"]


@committed
def test_a_failed_attempt_is_tried_again_though_it_was_also_asked_for_tomorrow(two_clubs):
    done = []

    @handler("fit", retry_after=AT_ONCE)
    def fit(key: str) -> None:
        done.append(key)
        if len(done) == 1:
            later = timezone.now() + timedelta(days=1)
            in_a_thread(lambda: ask_in(two_clubs[0], "fit", key, due_at=later)).join(10)
            raise RuntimeError("not this time")

    ask_in(two_clubs[0], "fit", "a")
    worker.drain(limit=ENOUGH)
    assert done == ["a", "a"]


@pytest.mark.django_db
def test_work_cannot_ask_for_itself(two_clubs):
    reasons = []

    @handler("loop", on_failure=lambda _key, reason: reasons.append(reason), retry_after=AT_ONCE)
    def loop(key: str) -> None:
        rename("Oakmarsh")
        ask("loop", key)

    ask_in(two_clubs[0], "loop", "a")
    assert worker.drain(limit=ENOUGH) == MAX_ATTEMPTS
    assert reasons == ["OwnRequestError: loop asked for itself: it would never end"]
    assert name_of(two_clubs[0]) == "Hollowfield"


@pytest.mark.django_db
def test_work_in_pieces_is_called_for_the_next_one_until_it_is_over(two_clubs):
    pieces = []

    @handler("pieces")
    def piece(key: str) -> str | None:
        pieces.append(key)
        return AGAIN if len(pieces) < 3 else None

    ask_in(two_clubs[0], "pieces", "a")
    assert worker.drain(limit=1) == 1
    assert OutstandingWork.objects.get().attempts == 0
    assert worker.drain(limit=ENOUGH) == 2
    assert not OutstandingWork.objects.exists()


@pytest.mark.django_db
def test_the_lease_of_a_worker_that_died_runs_out(two_clubs):
    done = []
    handler("note")(done.append)
    ask_in(two_clubs[0], "note", "a")
    OutstandingWork.objects.update(attempts=1, leased_until=timezone.now() + timedelta(seconds=10))
    with club_scope(two_clubs[0].id):
        ask("note", "a")
    assert worker.drain(limit=ENOUGH) == 0
    pass_time(timedelta(seconds=11))
    assert worker.drain(limit=ENOUGH) == 2  # the attempt that died, and what was asked for meanwhile
    assert not OutstandingWork.objects.exists()
