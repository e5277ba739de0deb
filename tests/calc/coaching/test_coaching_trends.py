"""Levels, bands and chances of change: what a coach reads, and whether the chances keep their word."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from golfstats.calc.coaching.series import Series
from golfstats.calc.coaching.standing import level_figure
from golfstats.calc.coaching.trends import (
    chance_better,
    fit_trend,
    fit_trends,
    forecast_mean,
    level_on,
)
from golfstats.calc.forecasts import next_round
from golfstats.calc.observations import Observations


def simulated(generator, rounds, drift, step_days=14):
    """A series with rounds on irregular days, and its true level."""
    day = np.cumsum(generator.integers(1, step_days, rounds)).astype(float)
    weight = generator.integers(2, 8, rounds).astype(float)
    level = np.cumsum(generator.normal(0, 1, rounds) * np.sqrt(drift * np.diff(day, prepend=day[0])))
    noise = generator.normal(0, 1, rounds) / np.sqrt(weight / np.mean(weight))
    return Series(day, level + noise, weight), level


def steady(values):
    return Series(7.0 * np.arange(len(values)), np.asarray(values, dtype=float), np.ones(len(values)))


def test_series_takes_means_or_medians_by_round_in_order_of_days():
    observations = Observations(
        value=np.array([10.0, 20, 90, 1, 3]),
        round=np.array([0, 0, 0, 2, 2]),
        hole=np.full(5, -1),
        shot=np.full(5, -1),
    )
    days = np.array([50, 60, 40])
    assert Series.of(observations, days).day.tolist() == [40, 50]
    assert Series.of(observations, days).value.tolist() == [2, 40]
    assert Series.of(observations, days).weight.tolist() == [2, 3]
    assert Series.of(observations, days, median=True).value.tolist() == [2, 20]


@pytest.mark.parametrize("values", [[1, 2, 3, 4, 5], [2] * 20])
def test_no_trend_from_five_rounds_or_from_rounds_that_are_all_alike(values):
    trend = fit_trend(steady(values))
    assert trend is None
    assert not level_figure(trend, 10.0, "strokes", len(values)).enough


def test_figures_side_by_side_have_the_trend_that_each_has_alone():
    """Own definition: going through the filter together is no more than quicker."""
    generator = np.random.default_rng(4)
    first, _ = simulated(generator, 30, 0.01)
    course = (generator.random((30, 2)) < 0.4).astype(float)
    on_courses = replace(first, covariates=course - course.mean(axis=0))
    doubted = replace(on_courses, value=first.value[::-1], doubt=np.where(np.arange(30) < 4, 0.5, 0.0))
    other_rounds, _ = simulated(generator, 12, 0.01)
    series = [
        first,
        on_courses,
        doubted,
        steady([2] * 20),
        replace(on_courses, value=-first.value),
        other_rounds,
    ]
    together = fit_trends(series)
    assert [one is None for one in together] == [False, False, False, True, False, False]
    for one, found in zip(series, together, strict=True):
        alone = fit_trend(one)
        if alone is None:
            continue
        ours, theirs = found.levels(), alone.levels()
        np.testing.assert_allclose([ours.low, ours.high], [theirs.low, theirs.high], rtol=1e-12)
        day = one.day[-1]
        assert chance_better(found, day - 60, day, "higher") == pytest.approx(
            chance_better(alone, day - 60, day, "higher"), rel=1e-9
        )


def test_band_narrows_with_rounds_and_widens_when_nothing_is_played():
    generator = np.random.default_rng(1)
    values = generator.normal(80, 3, 60)
    few, many = fit_trend(steady(values[:10])), fit_trend(steady(values))
    now_few = level_on(few, few.series.day[-1]).figure(10, "strokes", 6)
    now_many = level_on(many, many.series.day[-1]).figure(60, "strokes", 6)
    in_a_year = level_on(many, many.series.day[-1] + 365).figure(60, "strokes", 6)
    assert now_many.high - now_many.low < now_few.high - now_few.low
    assert in_a_year.high - in_a_year.low > now_many.high - now_many.low
    assert in_a_year.value == pytest.approx(now_many.value)


def test_level_on_the_day_of_a_round_is_the_trends_own_band():
    series, _ = simulated(np.random.default_rng(2), 30, 0.003)
    trend = fit_trend(series)
    figure = level_on(trend, series.day[11]).figure(30, "x", 6)
    same_day = int(np.flatnonzero(series.day == series.day[11])[0])
    levels = trend.levels()
    assert (figure.value, figure.low, figure.high) == pytest.approx(
        (levels.level[same_day], levels.low[same_day], levels.high[same_day])
    )


@pytest.mark.parametrize("first", [0, 1, 17, 29, 30])
def test_levels_of_the_last_rounds_are_those_among_all(first):
    series, _ = simulated(np.random.default_rng(2), 30, 0.003)
    trend = fit_trend(series)
    some, every = trend.levels(first), trend.levels()
    assert len(some.level) == 30 - first
    np.testing.assert_allclose(
        [some.level, some.low, some.high],
        [one[first:] for one in (every.level, every.low, every.high)],
        rtol=1e-12,
    )


def test_no_level_before_the_first_round_and_no_change_backwards():
    trend = fit_trend(steady([1, 4, 2, 3, 5, 2, 4]))
    assert level_on(trend, -1.0) is None
    assert trend.change_between(-1.0, 20.0) is None
    assert chance_better(trend, 20.0, 20.0, "lower") is None


def test_scores_that_fall_are_better_when_lower_is_better():
    generator = np.random.default_rng(3)
    trend = fit_trend(steady(90 - 0.2 * np.arange(50) + generator.normal(0, 2, 50)))
    lower = chance_better(trend, 0.0, 343.0, "lower")
    assert lower > 0.95
    assert chance_better(trend, 0.0, 343.0, "higher") == pytest.approx(1 - lower)


def test_change_uses_that_two_near_dates_share_their_rounds():
    """Taken as independent, two days a week apart would seem to differ by far more than a level can move."""
    series, _ = simulated(np.random.default_rng(4), 60, 0.001)
    trend = fit_trend(series)
    first, second = series.day[30], series.day[30] + 7
    joint = trend.change_between(first, second).spread
    independent = np.hypot(level_on(trend, first).spread, level_on(trend, second).spread)
    assert joint < 0.5 * independent


@settings(max_examples=50, deadline=None)
@given(
    values=st.lists(st.floats(-5, 5), min_size=6, max_size=25).filter(lambda v: np.ptp(v) > 0.1),
    shift=st.floats(-50, 50),
    scale=st.floats(0.1, 20),
)
def test_units_do_not_matter(values, shift, scale):
    trend = fit_trend(steady(values)).levels()
    other = fit_trend(steady(shift + scale * np.array(values))).levels()
    np.testing.assert_allclose(other.low, shift + scale * trend.low, rtol=1e-6, atol=1e-6)
    np.testing.assert_allclose(other.high, shift + scale * trend.high, rtol=1e-6, atol=1e-6)


@settings(max_examples=30, deadline=None)
@given(values=st.lists(st.floats(-5, 5), min_size=6, max_size=25).filter(lambda v: np.ptp(v) > 0.1))
def test_time_backwards_gives_the_same_levels_backwards(values):
    forward, backward = (fit_trend(steady(one)).levels() for one in (values, values[::-1]))
    np.testing.assert_allclose(forward.level, backward.level[::-1], atol=1e-6)
    np.testing.assert_allclose(forward.low, backward.low[::-1], atol=1e-6)


def test_bands_cover_the_true_level_in_about_nine_of_ten():
    """480 series with drifts around the prior's, 12 to 80 rounds: the issue asks for 87-93%.

    The prior is weak, so a level that never moves is covered more often and one that moves by
    twice a round's noise in a year less often; a range of levels as players have them lies between.
    """
    generator = np.random.default_rng(20)
    at_rounds, now = [], []
    for rounds in (12, 25, 50, 80):
        for _ in range(120):
            drift = 3e-3 * np.exp(generator.normal(0, 1))
            series, level = simulated(generator, rounds, drift)
            trend = fit_trend(series).levels()
            covered = (trend.low <= level) & (level <= trend.high)
            at_rounds.append(np.mean(covered))
            now.append(covered[-1])
    assert 0.87 <= np.mean(at_rounds) <= 0.93
    assert 0.87 <= np.mean(now) <= 0.93


def test_chance_of_being_better_keeps_its_word():
    """Where the trend says 80% or more, the level is better in at least as many cases less sampling error."""
    generator = np.random.default_rng(21)
    chances, better = [], []
    for _ in range(1000):  # a range of chances then has over 200: a few points, not ten, by chance
        series, level = simulated(generator, 40, 3e-3 * np.exp(generator.normal(0, 1)))
        chances.append(chance_better(fit_trend(series), series.day[10], series.day[-1], "higher"))
        better.append(level[-1] > level[10])
    chances, better = np.array(chances), np.array(better)
    for low, high in [(0, 0.2), (0.2, 0.5), (0.5, 0.8), (0.8, 1)]:
        said = (chances >= low) & (chances < high)
        assert abs(np.mean(better[said]) - np.mean(chances[said])) < 0.12


def test_forecast_of_one_round_of_18_holes_covers_it():
    """Nine rounds in ten lie in a 90% range; the next of known rounds of nine and eighteen holes."""
    generator = np.random.default_rng(23)
    inside = []
    for _ in range(500):
        series, _ = simulated(generator, 41, 3e-3 * np.exp(generator.normal(0, 1)))
        holes = np.where(generator.random(41) < 0.3, 9.0, 18.0)
        holes[-1] = 18.0
        value = generator.normal(0, 1, 41) / np.sqrt(holes / 18)
        known = Series(series.day[:40], value[:40], holes[:40])
        figure = next_round(fit_trend(known), series.day[40]).figure(40, "x", 6)
        inside.append(figure.low <= value[40] <= figure.high)
    assert 0.86 <= np.mean(inside) <= 0.94


def test_forecast_of_rounds_to_come_covers_them():
    generator = np.random.default_rng(22)
    inside = []
    for _ in range(1000):
        series, _ = simulated(generator, 50, 3e-3 * np.exp(generator.normal(0, 1)))
        known = Series(series.day[:40], series.value[:40], series.weight[:40])
        figure = forecast_mean(fit_trend(known), series.day[40:], series.weight[40:]).figure(40, "x", 6)
        mean = np.average(series.value[40:], weights=series.weight[40:])
        inside.append(figure.low <= mean <= figure.high)
    assert 0.87 <= np.mean(inside) <= 0.94


def test_who_climbs_steadily_is_not_said_to_stand_where_they_were():
    """Two rounds' noise in a year, with neighbouring rounds alike: a walk alone trailed behind in one case of five."""
    generator = np.random.default_rng(31)
    inside = []
    for _ in range(150):
        day = 7.0 * np.arange(50)
        luck = generator.standard_normal(50)
        for row in range(1, 50):
            luck[row] = 0.5 * luck[row - 1] + np.sqrt(0.75) * luck[row]
        level = 2 * day / 365
        now = level_on(fit_trend(Series(day, level + luck, np.ones(50))), day[-1]).figure(50, "x", 6)
        inside.append(now.low <= level[-1] <= now.high)
    assert np.mean(inside) >= 0.84


def test_nobody_is_said_to_climb_on_after_the_last_round():
    series = steady(90 - 0.2 * np.arange(50) + np.random.default_rng(3).normal(0, 1, 50))
    trend = fit_trend(series)
    today = float(series.day[-1])
    now, later = (level_on(trend, day).figure(50, "x", 6) for day in (today, today + 365))
    assert later.value == pytest.approx(now.value)
    assert trend.change_between(today, today + 365).figure(50, "x", 6).value == pytest.approx(0, abs=1e-9)
