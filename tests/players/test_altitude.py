"""A course's altitude: a manager gives it, and distances in neutral conditions allow for the thinner air."""

from __future__ import annotations

import pytest

from courses.layout.models import Course
from golfstats.ground.clubs.scope import club_scope
from tests.players.conftest import Place, client_of
from tests.players.simulated_golf import play_rounds


def driver(place: Place) -> dict:
    answer = client_of(place.coach).get(f"/api/v1/players/{place.player.id}/distances")
    assert answer.status_code == 200, answer.content
    return next(club for club in answer.json()["clubs"] if club["club"] == "driver")


def test_high_courses_make_long_drives(place: Place) -> None:
    """1.4% for 1,000 ft is ours, between 1.0 and 2% in the golf press: at 1,500 m a drive is 6.9% longer."""
    with club_scope(place.club.id):
        play_rounds(place.player_member, place.player, 4)
        course = Course.objects.get().id
    low = driver(place)
    manager = client_of(place.manager)
    assert manager.patch(f"/api/v1/courses/{course}", {"altitude": 1500}, format="json").status_code == 200
    assert manager.get(f"/api/v1/courses/{course}").json()["altitude"] == 1500
    high = driver(place)
    assert high["distance"] == low["distance"]
    assert high["plays_like"]["value"] == pytest.approx(low["plays_like"]["value"] / 1.069, rel=0.02)
    assert high["plays_like_range"][0] < high["plays_like"]["value"] < high["plays_like_range"][1]


@pytest.mark.parametrize("altitude", [-501, 5001, "high"])
def test_no_course_is_that_high(place: Place, altitude: object) -> None:
    with club_scope(place.club.id):
        course = Course.objects.get().id
    answer = client_of(place.manager).patch(
        f"/api/v1/courses/{course}", {"altitude": altitude}, format="json"
    )
    assert answer.status_code == 422
