"""Where everything seen agrees, a figure still has a width and a chance is never 1."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from golfstats.calc.coaching.belief import Belief
from golfstats.calc.coaching.comparison import compare_figures
from golfstats.calc.coaching.goals import Goal, Window, chance_of_meeting
from golfstats.calc.coaching.level_shifts import level_shift
from golfstats.calc.coaching.series import Series
from golfstats.calc.coaching.trends import chance_better, fit_trend
from golfstats.calc.figure import (
    Figure,
    clustered_mean_figure,
    difference_like_with_like,
    mean_figure,
    never_certain,
    quantile_figure,
)
from golfstats.calc.figures.catalogue import CATALOGUE
from golfstats.calc.observations import FigureSpec, Observations
from golfstats.calc.units import Unit
from tests.calc.record_builder import analysed_of, hole, record_of

SIX_ROUNDS = np.repeat(np.arange(6), 18)


def none_in(n):
    """Upper end of the exact 90% interval of none in n, by SciPy."""
    return stats.binomtest(0, n).proportion_ci(0.90, "exact").high


def test_a_player_whose_rounds_are_all_alike_has_no_figure_without_a_width():
    """Every hole of six rounds in two putts from 20 feet after the same drive and approach."""
    shots = [("tee", 420, {"club": 1}), ("fairway", 120), ("green", 20 / 3), ("green", 1)]
    record = record_of([hole(4, shots, round=round) for round in range(6) for _ in range(18)])
    analysed = analysed_of(record, [0.1, 0.0, -0.1, 0.0] * 108)
    told = {key: spec.figure(spec.observe(analysed)) for key, spec in CATALOGUE.items()}
    enough = {key: figure for key, figure in told.items() if figure.enough}
    assert {"putts.three", "penalties.round", "gained.short_game", "putts.round", "score.par4"} <= set(enough)
    assert {key for key, one in enough.items() if not one.low < one.high} == set()
    assert {key for key, one in enough.items() if not one.low - 1e-9 <= one.value <= one.high + 1e-9} == set()
    below = {key for key, one in enough.items() if CATALOGUE[key].unit == Unit.FEET and one.low < 0}
    assert below == set()


@pytest.mark.parametrize("n", [2, 9, 18, 200])
def test_none_in_n_reaches_as_far_as_the_exact_interval_of_a_share(n):
    figure = mean_figure(np.zeros(n), Unit.STROKES)
    assert (figure.low, figure.value, figure.high) == pytest.approx((-none_in(n), 0, none_in(n)))


def test_no_penalty_in_six_rounds_may_still_be_half_a_stroke_a_round():
    """18 for each hole with one; below nought there are none. Poisson's exact bound for none (Garwood) is the check."""
    spec = CATALOGUE["penalties.round"]
    figure = spec.figure(
        Observations(np.zeros(108), SIX_ROUNDS, np.arange(108), np.full(108, -1)),
    )
    poisson = 18 * stats.chi2.ppf(0.95, 2) / 2 / 108
    assert (figure.value, figure.low) == (0, 0)
    assert figure.high == pytest.approx(18 * none_in(108))
    assert figure.high == pytest.approx(poisson, rel=0.02)


def test_two_rounds_of_32_putts_are_as_doubtful_as_their_holes():
    putts = np.tile(np.repeat([1.0, 2.0, 3.0], [5, 12, 1]), 2)
    rounds = np.repeat([0, 1], 18)
    alike = clustered_mean_figure(18 * putts, rounds, Unit.PUTTS)
    holes = stats.ttest_1samp(18 * putts, 0).confidence_interval(0.90)
    assert (alike.value, alike.n) == (32, 36)
    assert (alike.low, alike.high) == pytest.approx((holes.low, holes.high))


def test_sums_of_the_same_numbers_in_another_order_are_alike():
    values = np.array([0.1 + 0.2, 0.3, 0.3, 0.1 + 0.2])
    assert np.ptp(values) > 0
    assert mean_figure(values, Unit.STROKES).high > 0.8
    series = Series(7.0 * np.arange(20), np.resize(values, 20), np.ones(20))
    assert fit_trend(series) is None


def test_a_median_on_which_all_agree_is_read_off_to_a_yard():
    figure = quantile_figure(np.full(40, 150.0), 0.5, Unit.YARDS)
    assert (figure.low, figure.value, figure.high) == (149, 150, 151)
    nothing_left = FigureSpec(
        *("key", "words", Unit.FEET, "lower", "shot", "median", 5, lambda _: None),
        least=0.0,
        meaning="A test.",
    ).figure(Observations(np.zeros(40), np.arange(40), np.arange(40), np.arange(40)))
    assert (nothing_left.low, nothing_left.value, nothing_left.high) == (0, 0, 1)


def test_a_difference_that_explains_everything_has_a_width():
    chosen = np.tile([1.0, 0.0], 30)
    difference, half = difference_like_with_like(
        chosen, chosen, np.ones((60, 1)), np.repeat(np.arange(6), 10)
    )
    assert difference == pytest.approx(1)
    assert half == pytest.approx(np.hypot(none_in(30), none_in(30)))


def test_two_players_who_each_always_do_the_same_are_told_apart_without_certainty():
    never, always = (mean_figure(np.full(6, value), Unit.STROKES) for value in (0.0, 1.0))
    compared = compare_figures(never, always, "lower")
    assert 0.9 < compared.chance_first_better < 1
    exact = Figure(1.0, 1.0, 1.0, 6, 2, Unit.STROKES)
    assert compare_figures(exact, exact, "lower").chance_first_better is None


def test_a_level_that_jumped_once_and_for_all_is_no_certainty():
    """None in ten rounds, one in each of the next ten: found, with a width as a share of such rounds has."""
    series = Series(7.0 * np.arange(20), np.repeat([0.0, 1.0], 10), np.ones(20))
    shift = level_shift(series, Unit.STROKES)
    assert shift.row == 10
    assert shift.size.value == pytest.approx(1)
    assert 0.1 < shift.size.value - shift.size.low < none_in(10)
    trend = fit_trend(series)
    assert trend.best_step.chance < 1
    assert 0.95 < chance_better(trend, 0.0, series.day[-1], "higher") < 1


@given(st.floats(-1e6, 1e6), st.floats(1e-9, 1e3), st.floats(3, 1e4))
def test_no_belief_is_certain(limit, scale, freedom):
    belief = Belief(np.ones(1), np.zeros(1), np.array([scale**2]), freedom)
    lower, higher = (belief.chance_better_than(limit, way) for way in ("lower", "higher"))
    assert 0 < lower < 1
    assert lower + higher == pytest.approx(1)
    assert round(max(lower, higher), 3) < 1  # as answers tell it


def test_a_goal_that_no_further_round_decides_is_no_certainty():
    values = np.array([30.0, 31, 29, 30, 31, 29, 30, 31])
    rounds = np.arange(8)
    observations = Observations(values, rounds, rounds, np.full(8, -1))
    spec = FigureSpec(
        *("key", "words", Unit.PUTTS, "lower", "round", "mean", 2, lambda _: observations), meaning="A test."
    )
    trend = fit_trend(Series.of(observations, 7 * rounds))
    for target, expected in ((33.0, never_certain(1.0)), (28.0, never_certain(0.0))):
        goal = Goal(target, "lower", Window(rounds=5), by=60.0)
        assert chance_of_meeting(goal, spec, observations, trend, 55.0, 0) == expected
    assert never_certain(1.0) < 1
