"""Corrections by distance: nothing where the model is right, the other curve where it is not, and days that go together."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import special

from golfstats.calc.putting.likelihood import Putts
from golfstats.calc.putting.misfit import NO_PUTTS, misfit_of, moved
from golfstats.calc.putting.outcomes import STATES_FT, Chain, putting_outcomes
from golfstats.calc.putting.player import outcome_figures, player_spreads
from tests.golfers import hole_out

SPREADS = (np.radians(1.6), 0.11)
MOST_BEYOND = 4.0
"""Putts beyond a third that even who holes one putt of three takes on average."""


def played_by_the_model(holes, seed=1, day=0.0):
    """Rounds of 18 holes; ``day`` is the spread of the day's form, in the logarithm of both spreads."""
    rng = np.random.default_rng(seed)
    first = np.exp(rng.normal(np.log(14.0), 0.8, holes)).clip(1, 90)
    form = np.exp(-day * rng.standard_normal(holes // 18 + 1))[np.arange(holes) // 18]
    balls = hole_out(first, SPREADS[0] * form, SPREADS[1] * form, rng)
    order = np.argsort(balls.ball, kind="stable")
    hole = balls.ball[order]
    return Putts(
        np.zeros(len(hole), dtype=int),
        balls.before_ft[order],
        balls.holed[order],
        balls.after_ft[order],
        hole // 18,
        hole,
    )


def log_odds_of(putts, feet):
    return misfit_of(putts, *SPREADS).make.on(feet)


def test_where_the_model_is_right_nothing_is_corrected():
    feet = np.array([4.0, 8, 15, 30])
    mean, covariance = log_odds_of(played_by_the_model(4_000), feet)
    assert np.all(np.abs(mean) < 3 * np.sqrt(np.diag(covariance)) + 0.05)
    assert np.max(np.abs(mean)) < 0.25


def test_another_curve_is_found():
    """Putts holed again by a coin, 0.6 better in log odds than the model inside 8 feet and as much worse beyond."""
    rng = np.random.default_rng(2)
    feet = np.exp(rng.normal(np.log(9), 0.8, 6_000)).clip(1.5, 60)
    model = putting_outcomes(np.geomspace(1, 70, 80), *SPREADS)
    odds = np.interp(np.log(feet), np.log(model.distance_ft), special.logit(model.one))
    holed = rng.random(6_000) < special.expit(odds + np.where(feet < 8, 0.6, -0.6))
    number = np.arange(6_000)
    putts = Putts(np.zeros(6_000, dtype=int), feet, holed, np.where(holed, 0, np.nan), number // 30, number)
    mean, _ = log_odds_of(putts, np.array([4.5, 15.0]))
    assert mean == pytest.approx([0.6, -0.6], abs=0.2)


def test_days_widen_what_putts_say():
    same, moody = played_by_the_model(1_800), played_by_the_model(1_800, day=0.3)
    steady, loose = (misfit_of(putts, *SPREADS) for putts in (same, moody))
    assert steady.stretch[0] < 1.3
    assert loose.stretch[0] > steady.stretch[0]
    assert loose.stretch[1] > 1.2
    narrow, wide = (player_spreads(putts).log_covariance for putts in (same, moody))
    assert np.all(np.diag(wide) > np.diag(narrow))


def test_a_chain_with_no_correction_is_the_plain_one():
    feet = np.array([3.0, 12.0, 45.0])
    plain = putting_outcomes(feet, *SPREADS)
    chain = Chain(feet, *SPREADS)
    nothing = chain.outcomes(np.zeros(len(feet) + len(STATES_FT)))
    assert nothing.expected_putts == pytest.approx(plain.expected_putts)
    better = chain.outcomes(np.full(len(feet) + len(STATES_FT), 0.5))
    assert special.logit(better.one) == pytest.approx(special.logit(plain.one) + 0.5)
    assert np.all(better.expected_putts < plain.expected_putts)
    assert better.one + better.two + better.three_or_more == pytest.approx(np.ones(3))


def test_without_putts_a_correction_is_nought_and_unsure():
    mean, covariance = NO_PUTTS.make.on(np.array([5.0, 20.0]))
    assert mean == pytest.approx([0, 0])
    assert np.all(np.diag(covariance) > 0.1)


def test_three_putts_follow_the_player_where_the_model_does_not():
    """A player whose makes are the model's but who, by magic, never needs a third putt."""
    putts = played_by_the_model(2_160, seed=3)
    number = np.arange(len(putts)) - np.searchsorted(putts.hole, putts.hole)
    kept = putts.select(number < 2)
    lucky = replace(kept, holed=kept.holed | (number[number < 2] == 1))
    (figures,) = outcome_figures(player_spreads(lucky), np.array([40.0]))
    (honest,) = outcome_figures(player_spreads(putts), np.array([40.0]))
    assert figures.three_or_more.high < honest.three_or_more.low
    assert figures.expected_putts.high < honest.expected_putts.value


@pytest.mark.parametrize("seed", [2, 3, 6])
def test_who_three_putts_so_often_needs_as_many_putts(seed):
    """Two putts, one more for each three-putt and one less for each one-putt are the least that can be."""
    spreads = player_spreads(played_by_the_model(1_080, seed=seed))
    for told in outcome_figures(spreads, np.array([5.0, 30.0, 60.0])):
        least = 2 - told.one.value + told.three_or_more.value
        assert least - 1e-9 <= told.expected_putts.value <= least + 0.2 * told.three_or_more.value


@st.composite
def putters(draw):
    """Putts of somebody from any distances, holed and left in any way, now and then with three, four or five a hole."""
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    holes, far = draw(st.integers(10, 80)), draw(st.floats(3, 60))
    chance, left = draw(st.floats(0.35, 0.95)), draw(st.floats(0.02, 0.8))
    rows = []
    for hole in range(holes):
        feet = float(np.clip(far * rng.lognormal(0, 0.7), 1, 110))
        for number in range(5):
            holed = rng.random() < chance or number == 4
            after = 0.0 if holed else float(max(feet * left * rng.random(), 0.3))
            rows.append((feet, holed, after, hole))
            if holed:
                break
            feet = after
    feet, holed, after, hole = map(np.array, zip(*rows, strict=True))
    return Putts(np.zeros(len(hole), dtype=int), feet, holed, after, hole // 9, hole)


@settings(max_examples=25, deadline=None)
@given(putters())
def test_expected_putts_and_chances_of_every_golfer_agree(putts):
    """Expected putts are the sum of the chances to need a first putt, a second, a third, and the few beyond."""
    for told in outcome_figures(player_spreads(putts), np.array([2.0, 6, 15, 40, 100])):
        if not told.one.enough:
            continue
        one, two, three = (figure.value for figure in (told.one, told.two, told.three_or_more))
        assert min(one, two, three) >= 0
        assert max(one, two, three) <= 1
        assert one + two + three == pytest.approx(1, abs=1e-6)
        at_least = one + 2 * two + 3 * three
        assert at_least - 1e-6 <= told.expected_putts.value <= at_least + MOST_BEYOND * three + 1e-6
        assert told.expected_putts.low < told.expected_putts.value < told.expected_putts.high
        # the ends of a fair interval of chances cannot be far from those of the putts they come to
        assert told.expected_putts.high >= 1 + (1 - told.one.high) + told.three_or_more.low


def test_moved_outcomes_agree():
    """What a plan takes from a player's putts: chances moved either way, far beyond what anybody's are."""
    feet = np.geomspace(0.05, 180, 40)
    plain = putting_outcomes(feet, *SPREADS)
    rng = np.random.default_rng(5)
    same = moved(plain, np.zeros((40, 2)))
    assert same.expected_putts == pytest.approx(plain.expected_putts, abs=1e-5)
    for size in (0.3, 1.0, 4.0):
        found = moved(plain, size * rng.standard_normal((40, 2)))
        assert found.one + found.two + found.three_or_more == pytest.approx(1)
        assert np.min([found.one, found.two, found.three_or_more]) >= -1e-12
        at_least = found.one + 2 * found.two + 3 * found.three_or_more
        assert np.all(found.expected_putts >= at_least - 1e-9)
        assert np.all(found.expected_putts <= at_least + MOST_BEYOND * found.three_or_more + 1e-9)
