"""Condition-adjusted putting: what a golfer sees beside the raw figure."""

from dataclasses import replace

import numpy as np
import pytest

from golfstats.calc.greens.adjusted import (
    RoundPutting,
    adjust_round,
    adjust_window,
    disturbance_by_component,
    expected_putts_today,
)
from golfstats.calc.greens.cost import expected_putts
from golfstats.calc.greens.effect import too_few_effect
from golfstats.calc.greens.estimate import fit_effect
from golfstats.calc.greens.putts import bin_putts
from tests.calc.greens.putting_club import SEASON_START, WORKS, play

CORED = SEASON_START + 30
HOLES = np.arange(1, 19)
FIRST_FT = np.linspace(4, 45, 18)


@pytest.fixture(scope="module")
def effect():
    club = play(np.random.default_rng(31), players=25, rounds=30)
    return fit_effect(bin_putts(club.putts, {0: WORKS}))


def played(effect, day, putts=None, works=WORKS):
    disturbance = disturbance_by_component(effect, works, np.full(18, day), HOLES)
    putts = np.full(18, 2) if putts is None else putts
    return RoundPutting(FIRST_FT, putts, expected_putts(FIRST_FT, 0.027, 0.13), disturbance)


def test_a_round_on_fresh_cores_owes_strokes_to_the_surface(effect):
    adjusted = adjust_round(effect, played(effect, CORED))
    assert adjusted.raw.value == pytest.approx(np.sum(expected_putts(FIRST_FT, 0.027, 0.13)) - 36)
    assert adjusted.owed.low > 0
    assert adjusted.adjusted.value == pytest.approx(adjusted.raw.value + adjusted.owed.value)
    assert adjusted.adjusted.low == pytest.approx(adjusted.raw.value + adjusted.owed.low)


def test_owed_is_what_wider_spreads_cost_by_the_chain(effect):
    u, v = (figure.value for figure in effect.growth())
    a, b = effect.direction_sd, effect.distance_sd
    exact = np.sum(expected_putts(FIRST_FT, a * (1 + u), b * (1 + v)) - expected_putts(FIRST_FT, a, b))
    assert adjust_round(effect, played(effect, CORED)).owed.value == pytest.approx(exact, rel=0.04)


def test_an_undisturbed_round_owes_nothing(effect):
    adjusted = adjust_round(effect, played(effect, CORED - 1))
    assert (adjusted.owed.value, adjusted.owed.low, adjusted.owed.high) == (0, 0, 0)
    assert adjusted.adjusted.value == adjusted.raw.value


def test_raw_does_not_depend_on_the_works(effect):
    with_work, without = played(effect, CORED), played(effect, CORED, works=[])
    assert adjust_round(effect, with_work).raw == adjust_round(effect, without).raw
    assert adjust_window(effect, [with_work] * 3).raw == adjust_window(effect, [without] * 3).raw


def test_a_window_averages_its_rounds_and_is_wider_than_the_raw_one(effect):
    rng = np.random.default_rng(3)
    rounds = [played(effect, CORED + day, rng.choice([1, 2, 2, 3], 18)) for day in (0, 1, 2, 40, 41)]
    window = adjust_window(effect, rounds)
    each = [adjust_round(effect, one) for one in rounds]
    assert window.raw.value == pytest.approx(np.mean([one.raw.value for one in each]))
    assert window.owed.value == pytest.approx(np.mean([one.owed.value for one in each]))
    assert window.adjusted.value == pytest.approx(window.raw.value + window.owed.value)
    assert window.adjusted.n == 5
    assert window.adjusted.high - window.adjusted.low > window.owed.high - window.owed.low


def test_too_few_leaves_raw_alone():
    nothing = too_few_effect(4, 2, 900)
    window = adjust_window(nothing, [played(nothing, CORED), played(nothing, CORED + 1)])
    one = adjust_round(nothing, played(nothing, CORED))
    assert window.raw.value is not None
    assert one.raw.value is not None
    assert window.owed.value is window.adjusted.value is one.owed.value is one.adjusted.value is None


def test_no_rounds_is_too_few(effect):
    assert adjust_window(effect, []).adjusted.value is None


def test_expected_putts_rise_with_the_days_disturbance(effect):
    fresh = disturbance_by_component(effect, WORKS, np.array([CORED]), np.array([1]))[:, 0]
    today = expected_putts_today(effect, 20.0, 1.95, fresh)
    assert today.low > 1.95
    assert expected_putts_today(effect, 20.0, 1.95, np.zeros_like(fresh)).value == 1.95


def test_late_work_changes_only_the_days_it_touches(effect):
    late = [*WORKS, replace(WORKS[0], start=SEASON_START + 100, end=SEASON_START + 100)]
    before = played(effect, SEASON_START + 99)
    assert np.array_equal(before.disturbance, played(effect, SEASON_START + 99, works=late).disturbance)
    touched = adjust_round(effect, played(effect, SEASON_START + 101, works=late)).owed.value
    assert touched > adjust_round(effect, played(effect, SEASON_START + 101)).owed.value
