"""Loading golf makes no objects of its shots, and calls no function for each of them."""

from __future__ import annotations

from golfstats.ground.postgres.statistics import refresh_statistics
from golfstats.ground.walls.scope import club_scope
from players.golf.loading import load_record
from players.rounds.models import Shot
from tests import factories
from tests.benchmarks.test_posting_growth import copy_rows
from tests.counting import calls_of
from tests.players.conftest import Place, place

__all__ = ["place"]  # a fixture of theirs that is used here as well


def test_more_rounds_call_fewer_functions_more_than_they_have_shots(place: Place) -> None:
    """Each round may cost some calls. One call for each shot, wherever it came from, would be too many."""
    with club_scope(place.club.id):
        factories.make_round(place.manager, place.player)
        copy_rows(range(60))
        refresh_statistics()
        load_record()
        few, calls_for_few = Shot.objects.count(), calls_of(load_record)
        copy_rows(range(60, 600))
        refresh_statistics()
        many, calls_for_many = Shot.objects.count(), calls_of(load_record)
    assert many > 9 * few
    assert calls_for_many - calls_for_few < many - few
