"""What whoever asks for work can rely on."""

from __future__ import annotations

import threading
from collections.abc import Callable
from datetime import timedelta

import pytest
from django.core.management import call_command
from django.db import OperationalError, connection, transaction
from django.utils import timezone

from golfstats.ground.clubs.models import Club
from golfstats.ground.faults import ProblemError
from golfstats.ground.outbox import worker
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.outbox.work import UNFINISHED, ask, handler, one_at_a_time
from golfstats.ground.walls.scope import NoClubScopeError, club_scope, current_club_id
from golfstats.sentences import Sentence
from tests.databases import committed
from tests.outbox.attempts import AT_ONCE

pytestmark = pytest.mark.usefixtures("kinds")


def ask_in(club: Club, kind: str, key: str, **when) -> None:
    with club_scope(club.id):
        ask(kind, key, **when)


def rename(name: str) -> None:
    Club.objects.filter(id=current_club_id()).update(name=name)


def name_of(club: Club) -> str:
    with club_scope(club.id):
        return Club.objects.get(id=club.id).name


def in_a_thread(job: Callable[[], object]) -> threading.Thread:
    """Run the job with a database connection of its own."""

    def run() -> None:
        try:
            job()
        finally:
            connection.close()

    thread = threading.Thread(target=run)
    thread.start()
    return thread


@pytest.mark.django_db
def test_work_is_done_once_in_its_own_club(two_clubs):
    handler("rename")(rename)
    for club, name in zip(two_clubs, ["Oakmarsh", "Fernbeck"], strict=True):
        ask_in(club, "rename", name)

    assert worker.drain() == 2
    assert [name_of(club) for club in two_clubs] == ["Oakmarsh", "Fernbeck"]
    assert worker.drain() == 0


@pytest.mark.django_db
def test_a_request_goes_with_the_transaction_that_made_it(two_clubs):
    handler("rename")(rename)
    with transaction.atomic():
        ask_in(two_clubs[0], "rename", "Oakmarsh")
        transaction.set_rollback(True)
    assert worker.drain() == 0


@pytest.mark.django_db
def test_asking_needs_a_club_and_a_known_kind(two_clubs):
    handler("rename")(rename)
    with pytest.raises(NoClubScopeError):
        ask("rename", "Oakmarsh")
    with pytest.raises(ValueError, match="renamed"):
        ask_in(two_clubs[0], "renamed", "Oakmarsh")


@pytest.mark.django_db
def test_asking_twice_before_a_worker_comes_is_one_piece_of_work(two_clubs):
    done = []
    handler("note")(done.append)
    ask_in(two_clubs[0], "note", "a")
    ask_in(two_clubs[0], "note", "a")
    ask_in(two_clubs[0], "note", "b")
    worker.drain()
    assert sorted(done) == ["a", "b"]


@pytest.mark.django_db
def test_work_for_later_waits_and_the_earliest_request_counts(two_clubs):
    done = []
    handler("note")(done.append)
    tomorrow = timezone.now() + timedelta(days=1)
    ask_in(two_clubs[0], "note", "later", due_at=tomorrow)
    worker.drain()
    assert done == []

    ask_in(two_clubs[0], "note", "later")
    ask_in(two_clubs[0], "note", "later", due_at=tomorrow)
    worker.drain()
    assert done == ["later"]


@pytest.mark.django_db
def test_a_failed_attempt_leaves_nothing_half_done_and_is_tried_later(two_clubs):
    @handler("half", retry_after=(timedelta(minutes=2), timedelta(minutes=9)))
    def half(key: str) -> None:
        rename(key)
        raise RuntimeError("the other half")

    ask_in(two_clubs[0], "half", "Oakmarsh")
    before = timezone.now()
    assert worker.drain() == 1
    assert name_of(two_clubs[0]) == "Hollowfield"
    wait = OutstandingWork.objects.get(kind="half").due_at - before
    assert timedelta(minutes=2) <= wait < timedelta(minutes=3)
    assert worker.drain() == 0


@pytest.mark.django_db
def test_work_that_always_fails_ends_with_a_reason_and_can_be_asked_again(two_clubs):
    attempts, mended = [], []

    @handler("poison", on_failure=lambda key, reason: rename(f"{key}: {reason}"), retry_after=AT_ONCE)
    def poison(key: str) -> None:
        attempts.append(key)
        if not mended:
            raise RuntimeError("no such tee")

    ask_in(two_clubs[0], "poison", "round")
    worker.drain()
    assert len(attempts) == 5
    assert name_of(two_clubs[0]) == "round: RuntimeError: no such tee"
    assert worker.drain() == 0

    mended.append(True)
    ask_in(two_clubs[0], "poison", "round")
    assert worker.drain() == 1
    assert not OutstandingWork.objects.filter(kind="poison").exists()


