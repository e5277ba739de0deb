"""That greens will be back by a day is said as a chance, kept once a day, and judged by the rounds from then on."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from courses.greens import services as greens
from courses.greens.models import GreenWork
from courses.greens.services import GreenWorkBody
from courses.layout.models import Course
from golfstats.ground.walls.scope import club_scope
from players.conditions import healing
from players.conditions.models import HealingForecast
from tests.players.conditions.conftest import MAY_CORING, know_the_effect
from tests.players.conditions.green_golf import days, play, simulated_round
from tests.players.conftest import Place, client_of

BACK_ON = MAY_CORING + dt.timedelta(days=10)
"""The club's putts have shown ten days."""
ASKED_ON = MAY_CORING + dt.timedelta(days=4)
LATER = BACK_ON + dt.timedelta(days=healing.WAIT_DAYS + 1)


@pytest.fixture
def cored(place: Place) -> Place:
    """Fifteen rounds of each of two players on sound greens, then a coring whose cost the club knows."""
    rng = np.random.default_rng(3)
    with club_scope(place.club.id):
        body = GreenWorkBody(kind="coring_medium", starts_on=MAY_CORING)
        greens.add_work(place.greenkeeper, Course.objects.get(), body)
        know_the_effect(Course.objects.get())
        sound = list(days(dt.date(2026, 4, 1), 3, 15))
        players = (place.player, place.other_player)
        play(place.manager, [simulated_round(rng, player, day) for player in players for day in sound])
    return place


def play_on(place: Place, rounds: int, worse: float = 0.0) -> None:
    rng = np.random.default_rng(8)
    players = (place.player, place.other_player)
    some = [
        simulated_round(rng, players[number % 2], BACK_ON + dt.timedelta(days=number), worse=worse)
        for number in range(rounds)
    ]
    play(place.manager, some)


def told(place: Place) -> dict:
    kinds = client_of(place.player_member).get("/api/v1/forecasts").json()["results"]
    return next(one for one in kinds if one["kind"] == "healed")


@pytest.mark.parametrize(("worse", "healed"), [(0.0, True), (0.6, False)])
def test_what_was_said_is_judged_by_the_rounds_from_the_day_on(
    cored: Place, worse: float, healed: bool
) -> None:
    with club_scope(cored.club.id):
        healing.keep_what_is_said(ASKED_ON)
        healing.keep_what_is_said(ASKED_ON)
        (kept,) = HealingForecast.objects.all()
        assert (kept.back_on, kept.came_true) == (BACK_ON, None)
        assert 0.5 < kept.chance < 1
    assert (told(cored)["waiting"], told(cored)["judged"]) == (1, 0)
    with club_scope(cored.club.id):
        play_on(cored, 10, worse)
        healing.keep_what_is_said(BACK_ON + dt.timedelta(days=9))
        (kept,) = HealingForecast.objects.all()  # nothing more is said of greens that should be back
        assert kept.came_true is healed
    assert (told(cored)["waiting"], told(cored)["judged"]) == (0, 1)


def test_with_too_few_rounds_nobody_can_judge(cored: Place) -> None:
    with club_scope(cored.club.id):
        healing.keep_what_is_said(ASKED_ON)
        play_on(cored, 9)
        healing.judge(BACK_ON + dt.timedelta(days=9))
        assert HealingForecast.objects.get().came_true is None
        healing.judge(LATER)
        assert not HealingForecast.objects.exists()


def test_rounds_on_greens_that_were_cored_again_do_not_judge(cored: Place) -> None:
    with club_scope(cored.club.id):
        healing.keep_what_is_said(ASKED_ON)
        again = GreenWorkBody(kind="coring_medium", starts_on=BACK_ON + dt.timedelta(days=5))
        greens.add_work(cored.greenkeeper, Course.objects.get(), again)
        play_on(cored, 12)
        healing.judge(BACK_ON + dt.timedelta(days=14))
        assert HealingForecast.objects.get().came_true is None


def test_staff_read_the_chance_beside_the_day(cored: Place) -> None:
    with club_scope(cored.club.id):
        work = GreenWork.objects.get()
    path = f"/api/v1/courses/{work.course_id}/green-work/{work.id}/cost"
    cost = client_of(cored.greenkeeper).get(path).json()
    assert cost["back"]["on"] == BACK_ON.isoformat()
    assert 0.5 < cost["back"]["chance"]["value"] < 1


def test_nothing_is_said_where_nobody_knows_what_coring_costs(place: Place) -> None:
    with club_scope(place.club.id):
        body = GreenWorkBody(kind="coring_medium", starts_on=MAY_CORING)
        greens.add_work(place.greenkeeper, Course.objects.get(), body)
        healing.keep_what_is_said(ASKED_ON)
        assert not HealingForecast.objects.exists()
