"""The bag as it is told."""

import pytest

from golfstats.ground.clubs.models import Role
from golfstats.ground.operations import Asker, Query
from players.plans.answers import NOBODYS
from players.plans.bag import bags
from tests import factories


@pytest.fixture
def player(club):
    return factories.make_player(gender="women")


def bag_of(player):
    (told,) = bags(Asker(factories.make_member(Role.COACH)), [player], Query())
    return told


def test_a_bag_without_own_swings_says_whose_it_is(player):
    told = bag_of(player)
    assert told.rests_on == NOBODYS
    assert [club.length for club in told.clubs] == sorted((c.length for c in told.clubs), reverse=True)
    assert told.clubs[0].club == "driver"
    assert not told.clubs[0].length_figure.enough
    assert told.clubs[0].length_figure.words.startswith("too few")
    # The usual bag has no gap and no miss worth a word.
    assert told.words == []


def test_own_swings_tell_length_miss_and_gaps(player):
    """Fourteen drives 25 yards right of the line, and a 7-iron that goes nearly as far as the 5-wood should."""
    factories.make_tee_set(factories.make_course())
    shots = [
        {"lie": "tee", "distance": 400, "club": "driver", "swing": "full", "travel": 150, "offline": 25},
        {"lie": "fairway", "distance": 250, "club": "3w", "swing": "full", "travel": 140, "offline": 2},
        {"lie": "fairway", "distance": 110, "club": "7i", "swing": "full", "travel": 105, "offline": 0},
        {"lie": "green", "distance": 9},
    ]
    pars = zip(factories.PARS, factories.LENGTHS, strict=True)
    holes = [
        {"number": number, "shots": factories.plain_shots(3, length) if par == 3 else shots}
        for number, (par, length) in enumerate(pars, start=1)
    ]
    factories.make_round(factories.make_member(Role.MANAGER), player, holes=holes)
    told = bag_of(player)
    driver = told.clubs[0]
    assert "42 full swings" in told.rests_on
    assert driver.full_swings == 14
    assert driver.length_figure.low < 150 < driver.length_figure.high
    assert driver.miss > 15
    assert driver.across > 0
    # Nine in ten finish within two spreads, which are smaller than the standard deviation with its tails.
    assert driver.along == pytest.approx(2.0 * driver.length_spread.value / 1.265, rel=0.1)
    assert driver.to_next == pytest.approx(driver.length - told.clubs[1].length)
    assert any(
        words.startswith("driver finishes") and "the plan aims it left" in words for words in told.words
    )
