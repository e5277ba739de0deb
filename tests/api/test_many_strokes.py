"""Rounds of more strokes than a hundred, as beginners play them, through everything that happens to a round."""

from __future__ import annotations

from typing import Any

from django.db import connection

from golfstats.ground.ids import new_id
from golfstats.ground.walls.scope import club_scope
from players.conditions.analysis import analyse_pending
from players.figures.models import ShotFigures
from players.rounds.models import PlayedHole, Shot
from tests import factories
from tests.api.test_phones import ROUNDS, ids, put
from tests.players.conftest import Place, client_of

STROKES = 18 * 8
ANYTHING = {"If-Match": "*"}


def round_of_many_strokes(**fields: Any) -> dict[str, Any]:
    """Eight strokes on every hole: 144, each given."""
    holes = [
        {
            "number": hole["number"],
            "shots": [
                {"lie": "tee", "distance": yards},
                *({"lie": "rough", "distance": yards - 20 * number} for number in range(1, 5)),
                {"lie": "green", "distance": 30},
                {"lie": "green", "distance": 6},
                {"lie": "green", "distance": 2, "holed": True},
            ],
        }
        for hole, yards in zip(factories.round_body()["holes"], factories.LENGTHS, strict=True)
    ]
    return factories.round_body(holes=holes, **fields)


def stored(place: Place) -> tuple[int, int, int]:
    """Holes, shots, and figures of shots."""
    with club_scope(place.club.id):
        return PlayedHole.objects.count(), Shot.objects.count(), ShotFigures.objects.count()


def posted(place: Place) -> str:
    own = str(new_id())
    assert put(client_of(place.player_member), own, round_of_many_strokes()).status_code == 201
    with club_scope(place.club.id), connection.cursor() as cursor:
        # Keys in no order of time, as those of a club that was brought here from elsewhere.
        cursor.execute("UPDATE players_shot SET id = gen_random_uuid()")
        analyse_pending()
    assert stored(place) == (18, STROKES, STROKES)
    return own


def test_it_is_corrected(place: Place) -> None:
    own = posted(place)
    answer = put(client_of(place.player_member), own, round_of_many_strokes(ball="soft"), **ANYTHING)
    assert answer.status_code == 200, answer.content
    assert stored(place) == (18, STROKES, 0)


def test_it_is_deleted_and_nothing_of_it_stays(place: Place) -> None:
    own = posted(place)
    answer = client_of(place.player_member).delete(f"{ROUNDS}/{own}", headers=ANYTHING)
    assert answer.status_code == 204, answer.content
    assert ids(place) == set()
    assert stored(place) == (0, 0, 0)
