"""A player's mark changes with their golf, nobody waits for it, and it does not pile up."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from uuid import UUID

import pytest
from django.db import connection

from golfstats.ground.walls.scope import club_scope
from players.conditions import analysis
from players.conditions.models import RoundNote
from players.figures.models import RoundFigures
from players.people.models import Player
from players.rounds.models import GolfMark, Round
from tests import factories
from tests.databases import committed
from tests.players.conftest import Place


def mark_of(player: Player) -> set[UUID]:
    return set(GolfMark.objects.filter(player_id=player.id).values_list("id", flat=True))


def latest(player: Player) -> Round:
    return Round.objects.filter(player=player).latest("played_on", "id")


CHANGES: dict[str, Callable[[Place], object]] = {
    "round written": lambda place: factories.make_round(place.player_member, place.player),
    "round changed": lambda place: Round.objects.filter(player=place.player).update(ball="soft"),
    "round deleted": lambda place: latest(place.player).delete(),
    "figures changed": lambda place: RoundFigures.objects.filter(round__player=place.player).update(
        total=1.0
    ),
    "figures deleted": lambda place: RoundFigures.objects.filter(round__player=place.player).delete(),
    "note written": lambda place: RoundNote.objects.create(round=latest(place.player), text="Bumpy"),
}


@pytest.fixture
def two_players(place: Place, scope: None) -> Place:
    for player in (place.player, place.other_player):
        factories.make_round(place.manager, player)
    analysis.analyse_pending()
    return place


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_it_changes_with_the_golf_of_this_player(
    two_players: Place, change: Callable[[Place], object]
) -> None:
    before, of_another = mark_of(two_players.player), mark_of(two_players.other_player)
    change(two_players)
    assert mark_of(two_players.player).isdisjoint(before)
    assert mark_of(two_players.other_player) == of_another


def test_a_round_that_moves_changes_both(two_players: Place) -> None:
    before = mark_of(two_players.player) | mark_of(two_players.other_player)
    Round.objects.filter(player=two_players.player).update(player=two_players.other_player)
    assert before.isdisjoint(mark_of(two_players.player) | mark_of(two_players.other_player))


def test_it_does_not_pile_up(two_players: Place) -> None:
    for ball in ("soft", "hard", "yellow"):
        Round.objects.update(ball=ball)
    assert [len(mark_of(one)) for one in (two_players.player, two_players.other_player)] == [1, 1]


@committed
def test_two_who_write_rounds_of_a_player_do_not_wait_for_each_other(place: Place) -> None:
    with club_scope(place.club.id):
        rounds = [factories.make_round(place.manager, place.player).id for _ in range(2)]
        before = mark_of(place.player)

    def another() -> set[UUID]:
        try:
            with club_scope(place.club.id):
                with connection.cursor() as cursor:
                    cursor.execute("SET LOCAL lock_timeout = '5s'")
                Round.objects.filter(id=rounds[1]).update(ball="hard")
            with club_scope(place.club.id):
                return mark_of(place.player)
        finally:
            connection.close()

    with club_scope(place.club.id):
        Round.objects.filter(id=rounds[0]).update(ball="soft")
        with ThreadPoolExecutor(1) as thread:
            between = thread.submit(another).result()
    with club_scope(place.club.id):
        after = mark_of(place.player)
    assert len({frozenset(before), frozenset(between), frozenset(after)}) == 3, "each state has its mark"
