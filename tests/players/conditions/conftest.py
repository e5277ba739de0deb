from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np
import pytest

from courses.inputs import GreenWorkBody
from courses.models import Course, RecoveryTime
from courses.services import greens
from golfstats.calc.greens.effect import MIDDLES_FT, Components, GreensEffect
from golfstats.clubs.scope import club_scope
from players.models import ConditionEffect
from tests import factories
from tests.players.conditions.green_golf import days, play, simulated_round, work_off
from tests.players.conftest import Place, place, scope

__all__ = ["place", "scope"]

SPRING_CORING = dt.date(2026, 4, 1)
MAY_CORING = dt.date(2026, 5, 20)
LATE_CORING = dt.date(2026, 8, 24)
"""Nobody has entered this one yet."""


@dataclass
class GreenClub:
    place: Place
    course: Course
    other_course: Course


@pytest.fixture
def green_club(place: Place) -> GreenClub:
    """A club that knows what disturbed greens cost, was cored in spring, and played on two courses in August."""
    rng = np.random.default_rng(5)
    with club_scope(place.club.id):
        club = _club(place, SPRING_CORING)
        know_the_effect()
        rounds = [simulated_round(rng, place.other_player, day) for day in days(SPRING_CORING, 1, 4)]
        rounds += [simulated_round(rng, place.other_player, day) for day in days(dt.date(2026, 7, 1), 1, 3)]
        play(place.manager, rounds + _august(place, rng))
        work_off("greens_changed")
        return club


@pytest.fixture
def fitted_club(place: Place) -> GreenClub:
    """A club that was cored twice, on which a great effect was played and then fitted."""
    rng = np.random.default_rng(5)
    with club_scope(place.club.id):
        club = _club(place, SPRING_CORING, MAY_CORING)
        rounds = [simulated_round(rng, place.player, day) for day in days(dt.date(2026, 2, 1), 2, 25)]
        for first in (SPRING_CORING, MAY_CORING):
            rounds += [
                simulated_round(rng, player, day, worse=1.2)
                for player in (place.player, place.other_player)
                for day in days(first, 1, 4)
            ]
        rounds += [simulated_round(rng, place.other_player, day) for day in days(dt.date(2026, 7, 1), 2, 15)]
        play(place.manager, rounds + _august(place, rng))
        work_off("greens_changed", "condition_effect")
        return club


def know_the_effect() -> None:
    """As if the club's putts had shown both spreads to grow by about a quarter, and ten days of recovery."""
    scales = np.array([0.8, 1.0, 1.25])
    effect = GreensEffect(
        rounds=41,
        days=18,
        putts=24_000,
        direction_sd=0.027,
        distance_sd=0.13,
        day_sd=0.05,
        first_putts=np.full(len(MIDDLES_FT), 18 / len(MIDDLES_FT)),
        components=Components(
            weight=np.array([0.24, 0.5, 0.24]),
            mean=np.full((3, 2), 0.25),
            covariance=np.tile(np.eye(2) * 0.03**2, (3, 1, 1)),
            scale=scales,
        ),
    )
    stored = effect.stored()
    document = {"greens": stored, "kinds": {"coring_medium": stored}, "contexts": []}
    ConditionEffect.objects.create(document=document, putts=effect.putts)
    RecoveryTime.objects.create(kind="coring_medium", days=10, low=8, high=13, rounds=41)


def _club(place: Place, *cored_on: dt.date) -> GreenClub:
    course = Course.objects.get()
    other_course = factories.make_course("Other course")
    factories.make_tee_set(other_course)
    for day in cored_on:
        greens.add_work(place.greenkeeper, course, GreenWorkBody(kind="coring_medium", starts_on=day))
    return GreenClub(place, course, other_course)


def _august(place: Place, rng: np.random.Generator) -> list:
    """Rounds just before, on the day, five days and two months after a coring; and one elsewhere on the day."""
    long_course = [
        simulated_round(rng, place.player, LATE_CORING + dt.timedelta(days=n)) for n in (-1, 0, 5, 60)
    ]
    return [*long_course, simulated_round(rng, place.player, LATE_CORING, course="Other course")]
