"""Level shifts: found when they are there, seldom when they are not."""

import numpy as np
import pytest

from golfstats.calc.coaching.level_shifts import level_shift
from golfstats.calc.coaching.series import Series
from golfstats.calc.coaching.trends import fit_trend


def simulated(generator, rounds, drift, step=0.0, skewed=False):
    day = np.cumsum(generator.integers(1, 14, rounds)).astype(float)
    weight = generator.integers(2, 8, rounds).astype(float)
    level = np.cumsum(generator.normal(0, 1, rounds) * np.sqrt(drift * np.diff(day, prepend=day[0])))
    noise = (generator.gamma(2, 1, rounds) - 2) / np.sqrt(2) if skewed else generator.normal(0, 1, rounds)
    value = level + noise / np.sqrt(weight / np.mean(weight))
    value[rounds // 2 :] += step
    return Series(day, value, weight)


def test_a_step_is_found_with_its_day_and_size():
    series = simulated(np.random.default_rng(1), 60, 0.0, step=3.0)
    shift = level_shift(series, "strokes")
    assert abs(shift.row - 30) <= 1
    assert shift.day == series.day[shift.row]
    assert shift.size.low < 3.0 < shift.size.high
    assert shift.size.n == 60


def test_a_step_down_has_a_negative_size():
    assert level_shift(simulated(np.random.default_rng(2), 60, 0.0, step=-3.0), "strokes").size.high < 0


def test_who_jumped_a_year_ago_is_not_said_to_have_become_better_since():
    """A walk alone spreads a jump over the months around it: the level is said to rise before and after."""
    series = simulated(np.random.default_rng(1), 60, 0.0, step=4.0)
    trend = fit_trend(series)
    after, end = series.day[33], series.day[-1]
    assert abs(trend.change_between(after, end).value) < 0.3
    across = trend.change_between(series.day[26], end).figure(60, "strokes", 6)
    assert across.low < 4.0 < across.high
    assert across.low > 2.0


def test_one_odd_day_is_no_new_level():
    values = np.random.default_rng(3).normal(0, 1, 40)
    values[20] += 8
    assert level_shift(Series(7.0 * np.arange(40), values, np.ones(40)), "strokes") is None


@pytest.mark.parametrize("values", [np.r_[np.zeros(4), np.full(5, 9.0)], np.full(30, 2.0)])
def test_nine_rounds_or_rounds_all_alike_have_no_shift(values):
    assert level_shift(Series(7.0 * np.arange(len(values)), values, np.ones(len(values))), "x") is None


@pytest.mark.parametrize("skewed", [False, True])
def test_fewer_than_five_in_a_hundred_series_raise_a_false_alarm(skewed):
    """500 series of 10 to 100 rounds, steady or drifting as players do, with even and skewed noise."""
    generator = np.random.default_rng(4)
    alarms = [
        level_shift(simulated(generator, rounds, drift, skewed=skewed), "x") is not None
        for rounds in (10, 20, 40, 60, 100)
        for drift in (0.0, 3e-4, 1e-3, 3e-3, 5e-3)
        for _ in range(20)
    ]
    assert np.mean(alarms) < 0.05


def test_a_clear_step_is_usually_found():
    generator = np.random.default_rng(5)
    found = [level_shift(simulated(generator, 60, 3e-4, step=2.5), "x") is not None for _ in range(100)]
    assert np.mean(found) > 0.7
