"""Many who ask the same of a player at once, as after a round: each is answered."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connection

from golfstats.ground.clubs.models import ErasedGolf
from golfstats.ground.operations import Asker
from golfstats.ground.walls.scope import club_scope
from players.golf.questions import WindowQuery
from players.people.models import Player, RememberedAnswer
from players.record.erasing import erase
from tests import factories
from tests.databases import committed
from tests.players.conftest import Place
from tests.players.test_remembered_answers import QUESTIONS

(SUMMARY,) = [one for one in QUESTIONS if one.name == "player-summary"]


def summary_of(place: Place) -> object:
    (summary,) = SUMMARY.ask(Asker(place.coach), [place.player], WindowQuery())
    return summary


def asked_by_another(place: Place) -> object:
    try:
        with club_scope(place.club.id, snapshot=True):
            return summary_of(place)
    finally:
        connection.close()


@committed
def test_who_asks_while_another_is_answered_the_same_is_answered(place: Place) -> None:
    with club_scope(place.club.id):
        factories.make_round(place.player_member, place.player)
    with club_scope(place.club.id, snapshot=True):
        assert not RememberedAnswer.objects.exists()  # what this transaction sees is settled by now
        with ThreadPoolExecutor(1) as another:
            first = another.submit(asked_by_another, place).result()
        assert summary_of(place) == first
        assert not RememberedAnswer.objects.exists()
    with club_scope(place.club.id):
        assert RememberedAnswer.objects.count() == 1


def erased_by_another(place: Place, choice: ErasedGolf) -> None:
    try:
        with club_scope(place.club.id):
            place.club.erased_golf = choice
            place.club.save()
            place.player_member.club = place.club
            erase(place.player_member, place.player_member.name, knows_password=True)
    finally:
        connection.close()


@committed
@pytest.mark.parametrize("choice", ErasedGolf)
@pytest.mark.parametrize("snapshot", [True, False])
def test_who_reads_while_the_player_is_erased_leaves_nothing_of_them(
    place: Place, choice: ErasedGolf, snapshot: bool
) -> None:
    with club_scope(place.club.id):
        factories.make_round(place.player_member, place.player)
    with club_scope(place.club.id, snapshot=snapshot):
        assert Player.objects.filter(
            name=place.player.name
        ).exists()  # from here on it may see things as they are now
        with ThreadPoolExecutor(1) as another:
            another.submit(erased_by_another, place, choice).result()
        summary_of(place)
    with club_scope(place.club.id):
        assert not RememberedAnswer.objects.exists()
