from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

import numpy as np
import pytest

from courses.greens import services as greens
from courses.greens.models import RecoveryTime
from courses.greens.services import GreenWorkBody
from courses.layout.models import Course
from golfstats.calc.greens.effect.healing import KIND_KNOTS, KNOTS, default_decay
from golfstats.calc.greens.effect.posterior import too_few_effect, widened
from golfstats.ground.walls.scope import club_scope
from players.conditions.effect import FORM
from players.conditions.models import ConditionEffect
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
        know_the_effect(club.course)
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


def know_the_effect(course: Course, strokes: float = 3.0) -> None:
    """As if the club's putts had shown what coring costs: three strokes on the first day, none after ten."""
    decay = default_decay(KNOTS)
    none = np.zeros(len(KIND_KNOTS) + 1)
    mean = np.concatenate([strokes * decay, none])
    covariance = np.zeros((len(mean), len(mean)))
    covariance[: len(KNOTS), : len(KNOTS)] = 0.4**2 * np.outer(decay, decay)
    mean, covariance = widened(mean, covariance, ("coring_medium",), (str(course.id),))
    effect = replace(
        too_few_effect(41, 18, 24_000),
        by_kind={"coring_medium": 41},
        by_course={str(course.id): 41},
        by_course_and_kind={str(course.id): {"coring_medium": 41}},
        mean=mean,
        covariance=covariance,
        recovery={"coring_medium": (10.0, 8.0, 13.0)},
    )
    document = {"form": FORM, "greens": effect.stored(), "contexts": []}
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