@pytest.mark.django_db
@pytest.mark.parametrize(
    "error",
    [
        ValueError(Sentence("{tee} has no holes", tee="Red")),
        ProblemError("no-holes", Sentence("{tee} has no holes", tee="Red")),
    ],
)
def test_a_reason_that_was_written_for_people_is_told_as_it_is(two_clubs, error):
    @handler("told", on_failure=lambda key, reason: rename(f"{key}: {reason}"), retry_after=AT_ONCE)
    def told(key: str) -> None:
        raise error

    ask_in(two_clubs[0], "told", "round")
    worker.drain()
    assert name_of(two_clubs[0]) == "round: Red has no holes"


@pytest.mark.django_db
def test_work_may_keep_what_it_wrote_and_still_be_tried_again(two_clubs):
    given_up = []

    @handler("log", on_failure=lambda key, _reason: given_up.append(key), retry_after=AT_ONCE)
    def log(key: str) -> str:
        rename(name_of(two_clubs[0]) + key)
        return UNFINISHED

    ask_in(two_clubs[0], "log", "!")
    assert worker.drain() == 5
    assert name_of(two_clubs[0]) == "Hollowfield!!!!!"
    assert given_up == ["!"]


@pytest.mark.django_db
def test_work_is_given_up_even_when_its_failure_cannot_be_reported(two_clubs):
    @handler("poison", on_failure=lambda key, _reason: rename(key * 200), retry_after=AT_ONCE)
    def poison(key: str) -> None:
        raise RuntimeError(key)

    ask_in(two_clubs[0], "poison", "too long a name")
    assert worker.drain() == 5
    assert worker.drain() == 0


@pytest.mark.django_db
def test_one_failing_piece_does_not_hold_up_the_others(two_clubs):
    done = []
    handler("note")(done.append)

    @handler("poison")
    def poison(key: str) -> None:
        raise RuntimeError(key)

    ask_in(two_clubs[0], "poison", "first")
    ask_in(two_clubs[0], "note", "second")
    worker.drain()
    assert done == ["second"]


@pytest.mark.django_db
def test_a_kind_that_this_version_does_not_know_is_left_for_one_that_does(two_clubs, kinds):
    handler("tomorrow's kind")(rename)
    ask_in(two_clubs[0], "tomorrow's kind", "Oakmarsh")
    del kinds["tomorrow's kind"]
    assert worker.drain() == 0
    handler("tomorrow's kind")(rename)
    assert worker.drain() == 1


@pytest.mark.django_db
def test_drain_takes_no_more_than_it_is_told(two_clubs):
    done = []
    handler("note")(done.append)
    for key in "abc":
        ask_in(two_clubs[0], "note", key)
    assert worker.drain(limit=2) == 2
    assert len(done) == 2
    assert worker.drain(stop=lambda: True) == 0


@committed
def test_asked_again_while_it_runs_it_is_done_again_and_nobody_waits(two_clubs):
    done = []

    @handler("note")
    def note(key: str) -> None:
        done.append(key)
        if len(done) == 1:
            asking = in_a_thread(lambda: ask_in(two_clubs[0], "note", "a"))
            asking.join(10)
            assert not asking.is_alive(), "a request waits for the worker"

    ask_in(two_clubs[0], "note", "a")
    worker.drain()
    assert done == ["a", "a"]


@committed
def test_what_one_worker_is_at_no_other_takes(two_clubs):
    """Retried at once, the row is due again while it is being done: only the lock keeps others away."""
    done = []

    @handler("note", retry_after=AT_ONCE)
    def note(key: str) -> None:
        done.append(key)
        other = in_a_thread(worker.drain)
        other.join(10)
        assert not other.is_alive(), "a worker waits for another"

    for key in "ab":
        ask_in(two_clubs[0], "note", key)
    worker.drain()
    assert sorted(done) == ["a", "b"]


@committed
def test_one_at_a_time_keeps_others_waiting_until_the_transaction_ends(two_clubs):
    refused, passed = [], []

    def try_both() -> None:
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("SET LOCAL lock_timeout = '50ms'")
            one_at_a_time("player 2")
            passed.append("player 2")
            try:
                one_at_a_time("player 1")
            except OperationalError:
                refused.append("player 1")
                raise

    def expect_refusal() -> None:
        with pytest.raises(OperationalError):
            try_both()

    with transaction.atomic():
        one_at_a_time("player 1")
        in_a_thread(expect_refusal).join(10)
    assert (passed, refused) == (["player 2"], ["player 1"])
    in_a_thread(lambda: refused.clear() or try_both()).join(10)
    assert refused == []


@pytest.mark.django_db
def test_the_drain_command_does_what_is_due(two_clubs, capsys):
    handler("rename")(rename)
    ask_in(two_clubs[0], "rename", "Oakmarsh")
    call_command("drain")
    assert name_of(two_clubs[0]) == "Oakmarsh"
    assert "1" in capsys.readouterr().out
