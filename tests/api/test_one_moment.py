"""What a request reads belongs together, whoever posts meanwhile; and nobody fails for what another just did."""

from __future__ import annotations

import threading
from collections.abc import Callable
from datetime import date
from typing import Any
from uuid import UUID

import pytest
from django.db import OperationalError, connection
from django.test import Client

from golfstats.doors.pages.base import ClubPage
from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.outbox import worker
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.postgres.trouble import tried_again
from golfstats.ground.walls.scope import club_scope
from players.coaching import priorities
from players.coaching.models import PlayerReport
from players.coaching.reports import report
from players.handicap.history import load_history
from players.people.models import RememberedAnswer
from players.rounds.models import Round
from tests import factories
from tests.databases import committed
from tests.outbox.test_outstanding_work import in_a_thread
from tests.players.conftest import Place, client_of

pytestmark = committed


def post_in_between(place: Place, day: int) -> None:
    """Let the player post a round over another connection, while this one is in the middle of something."""

    def post() -> None:
        with club_scope(place.club.id):
            factories.make_round(place.player_member, place.player, played_on=date(2026, 5, day))

    in_a_thread(post).join(20)


def posts_in_between(monkeypatch: pytest.MonkeyPatch, place: Place) -> list[int]:
    """Let the player post a round between the two steps in which priorities are read."""
    posted: list[int] = []

    def slow(player: Any, today: date, *, last: int) -> Any:
        if not posted:
            posted.append(10)
            post_in_between(place, 10)
        return load_history(player, today, last=last)

    monkeypatch.setattr(priorities, "load_history", slow)
    return posted


@pytest.fixture
def analysed(place: Place) -> Place:
    with club_scope(place.club.id):
        for day in range(1, 6):
            factories.make_round(place.player_member, place.player, played_on=date(2026, 5, day))
    worker.drain()
    return place


