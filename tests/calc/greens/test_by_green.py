"""Which greens work costs most on, on invented courses whose greens are known."""

import numpy as np
import pytest
import statsmodels.api as sm

from golfstats.calc.greens.by_green import LARGEST_OWN_SD, cost_of_greens, greens_beside_others
from golfstats.calc.greens.effect.posterior import too_few_effect
from golfstats.calc.greens.effect.surplus import HolePutts, RoundPutts
from golfstats.calc.greens.surface.disturbance import Work, surface_disturbance

CORED = [Work("coring_medium", day, day, severity=1.0) for day in (60, 200, 330)]


def course_of(day, surplus):
    """Rounds of 18 holes on these days; ``surplus`` is rounds × holes."""
    rounds = len(day)
    row, hole = np.repeat(np.arange(rounds), 18), np.tile(np.arange(1, 19), rounds)
    none = np.zeros(rounds)
    return (
        RoundPutts(
            np.arange(rounds), none.astype(int), none.astype(int), day, none + 18, none, none + np.nan
        ),
        HolePutts(row, hole, np.full(len(row), 20.0), surplus.ravel()),
    )


def disturbed(day):
    """Rounds × holes."""
    holes = np.arange(1, 19)
    return np.stack([surface_disturbance(CORED, np.full(18, one), holes) for one in day])


def play_whole_putts(seed, spread, rounds=1200, pin_sd=0.2):
    """One, two or three putts a hole, greens of heavy tails, pins that a day's players share: not the model's world."""
    rng = np.random.default_rng(seed)
    day = rng.integers(0, 420, rounds)
    beyond = spread * rng.standard_t(4, 18) / np.sqrt(2)
    beyond -= beyond.mean()
    level = 0.1 * rng.standard_normal(18) + pin_sd * rng.standard_normal((420, 18))[day]
    level = level + disturbed(day) * (0.15 + beyond) + 0.1 * rng.standard_normal((rounds, 1))
    three = np.clip(0.06 + 0.5 * np.maximum(level, 0), 0, 0.9)
    one = np.clip(0.15 + three - level, 0, 1 - three)
    drawn = rng.random(level.shape)
    putts = np.where(drawn < one, 1.0, np.where(drawn < one + three, 3.0, 2.0))
    return *course_of(day, putts - putts.mean()), beyond


def test_greens_are_pooled_as_a_mixed_model_pools_them():
    """Against statsmodels: rounds and holes fixed, a random slope a hole on the disturbance. Little noise, so that our
    prior of how greens differ, which theirs lacks, says little.
    """
    rng = np.random.default_rng(5)
    day = np.repeat(np.arange(58, 78), 3)
    felt = disturbed(day)
    beyond = 0.2 * rng.standard_normal(18)
    surplus = rng.standard_normal((60, 1)) + 0.3 * rng.standard_normal(18) + felt * (0.2 + beyond)
    surplus = surplus + 0.1 * rng.standard_normal((60, 18))
    rounds, holes = course_of(day, surplus)
    ours = np.array([one.beyond for one in greens_beside_others(rounds, holes, 0, CORED)])
    row, hole = holes.row, holes.hole
    fixed = np.column_stack([np.eye(60)[row], np.eye(18)[hole - 1][:, 1:]])
    fit = sm.MixedLM(surplus.ravel(), fixed, groups=hole, exog_re=felt.ravel()[:, None]).fit()
    theirs = np.array([float(fit.random_effects[number].iloc[0]) for number in range(1, 19)])
    assert ours == pytest.approx(theirs - theirs.mean(), abs=0.02)


def test_intervals_hold_where_putts_are_whole_and_pins_are_shared():
    inside, claimed_of_equals = [], []
    for seed in range(8):
        rounds, holes, beyond = play_whole_putts(seed, spread=0.1)
        found = greens_beside_others(rounds, holes, 0, CORED)
        inside += [abs(one.beyond - truth) < 1.645 * one.sd for one, truth in zip(found, beyond, strict=True)]
        rounds, holes, _ = play_whole_putts(100 + seed, spread=0.0)
        claimed_of_equals += [
            one.beyond > 1.645 * one.sd for one in greens_beside_others(rounds, holes, 0, CORED)
        ]
    # Nine in ten by construction; of 144 dependent greens fewer than four in five would be no chance.
    assert np.mean(inside) > 0.8
    assert np.mean(claimed_of_equals) < 0.05


def test_a_pin_met_by_many_tells_no_more_than_one():
    """The same rounds twice over share their pins: twice the players, hardly more known."""
    rounds, holes, _ = play_whole_putts(3, spread=0.1, pin_sd=0.6)
    once = greens_beside_others(rounds, holes, 0, CORED)
    day = np.concatenate([rounds.day, rounds.day])
    surplus = holes.surplus.reshape(len(rounds), 18)
    twice = greens_beside_others(*course_of(day, np.concatenate([surplus, surplus])), 0, CORED)
    assert np.mean([one.sd for one in twice]) > 0.9 * np.mean([one.sd for one in once])


def test_few_visits_give_no_figure_and_say_how_many_would():
    rounds, holes, _ = play_whole_putts(4, spread=0.2, rounds=150)
    beside = greens_beside_others(rounds, holes, 0, CORED)
    assert all(one.own_sd > 2 * LARGEST_OWN_SD for one in beside)
    for one in cost_of_greens(too_few_effect(0, 0, 0), "home", beside):
        assert not one.strokes.enough
        assert not one.beyond.enough
        assert one.beyond.minimum_n > one.beyond.n > 0
        assert one.perhaps[0] < one.perhaps[1]


def test_without_work_or_golf_there_is_nothing_to_tell():
    rounds, holes, _ = play_whole_putts(6, spread=0.1, rounds=30)
    assert greens_beside_others(rounds, holes, 0, []) == []
    assert greens_beside_others(rounds, holes, 7, CORED) == []
