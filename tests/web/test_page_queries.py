"""A page asks the database as often for a season as for a day."""

from __future__ import annotations

import datetime as dt

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from courses.greens import services as greens
from courses.greens.services import GreenWorkBody
from courses.layout.models import Course
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.people.models import SquadPlayer
from tests import factories
from tests.web.conftest import Place, signed_in


def a_month_more(place: Place, month: int) -> None:
    """Rounds, a player more in the squad, green work."""
    with club_scope(place.club.id):
        course = Course.objects.get()
        newcomer = factories.make_player(f"Newcomer {month}")
        SquadPlayer.objects.create(squad=place.squad, player=newcomer)
        for day in range(1, 4):
            for player in (place.player, newcomer):
                factories.make_round(place.manager, player, dt.date(2026, month, day))
        body = GreenWorkBody(kind="coring_medium", starts_on=dt.date(2026, month, 2))
        greens.add_work(place.greenkeeper, course, body)
    worker.drain()


@pytest.mark.parametrize(
    ("who", "where"),
    [
        ("player_member", ""),
        ("coach", ""),
        ("coach", "squads/{squad}"),
        ("coach", "players"),
        ("coach", "players/{player}"),
        ("greenkeeper", "courses/{course}"),
        ("manager", "members"),
    ],
)
def test_queries_do_not_grow_with_what_there_is(place: Place, who: str, where: str) -> None:
    with club_scope(place.club.id):
        course_id = Course.objects.get().id
    address = where.format(squad=place.squad.id, player=place.player.id, course=course_id)
    client = signed_in(getattr(place, who))
    counts = []
    for month in (5, 6):
        a_month_more(place, month)
        with CaptureQueriesContext(
            connection,
        ) as captured:
            assert client.get(f"/clubs/{place.club.slug}/{address}").status_code == 200
        counts.append(len(captured))
    assert counts[0] == counts[1]