def test_a_round_posted_while_priorities_are_read_does_not_tear_them(
    analysed: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    with club_scope(analysed.club.id):
        RememberedAnswer.objects.all().delete()  # or the worker's own would be told, and nothing read
    posted = posts_in_between(monkeypatch, analysed)
    answer = client_of(analysed.coach).get(f"/api/v1/players/{analysed.player.id}/priorities")
    assert len(posted) == 1
    assert answer.status_code == 200, answer.content


def test_nor_does_it_tear_an_answer_of_graphql(analysed: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    real = report.report_section

    def slow(name: str) -> Any:
        post_in_between(analysed, 20)
        return real(name)

    monkeypatch.setattr(report, "report_section", slow)
    rounds = "rounds(first: 50) { edges { node { id } } }"
    query = f'{{ before: {rounds} player(id: "{analysed.player.id}") {{ priorities {{ benchmark }} }} after: {rounds} }}'
    data = client_of(analysed.coach).post("/graphql", {"query": query}, format="json").json()["data"]
    assert len(ids_of(analysed)) == 6
    assert len(data["before"]["edges"]) == 5
    assert data["after"] == data["before"]


def test_nor_does_it_fail_the_report(
    analysed: Place, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    posted = posts_in_between(monkeypatch, analysed)
    with club_scope(analysed.club.id):
        factories.make_round(analysed.player_member, analysed.player, played_on=date(2026, 5, 9))
    worker.drain()
    assert len(posted) == 1
    with club_scope(analysed.club.id):
        assert set(Round.objects.values_list("analysis", flat=True)) == {"done"}
        assert PlayerReport.objects.exists()
    # The round in between asks for the report once more, which would hide that it failed at first.
    assert [one.getMessage() for one in caplog.records if one.levelname == "ERROR"] == []


def test_a_page_is_of_one_moment_as_well(analysed: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    counted: list[int] = []

    def slow(page: ClubPage, *args: Any, **places: Any) -> Any:
        counted.append(Round.objects.count())
        post_in_between(analysed, 21)
        counted.append(Round.objects.count())
        return answer_of_page(page, *args, **places)

    monkeypatch.setattr(ClubPage, "_answer", slow)
    assert start_page(analysed) == 200
    assert counted == [5, 5]
    assert len(ids_of(analysed)) == 6


def test_a_page_broken_by_another_transaction_is_asked_for_again(
    analysed: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    tries: list[int] = []

    def broken_once(page: ClubPage, *args: Any, **places: Any) -> Any:
        break_once(tries)
        return answer_of_page(page, *args, **places)

    monkeypatch.setattr(ClubPage, "_answer", broken_once)
    assert start_page(analysed) == 200
    assert len(tries) == 2


def test_so_is_a_document_of_graphql(analysed: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the fault is an error of one field, of which the door by itself would tell in an answer of status 200."""
    tries: list[int] = []
    real = report.report_section

    def broken_once(name: str) -> Any:
        break_once(tries)
        return real(name)

    monkeypatch.setattr(report, "report_section", broken_once)
    query = f'{{ player(id: "{analysed.player.id}") {{ priorities {{ benchmark }} }} }}'
    answer = client_of(analysed.coach).post("/graphql", {"query": query}, format="json").json()
    assert "errors" not in answer
    assert len(tries) == 2


answer_of_page = ClubPage._answer


def start_page(place: Place) -> int:
    browser = Client()
    browser.force_login(place.coach.user)
    return browser.get(f"/clubs/{place.club.slug}/").status_code


def break_once(tries: list[int]) -> None:
    """As PostgreSQL breaks one of two transactions that wait for each other."""
    tries.append(1)
    if len(tries) == 1:
        with connection.cursor() as cursor:
            cursor.execute(DEADLOCK)


DEADLOCK = "DO $$ BEGIN RAISE SQLSTATE '40P01'; END $$"


def at_once(*jobs: Callable[[], Any]) -> list[Any]:
    """Run the jobs together, each on a connection of its own, and give what they gave."""
    start = threading.Barrier(len(jobs))
    results: list[Any] = [None] * len(jobs)

    def run(index: int) -> None:
        start.wait(10)
        results[index] = jobs[index]()

    threads = [in_a_thread(lambda index=index: run(index)) for index in range(len(jobs))]
    for one in threads:
        one.join(30)
    return results


def test_two_managers_who_demote_each_other_leave_one(place: Place) -> None:
    with club_scope(place.club.id):
        right = factories.make_member(Role.MANAGER)
    left = place.manager

    def demote(who: Member, whom: Member) -> Callable[[], int]:
        address = f"/api/v1/members/{whom.id}"
        return lambda: client_of(who).patch(address, {"role": "coach"}, format="json").status_code

    for _ in range(4):
        first, second = sorted(at_once(demote(left, right), demote(right, left)))
        assert first == 200
        assert second in {403, 409}  # no manager any more, or the last one to go
        with club_scope(place.club.id):
            assert Member.objects.filter(role=Role.MANAGER).count() == 1
            Member.objects.filter(id__in=[left.id, right.id]).update(role=Role.MANAGER)


def deleting(place: Place, round_id: UUID) -> Callable[[], int]:
    address, headers = f"/api/v1/rounds/{round_id}", {"If-Match": "*"}
    return lambda: client_of(place.player_member).delete(address, headers=headers).status_code


def analysing(place: Place, round_id: UUID) -> Callable[[], int]:
    return lambda: client_of(place.player_member).post(f"/api/v1/rounds/{round_id}/analyse").status_code


def ids_of(place: Place) -> list[UUID]:
    with club_scope(place.club.id):
        return list(Round.objects.order_by("id").values_list("id", flat=True))


def test_a_round_deleted_while_its_record_is_folded(analysed: Place) -> None:
    *going, staying = ids_of(analysed)
    for round_id in going:
        analysing(analysed, staying)()
        answer, _ = at_once(deleting(analysed, round_id), worker.drain)
        assert answer == 204
        worker.drain()
    assert not OutstandingWork.objects.filter(attempts__gt=0).exists(), "work failed at first"


def test_analysing_again_what_is_being_deleted_is_not_found(analysed: Place) -> None:
    for round_id in ids_of(analysed):
        deleted, asked = at_once(deleting(analysed, round_id), analysing(analysed, round_id))
        assert deleted == 204
        assert asked in {202, 404}


def test_of_two_corrections_of_one_version_one_is_refused(analysed: Place) -> None:
    with club_scope(analysed.club.id):
        round_ = Round.objects.first()
        assert round_ is not None
    address = f"/api/v1/rounds/{round_.id}"

    def correct(ball: str) -> Callable[[], int]:
        client = client_of(analysed.player_member)
        return lambda: (
            client.patch(address, {"ball": ball}, format="json", headers={"If-Match": tag}).status_code
        )

    for _ in range(4):
        tag = client_of(analysed.player_member).get(address).headers["ETag"]
        assert sorted(at_once(correct("green"), correct("blue"))) == [200, 412]


def test_what_another_transaction_broke_is_tried_again() -> None:
    calls: list[int] = []

    def job() -> str:
        calls.append(1)
        if len(calls) < 3:
            with connection.cursor() as cursor:
                cursor.execute(DEADLOCK)
        return "done"

    assert tried_again(job) == "done"
    calls.clear()
    with pytest.raises(OperationalError), connection.cursor() as cursor:
        tried_again(lambda: cursor.execute("DO $$ BEGIN RAISE SQLSTATE '57014'; END $$"))
