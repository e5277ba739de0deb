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
    women = [factories.make_player(), factories.make_player("Second")]
    for day in range(12):
        over = {5: 2 + day // 6, 14: 2, 1: 1}
        factories.make_round(
            manager, women[day % 2], dt.date(2026, 5, 1) + dt.timedelta(days=day), holes=scores(over)
        )
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


def test_balls_picked_up_count_with_their_most_likely_score(tees):
    # Two players of equal golf; one gives up the fifth hole whenever it goes badly. Left out, those holes would make
    # the hardest hole play like any other.
    manager = factories.make_member(Role.MANAGER)
    first, second = factories.make_player(), factories.make_player("Second")
    for day in range(12):
        badly = day % 4 < 2
        holes = scores({5: 3 if badly else 0})
        holes[4]["picked_up"] = badly and day % 2 == 0
        factories.make_round(
            manager,
            first if day % 2 == 0 else second,
            dt.date(2026, 5, 1) + dt.timedelta(days=day),
            holes=holes,
        )
    (told,) = difficulty(Asker(manager), [tees], DifficultyQuery(gender=Gender.WOMEN))
    assert (told.holes[4].scores, told.holes[4].over_par) == (12, pytest.approx(1.5))


def test_scores_of_one_player_say_little_of_the_members(tees):
    # Forty scores, but by four players of whom two find the hole hard: as forty they would claim 1.0 to within 0.27.
    manager = factories.make_member(Role.MANAGER)
    players = [factories.make_player(f"Player {number}") for number in range(4)]
    for day in range(40):
        over = {5: 2 * (day % 2), 6: 2 * (day // 4 % 2)}
        factories.make_round(
            manager, players[day % 4], dt.date(2026, 4, 1) + dt.timedelta(days=day), holes=scores(over)
        )
    (told,) = difficulty(Asker(manager), [tees], DifficultyQuery(gender=Gender.WOMEN))
    of_players, of_days = told.holes[4], told.holes[5]
    assert (of_players.over_par, of_days.over_par) == (1.0, 1.0)
    assert of_players.high - of_players.low > 2
    assert of_days.high - of_days.low < 0.8


def test_one_player_alone_is_no_club(tees):
    manager, woman = factories.make_member(Role.MANAGER), factories.make_player()
    for day in range(12):
        factories.make_round(manager, woman, dt.date(2026, 5, 1) + dt.timedelta(days=day), holes=scores({}))
    (told,) = difficulty(Asker(manager), [tees], DifficultyQuery(gender=Gender.WOMEN))
    assert {(hole.scores, hole.over_par) for hole in told.holes} == {(12, None)}
