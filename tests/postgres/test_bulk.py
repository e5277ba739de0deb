"""Rows that are written many at once, as few and as very many."""

from __future__ import annotations

import pytest
from django.utils import timezone

from courses.layout.models import Course
from golfstats.ground.clubs.models import Club
from golfstats.ground.walls import bulk
from golfstats.ground.walls.kept import ANY_KEYS, KeptStatement
from golfstats.ground.walls.scope import club_scope
from players.figures.models import RoundFigures, ShotFigures
from players.rounds.models import Shot
from tests import factories
from tests.players.conftest import Place, place

__all__ = ["place"]  # a fixture of theirs that is used here as well


@pytest.mark.parametrize("few", [0, 1000])
def test_columns_are_stored_as_they_were_given(
    place: Place, few: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bulk, "FEW", few)
    with club_scope(place.club.id):
        factories.make_round(place.manager, place.player)
        given = [(one, "tee", 4.1, 1 / 3, -1e-9) for one in Shot.objects.values_list("id", flat=True)[:3]]
        names = ("shot_id", "part", "expected_before", "expected_after", "strokes_gained")
        bulk.insert_columns(ShotFigures, dict(zip(names, zip(*given, strict=True), strict=True)))
        assert sorted(ShotFigures.objects.values_list(*names)) == sorted(given)
        assert {one.club_id for one in ShotFigures.objects.all()} == {place.club.id}


@pytest.mark.parametrize("few", [0, 1000])
def test_a_row_is_written_in_place_of_the_one_that_is_there(
    place: Place, few: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It keeps its key and what no column was given for; a row that was not there comes beside it."""
    monkeypatch.setattr(bulk, "FEW", few)
    with club_scope(place.club.id):
        rounds = [factories.make_round(place.manager, place.player).id for _ in range(2)]
        there = RoundFigures.objects.create(round_id=rounds[0], holes_played=9, holes_covered=9, putts=20)
        columns: dict[str, list[object]] = {
            "round_id": rounds,
            "benchmark": ["peer", "peer"],
            "holes_played": [18, 18],
            "holes_covered": [0, 18],
            "total": [None, -1.5],
            "computed_at": [timezone.now()] * 2,
        }
        bulk.insert_columns(RoundFigures, columns, in_place_of="round_id")
        first, second = (RoundFigures.objects.get(round_id=round_id) for round_id in rounds)
    assert (first.id, first.putts, first.holes_played, first.total) == (there.id, 20, 18, None)
    assert (second.putts, second.holes_covered, second.total) == (None, 18, -1.5)


def test_rows_that_are_deleted_by_a_key_are_those_and_of_the_club_in_scope(
    place: Place, other_club: Club
) -> None:
    with club_scope(place.club.id):
        rounds = [factories.make_round(place.manager, place.player).id for _ in range(2)]
        for round_id in rounds:
            RoundFigures.objects.create(round_id=round_id, holes_played=18, holes_covered=18)
    with club_scope(other_club.id):
        bulk.delete_those(RoundFigures, "round_id", rounds)
    with club_scope(place.club.id):
        assert RoundFigures.objects.count() == 2
        bulk.delete_those(RoundFigures, "round_id", rounds[:1])
        assert list(RoundFigures.objects.values_list("round_id", flat=True)) == rounds[1:]


def test_a_kept_statement_finds_the_rows_of_whichever_club_is_in_scope(
    two_clubs: tuple[Club, Club],
) -> None:
    """It is written once, in the scope of the first that asks."""
    courses = []
    for club in two_clubs:
        with club_scope(club.id):
            courses.append(factories.make_course())
    these = KeptStatement(lambda: Course.objects.filter(id__any_of=ANY_KEYS), Course)
    for club, own in zip(two_clubs, courses, strict=True):
        with club_scope(club.id):
            assert these.rows(keys=[course.id for course in courses]) == [own]
