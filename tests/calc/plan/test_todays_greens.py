"""The day's greens from first putts, against putts simulated with known spreads."""

import numpy as np
import pytest

from golfstats.calc.plan.greens import FEET, Greens
from golfstats.calc.plan.shots.prior import usual_putting
from golfstats.calc.plan.todays_greens import PRIOR_SD, todays_greens

USUAL = Greens(*usual_putting(18.0))


def _rounds(greens, rounds, holes=18):
    """First putts of 6 to 50 feet and the putts taken on these greens."""
    rng = np.random.default_rng(5)
    feet = rng.uniform(6.0, 50.0, (rounds, holes))
    one, two = (np.interp(feet, FEET, chance) for chance in (greens.outcomes.one, greens.outcomes.two))
    drawn = rng.random((rounds, holes))
    return feet, 1.0 + (drawn > one) + (drawn > one + two)


def test_too_few_putts_say_nothing():
    assert todays_greens(np.array([20.0, 30.0]), np.array([3.0, 3.0]), USUAL).cost is None


def test_a_few_putts_move_it_little_and_claim_nothing():
    told = todays_greens(np.array([20.0] * 3), np.array([3.0] * 3), USUAL)
    assert 0 < told.cost < PRIOR_SD
    assert told.low < 0 < told.high
    assert "can be told yet" in told.words


def test_intervals_cover_where_greens_differ_as_the_prior_says():
    """90% intervals hold the truth about nine times in ten over greens drawn from the prior (by simulation)."""
    rng = np.random.default_rng(8)
    held = 0
    feet, usual_putts = _rounds(USUAL, 600)
    for row, truth in enumerate(rng.normal(0.0, PRIOR_SD, 600)):
        shift = truth / 18.0  # each putt total moved by chance, so that the mean moves by the truth
        extra = np.sign(shift) * (rng.random(18) < abs(shift))
        told = todays_greens(feet[row], usual_putts[row] + extra, USUAL)
        held += told.low <= truth <= told.high
    assert held / 600 == pytest.approx(0.9, abs=0.05)


def test_wild_greens_are_noticed_in_a_round():
    wild = Greens(USUAL.direction_sd * 2.2, USUAL.distance_sd * 1.8)
    feet, putts = _rounds(wild, 200)
    noticed = [todays_greens(f, p, USUAL).low > 0 for f, p in zip(feet, putts, strict=True)]
    assert np.mean(noticed) > 0.5
    feet, putts = _rounds(USUAL, 400)
    claimed = [todays_greens(f, p, USUAL).low > 0 for f, p in zip(feet, putts, strict=True)]
    assert np.mean(claimed) <= 0.05  # one side of a 90% interval, drawn towards nothing
