"""Rows that are written many at once, as few and as very many."""

from __future__ import annotations

import pytest

from golfstats.ground.walls import bulk
from golfstats.ground.walls.scope import club_scope
from players.figures.models import ShotFigures
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
