"""The record of forecasts against worked numbers, SciPy's interval, and worlds in which chances are right or wrong."""

import numpy as np
import pytest
from scipy import stats

from golfstats.calc.coaching.series import Series
from golfstats.calc.coaching.trends import fit_trend
from golfstats.calc.forecasts import EDGES, ROUNDS_AHEAD, Forecasts, chance_of_next_rounds, judge


def forecasts(chance, came_true, about=None):
    chance = np.asarray(chance, dtype=float)
    about = np.arange(len(chance)) if about is None else np.asarray(about)
    return Forecasts(chance, np.asarray(came_true, dtype=bool), about)


def test_brier_score_by_hand():
    record = judge(forecasts([0.9] * 8 + [0.4] * 4, [1] * 7 + [0] + [1, 0, 0, 0]))
    # 7 of 0.1², one of 0.9², one of 0.6², three of 0.4²
    assert record.brier == pytest.approx((7 * 0.01 + 0.81 + 0.36 + 3 * 0.16) / 12)
    assert record.brier_of_base_rate == pytest.approx(8 / 12 * 4 / 12)


def test_the_curve_says_how_often_it_was_so():
    record = judge(forecasts([0.93] * 212, [1] * 193 + [0] * 19))
    line = record.curve[-1]
    assert line.words == "When we said 93%, it was so 91% of 212 times."
    wilson = stats.binomtest(193, 212).proportion_ci(0.9, method="wilson")
    assert (line.came_true.low, line.came_true.high) == pytest.approx((wilson.low, wilson.high), abs=0.004)


def test_few_forecasts_are_too_few_and_none_is_said_to_be_none():
    record = judge(forecasts([0.95] * 9, [1] * 9))
    assert record.brier is None
    assert record.curve[-1].words == "When we said 95%: too few, 9 of at least 10 times."
    assert record.curve[0].words == "Nothing was said to be 1% to 10% likely."
    assert judge(forecasts([], [])).n == 0


def test_certain_and_impossible_have_their_places():
    record = judge(forecasts([0.0, 1.0], [0, 1]))
    assert [line.came_true.n for line in record.curve] == [1, 0, 0, 0, 0, 1]


def test_statements_about_one_thing_do_not_count_as_many():
    apart = judge(forecasts([0.8] * 60, [1, 0] * 30)).curve[4].came_true
    together = judge(forecasts([0.8] * 60, [1, 0] * 30, np.arange(60) % 6)).curve[4].came_true
    assert together.value == apart.value
    assert together.high - together.low > 1.5 * (apart.high - apart.low)


def test_right_chances_lie_on_the_diagonal_and_wrong_ones_do_not():
    rng = np.random.default_rng(2)
    chance = rng.random(4000)
    right = judge(forecasts(chance, rng.random(4000) < chance))
    held = [line.came_true.low <= line.said <= line.came_true.high for line in right.curve]
    assert sum(held) >= 5  # of six 90% intervals
    assert right.brier < right.brier_of_base_rate
    boastful = judge(forecasts(np.where(chance > 0.5, 0.95, 0.05), rng.random(4000) < chance))
    assert boastful.curve[-1].came_true.high < boastful.curve[-1].said
    assert boastful.brier > right.brier


def test_edges_cover_every_chance():
    assert EDGES[0] == 0
    assert EDGES[-1] == 1
    assert list(EDGES) == sorted(EDGES)


def test_chances_of_the_next_rounds_come_true_as_often_as_they_say():
    """Players whose level walks and whose rounds are normal about it, by no rule that the model fits exactly."""
    rng = np.random.default_rng(8)
    said, so = [], []
    for _ in range(150):
        level = np.cumsum(0.15 * rng.standard_normal(30 + ROUNDS_AHEAD))
        value = level + rng.standard_normal(len(level))
        series = Series(5.0 * np.arange(30), value[:30], np.ones(30))
        said.append(chance_of_next_rounds(fit_trend(series), series.day[-1], float(value[10]), "higher"))
        so.append(np.mean(value[30:]) > value[10])
    record = judge(forecasts(said, so))
    assert record.brier < record.brier_of_base_rate
    for line in record.curve:
        if line.came_true.value is not None:
            assert line.came_true.low - 0.1 <= line.said <= line.came_true.high + 0.1
