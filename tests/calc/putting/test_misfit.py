"""Corrections by distance: nothing where the model is right, the other curve where it is not, and days that go together."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import special

from golfstats.calc.putting.likelihood import Putts
from golfstats.calc.putting.misfit import NO_PUTTS, misfit_of
from golfstats.calc.putting.outcomes import STATES_FT, Chain, putting_outcomes
from golfstats.calc.putting.player import outcome_figures, player_spreads
from tests.golfers import hole_out

SPREADS = (np.radians(1.6), 0.11)


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
