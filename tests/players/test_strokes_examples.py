"""The examples in the API reference look like the answers."""

from __future__ import annotations

from typing import Any

import pytest

from golfstats.clubs.scope import club_scope
from players import analysis
from players.api import strokes_examples as examples
from players.models import Round
from tests.players.conftest import Place, client_of
from tests.players.simulated_golf import play_rounds

OF_PLAYER = {
    "summary": examples.SUMMARY,
    "figures": examples.FIGURES,
    "figures/approach.100-125.proximity": examples.FIGURE,
    "shots?figure=approach.100-125.proximity": examples.SHOTS,
    "approach": examples.APPROACH,
    "misses": examples.MISSES,
    "distances": examples.DISTANCES,
    "putting": examples.PUTTING,
}


@pytest.fixture
def season(place: Place) -> Place:
    with club_scope(place.club.id):
        play_rounds(place.player_member, place.player, 10)
        analysis.analyse_pending()
    return place


def missing(example: Any, answer: Any, at: str = "") -> list[str]:
    """Places of the example that the answer has not; a list's element may be like any of the answer's."""
    if answer is None:  # nothing to compare with here, say so few squad mates
        return []
    if isinstance(example, dict):
        if not isinstance(answer, dict):
            return [at]
        lost = [f"{at}/{key}" for key in example if key not in answer]
        both = [key for key in example if key in answer]
        return lost + [place for key in both for place in missing(example[key], answer[key], f"{at}/{key}")]
    if isinstance(example, list) and example:
        found = [missing(example[0], one, f"{at}/0") for one in answer]
        return min(found, key=len, default=[at])
    return []


@pytest.mark.parametrize("path", OF_PLAYER)
def test_examples_of_a_player(season: Place, path: str) -> None:
    answer = client_of(season.coach).get(f"/api/v1/players/{season.player.id}/{path}").json()
    assert missing(OF_PLAYER[path], answer) == []
    assert set(OF_PLAYER[path]) == set(answer)


def test_examples_of_rounds_squads_and_benchmarks(season: Place) -> None:
    client = client_of(season.coach)
    with club_scope(season.club.id):
        round_id = Round.objects.values_list("id", flat=True)[0]
    pairs = [
        (examples.ROUND_ANALYSIS, f"rounds/{round_id}/analysis"),
        (examples.SQUAD_TABLE, f"squads/{season.squad.id}/table"),
        (examples.BENCHMARKS, "benchmarks"),
    ]
    for example, path in pairs:
        answer = client.get(f"/api/v1/{path}").json()
        assert missing(example, answer) == []
        assert set(example) == set(answer)
