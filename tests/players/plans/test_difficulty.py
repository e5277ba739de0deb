import datetime as dt

import pytest

from courses.layout.models import Gender
from golfstats.ground.clubs.models import Role
from golfstats.ground.operations import Asker
from players.plans.costs import difficulty as hard
from players.plans.costs.difficulty import DifficultyQuery, difficulty
from tests import factories


def scores(over: dict[int, int]):
    return [
        {"number": number, "score": par + over.get(number, 0)}
        for number, par in enumerate(factories.PARS, start=1)
    ]


@pytest.fixture
def tees(club):
    return factories.make_tee_set(factories.make_course())


def test_the_hardest_hole_gets_the_lowest_index_once_there_are_scores_enough(tees, monkeypatch):
    monkeypatch.setattr(hard, "MINIMUM_SCORES", 12)
    manager = factories.make_member(Role.MANAGER)
    woman = factories.make_player()
    for day in range(12):
        over = {5: 2 + day % 2, 14: 2, 1: 1}
        factories.make_round(manager, woman, dt.date(2026, 5, 1) + dt.timedelta(days=day), holes=scores(over))
    (told,) = difficulty(Asker(manager), [tees], DifficultyQuery(gender=Gender.WOMEN))
    by_number = {hole.number: hole for hole in told.holes}
    assert by_number[5].over_par == pytest.approx(2.5)
    assert by_number[5].low < 2.5 < by_number[5].high
    assert (by_number[5].suggested, by_number[14].suggested) == (1, 2)
    assert sorted(hole.suggested for hole in told.holes) == list(range(1, 19))
    assert "committee decides" in told.notice
    # No man has played here: nothing is suggested for men.
    (men,) = difficulty(Asker(manager), [tees], DifficultyQuery(gender=Gender.MEN))
    assert {hole.suggested for hole in men.holes} == {None}
    assert men.notice.startswith("Too few")


def test_ties_and_few_scores_suggest_nothing(tees):
    manager = factories.make_member(Role.MANAGER)
    factories.make_round(manager, factories.make_player(), dt.date(2026, 5, 1), holes=scores({}))
    (told,) = difficulty(Asker(manager), [tees], DifficultyQuery(gender=Gender.WOMEN))
    assert {hole.over_par for hole in told.holes} == {None}
    assert {hole.suggested for hole in told.holes} == {None}
