"""A phone that sends a round twice because the first answer was slow."""

from __future__ import annotations

from collections.abc import Callable
from threading import Barrier, Thread
from typing import Any

from django.db import connection

from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.walls.scope import club_scope
from players.rounds.models import Round
from tests import factories
from tests.databases import committed
from tests.players.conftest import client_of


def together(*calls: Callable[[], Any]) -> list[Any]:
    """Results of calls begun at the same moment, each in a thread with a connection of its own."""
    start, results = Barrier(len(calls)), [None] * len(calls)

    def run(index: int) -> None:
        try:
            start.wait()
            results[index] = calls[index]()
        finally:
            connection.close()

    threads = [Thread(target=run, args=[index]) for index in range(len(calls))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return results


def a_player() -> Member:
    club = factories.make_club("larkmoor")
    with club_scope(club.id):
        factories.make_tee_set(factories.make_course())
        member = factories.make_member(Role.PLAYER, "ines")
        factories.make_player("Ines Aldana", member)
    return member


@committed
def test_two_posts_under_one_key_save_one_round() -> None:
    member = a_player()
    headers = {"Idempotency-Key": "once"}

    def post() -> Any:
        return client_of(member).post(
            "/api/v1/rounds", factories.round_body(), format="json", headers=headers
        )

    first, second = together(post, post)
    assert (first.status_code, second.status_code) == (201, 201)
    assert first.content == second.content
    assert first.headers["Location"] == second.headers["Location"]
    with club_scope(member.club_id):
        assert Round.objects.count() == 1


@committed
def test_two_corrections_of_one_version_are_one() -> None:
    """The second waits for the row, then finds another version than it has seen."""
    member = a_player()
    address = (
        client_of(member).post("/api/v1/rounds", factories.round_body(), format="json").headers["Location"]
    )

    def correct(ball: str) -> Callable[[], Any]:
        headers = {"If-Match": '"1"'}
        return lambda: client_of(member).patch(address, {"ball": ball}, format="json", headers=headers)

    answers = together(correct("soft"), correct("hard"))
    assert sorted(answer.status_code for answer in answers) == [200, 412]
    with club_scope(member.club_id):
        assert Round.objects.get().version == 2
