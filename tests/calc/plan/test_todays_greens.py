"""The day's greens from first putts, against putts simulated with known spreads."""

from dataclasses import replace

import numpy as np
import pytest

from golfstats.calc.plan.greens import FEET, Greens
from golfstats.calc.plan.shots.prior import usual_putting
from golfstats.calc.plan.todays_greens import LEAST_MISSES, PRIOR_SD, Misses, todays_greens, usual_misses
from golfstats.calc.vocabulary import Lie, MissDepth
from tests.calc.figures.simulated_player import simulated_player

USUAL = Greens(*usual_putting(18.0))
NOTHING = Misses(np.empty(0), np.empty(0))


def _rounds(greens, rounds, holes=18):
    """First putts of 6 to 50 feet and the putts taken on these greens."""
    rng = np.random.default_rng(5)
    feet = rng.uniform(6.0, 50.0, (rounds, holes))
    one, two = (np.interp(feet, FEET, chance) for chance in (greens.outcomes.one, greens.outcomes.two))
    drawn = rng.random((rounds, holes))
    return feet, 1.0 + (drawn > one) + (drawn > one + two)


def test_too_few_putts_say_nothing():
    assert todays_greens(np.array([20.0, 30.0]), np.array([3.0, 3.0]), USUAL, NOTHING).cost is None


def test_a_few_putts_move_it_little_and_claim_nothing():
    told = todays_greens(np.array([20.0] * 3), np.array([3.0] * 3), USUAL, NOTHING)
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
        told = todays_greens(feet[row], usual_putts[row] + extra, USUAL, NOTHING)
        held += told.low <= truth <= told.high
    assert held / 600 == pytest.approx(0.9, abs=0.05)


def test_wild_greens_are_noticed_in_a_round():
    wild = Greens(USUAL.direction_sd * 2.2, USUAL.distance_sd * 1.8)
    feet, putts = _rounds(wild, 200)
    noticed = [todays_greens(f, p, USUAL, NOTHING).low > 0 for f, p in zip(feet, putts, strict=True)]
    assert np.mean(noticed) > 0.5
    feet, putts = _rounds(USUAL, 400)
    claimed = [todays_greens(f, p, USUAL, NOTHING).low > 0 for f, p in zip(feet, putts, strict=True)]
    assert np.mean(claimed) <= 0.05  # one side of a 90% interval, drawn towards nothing


def _misses(rng, count, shift=0.0, wider=1.0):
    """Shares of the putt's length that misses leave, as golfers' rolls scatter: about a tenth of it."""
    return rng.normal(shift, 0.1 * wider, count)


def test_slower_and_bumpier_are_said_where_the_misses_say_so():
    rng = np.random.default_rng(4)
    usual = _misses(rng, 200)
    feet, putts = np.full(18, 30.0), np.full(18, 3.0)
    slow_and_bumpy = Misses(_misses(rng, 16, shift=-0.2, wider=3.0), usual)
    told = todays_greens(feet, putts, USUAL, slow_and_bumpy)
    assert (
        told.words
        == f"Slower and bumpier than usual, about {told.low:.1f} to {told.high:.1f} strokes a round."
    )
    assert told.misses == 16
    assert Misses(_misses(rng, 16, shift=-0.2), usual).manner() == "slower"
    assert Misses(_misses(rng, 16, shift=0.2), usual).manner() == "quicker"
    as_ever = todays_greens(feet, putts, USUAL, Misses(_misses(rng, 16), usual))
    assert as_ever.words.startswith("They take more putts than usual: about")
    assert "Too few" not in as_ever.words
    few = todays_greens(feet, putts, USUAL, Misses(slow_and_bumpy.today[: LEAST_MISSES - 1], usual))
    assert few.words.startswith("They take more putts than usual: about")
    assert "Too few to say how they differ" in few.words
    assert f"{LEAST_MISSES - 1} today" in few.words


def test_usual_misses_are_seldom_called_anything():
    """Two tests at 5% (bumpier has one side of its own): by simulation no more than one round in ten."""
    rng = np.random.default_rng(6)
    usual = _misses(rng, 300)
    called = [bool(Misses(_misses(rng, 12), usual).manner()) for _ in range(600)]
    assert 0.02 < np.mean(called) <= 0.10
    bumpy = [Misses(_misses(rng, 14, wider=2.0), usual).manner() for _ in range(300)]
    assert np.mean(["bumpier" in manner for manner in bumpy]) > 0.8
    slow = [Misses(_misses(rng, 14, shift=-0.12), usual).manner() for _ in range(300)]
    assert np.mean(["slower" in manner for manner in slow]) > 0.8
    assert np.mean(["bumpier" in manner for manner in slow]) <= 0.06


def test_usual_misses_are_the_first_putts_that_missed_from_far_with_their_depth():
    record = simulated_player(np.random.default_rng(2), 4).record
    depth = np.where(np.arange(len(record.shots)) % 3 == 0, MissDepth.SHORT, MissDepth.LONG)
    depth[::5] = -1
    shots = replace(record.shots, miss_depth=depth)
    by_hand = []
    for row in range(1, len(shots) - 1):
        first = shots.lie[row] == Lie.GREEN and shots.lie[row - 1] != Lie.GREEN
        if (
            first
            and shots.hole[row + 1] == shots.hole[row]
            and depth[row] >= 0
            and shots.distance[row] * 3 >= 10
        ):
            way = -1 if depth[row] == MissDepth.SHORT else 1
            by_hand.append(way * shots.distance[row + 1] / shots.distance[row])
    assert len(by_hand) > 20
    np.testing.assert_allclose(usual_misses(replace(record, shots=shots)), by_hand)
