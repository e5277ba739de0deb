"""A course's altitude: a manager gives it, and distances in neutral conditions allow for the thinner air."""

from __future__ import annotations

import pytest

from courses.layout.models import Course, TeeSet
from golfstats.calc.plan.shots.weather import in_weather
from golfstats.ground.clock import today_at
from golfstats.ground.walls.scope import club_scope
from players.plans.making import drawn_holes_of, game_of, question_of
from players.plans.models import RoundPlan
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


def test_a_plan_takes_the_courses_altitude_as_it_takes_the_temperature(place: Place) -> None:
    """By the same 1.4% for 1,000 ft: shots come down to sea level with it, and go up with it to the course planned."""
    with club_scope(place.club.id):
        play_rounds(place.player_member, place.player, 4)
        course = Course.objects.get()
        plan = RoundPlan(player=place.player, tee_set=TeeSet.objects.get(), planned_for=today_at(place.club))
        at_sea_level = game_of(place.player).learnt.bag.drive
        course.altitude = 1500
        course.save()
        plan.tee_set = TeeSet.objects.select_related("course").get()
        # The same shots, now known to have flown through thinner air. The usual golfer's length does not move, so
        # that the player's own moves by nearly all of it.
        bag = game_of(place.player).learnt.bag
        assert 1.03 < at_sea_level / bag.drive < 1.069 + 0.001
        weather = question_of(plan, drawn_holes_of(plan)[0]).weather
        assert in_weather(bag, weather).drive == pytest.approx(1.069 * bag.drive, rel=0.001)


@pytest.mark.parametrize("altitude", [-501, 5001, "high"])
def test_no_course_is_that_high(place: Place, altitude: object) -> None:
    with club_scope(place.club.id):
        course = Course.objects.get().id
    answer = client_of(place.manager).patch(
        f"/api/v1/courses/{course}", {"altitude": altitude}, format="json"
    )
    assert answer.status_code == 422
