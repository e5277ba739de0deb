"""Goals: windows, states, and a chance that keeps its word."""

import numpy as np
import pytest

from golfstats.calc.coaching.goals import (
    Goal,
    GoalState,
    Window,
    chance_of_meeting,
    expected_rounds,
    progress,
    window_figure,
)
from golfstats.calc.coaching.series import Series
from golfstats.calc.coaching.trends import fit_trend
from golfstats.calc.observations import FigureSpec, Observations

MEAN = FigureSpec("putts", "Putts", "putts", "lower", "round", "mean", 2, lambda _: None, meaning="Putts.")
MEDIAN = FigureSpec(
    "proximity", "Proximity", "feet", "lower", "shot", "median", 6, lambda _: None, meaning="Putts."
)


def by_round(values):
    n = len(values)
    return Observations(np.asarray(values, dtype=float), np.arange(n), np.full(n, -1), np.full(n, -1))


def standing(goal, values, days, today, spec=MEAN):
    observations, days = by_round(values), np.asarray(days)
    trend = fit_trend(Series.of(observations, days))
    return progress(goal, spec, observations, days, trend, today)


@pytest.mark.parametrize(
    ("window", "expected"),
    [(Window(rounds=3), [30, 31, 40]), (Window(days=10), [31, 40]), (Window(days=9), [40])],
)
def test_windows_take_the_last_rounds_or_the_last_days(window, expected):
    days = np.array([10.0, 20, 30, 31, 40, 41])
    assert days[window.rows(days, 40)].tolist() == expected


@pytest.mark.parametrize("wrong", [{}, {"rounds": 5, "days": 5}, {"rounds": 0}, {"days": -1}])
def test_a_window_is_one_thing_and_at_least_one(wrong):
    with pytest.raises(ValueError, match="window"):
        Window(**wrong)


def test_window_follows_the_days_and_not_the_order_of_posting():
    days = np.array([30, 10, 20])
    figure = window_figure(Window(rounds=2), MEAN, by_round([1.0, 100, 3]), days, 30)
    assert figure.value == 2


def test_states_of_a_goal():
    values, days = [36, 35, 34, 33, 33, 32, 31], [0, 7, 14, 21, 28, 35, 42]
    last = Window(rounds=3)
    assert standing(Goal(36, "lower", last, 50), values, days, 42).state is GoalState.MET
    assert standing(Goal(31, "lower", last, 60), values, days, 42).state is GoalState.OPEN
    assert standing(Goal(31, "lower", last, 60), values, days, 60).state is GoalState.OPEN
    assert standing(Goal(31, "lower", last, 60), values, days, 61).state is GoalState.MISSED
    assert standing(Goal(33, "lower", last, 60), values, days, 61).state is GoalState.MET
    assert standing(Goal(33, "lower", last, 60, closed=True), values, days, 42).state is GoalState.CLOSED
    assert standing(Goal(33, "higher", last, 60), values, days, 42).state is GoalState.OPEN


def test_a_goal_set_where_the_player_stands_is_not_met_on_the_day():
    """The figure is the target, but a window to come will be above it half the time; on the date it decides."""
    values = 34 + np.random.default_rng(4).normal(0, 2, 30)
    days = 7 * np.arange(30)
    where = float(np.mean(values[-10:]))
    judged = standing(Goal(where, "lower", Window(rounds=10), 300), values, days, 203)
    assert judged.now.value == where
    assert 0.3 < judged.chance < 0.7
    assert judged.state is GoalState.OPEN
    assert standing(Goal(where, "lower", Window(rounds=10), 203), values, days, 203).state is GoalState.MET


def test_a_window_that_is_not_full_meets_nothing():
    values, days = np.full(8, 30.0) + np.arange(8) / 10, 7 * np.arange(8)
    assert standing(Goal(40, "lower", Window(rounds=8), 49), values, days, 49).state is GoalState.MET
    assert standing(Goal(40, "lower", Window(rounds=9), 49), values, days, 50).state is GoalState.MISSED
    assert standing(Goal(40, "lower", Window(rounds=9), 80), values, days, 49).state is GoalState.OPEN
    assert standing(Goal(40, "lower", Window(days=40), 49), values, days, 49).state is GoalState.MET
    assert standing(Goal(40, "lower", Window(days=60), 49), values, days, 50).state is GoalState.MISSED


def test_rounds_after_the_goals_date_neither_meet_nor_spoil_it():
    values, days = [36, 36, 36, 36, 30, 30, 30], [0, 7, 14, 21, 28, 35, 42]
    judged = standing(Goal(31, "lower", Window(rounds=3), 21), values, days, 42)
    assert judged.state is GoalState.MISSED
    assert judged.now.value == 36


def test_too_few_rounds_leave_a_goal_open_without_a_chance():
    judged = standing(Goal(30, "lower", Window(rounds=5), 60), [29], [0], 10)
    assert judged.state is GoalState.OPEN
    assert not judged.now.enough
    assert judged.chance is None


def test_pace_of_the_last_120_days_goes_on():
    days = np.array([0, 100, 110, 120, 130, 140, 150, 160, 170, 180, 190, 200])
    rounds = np.arange(12)
    # eleven rounds in the 120 days up to day 200, so about nine in 100 days
    assert expected_rounds(rounds, days, 200, 300) == 9
    assert expected_rounds(rounds, days, 200, 200) == 0
    # one round in the last 120 days
    assert expected_rounds(rounds, days, 319, 439) == 1
    # two rounds of a beginner of three days are a pace of two in thirty days
    assert expected_rounds(np.array([0, 1]), np.array([0, 3]), 3, 33) == 2
    assert expected_rounds(np.array([], dtype=int), days, 200, 300) == 0


def test_nearer_target_has_the_better_chance():
    values = 34 + np.random.default_rng(1).normal(0, 2, 30)
    days = 7 * np.arange(30)
    chances = [
        standing(Goal(target, "lower", Window(rounds=10), 300), values, days, 203).chance
        for target in (30, 32, 34, 36, 38)
    ]
    assert chances == sorted(chances)
    assert chances[0] < 0.1
    assert chances[-1] > 0.9


def test_without_a_further_round_the_window_already_decides():
    values, days = [36, 35, 34, 33, 33, 32, 31], np.array([0, 7, 14, 21, 28, 35, 42])
    observations = by_round(values)
    trend = fit_trend(Series.of(observations, days))
    for target, chance in [(32.0, 0.999), (31.9, 0.001)]:  # but for a round that nobody expects
        goal = Goal(target, "lower", Window(rounds=3), 50)
        assert chance_of_meeting(goal, MEAN, observations, trend, 42, expected=0) == chance


def test_window_of_days_without_any_round_has_no_chance_to_tell():
    values, days = [36, 35, 34, 33, 33, 32, 31], np.array([0, 7, 14, 21, 28, 35, 42])
    observations = by_round(values)
    trend = fit_trend(Series.of(observations, days))
    assert (
        chance_of_meeting(Goal(33, "lower", Window(days=10), 200), MEAN, observations, trend, 42, 0) is None
    )


def test_chance_of_a_median_speaks_of_the_median():
    """Proximities are skewed: half the shots finish under 20 feet though their mean is well above."""
    generator = np.random.default_rng(2)
    feet = 20 * np.exp(generator.normal(0, 0.8, 400))
    round = np.repeat(np.arange(40), 10)
    observations = Observations(feet, round, np.full(400, -1), np.full(400, -1))
    days = 7 * np.arange(40)
    trend = fit_trend(Series.of(observations, days, median=True))
    middle = np.median(feet)
    goal = Goal(middle, "lower", Window(rounds=20), 500)
    assert np.mean(feet) > 25
    assert 0.3 < chance_of_meeting(goal, MEDIAN, observations, trend, 273, 20) < 0.7


def test_chance_of_meeting_keeps_its_word():
    """500 goals on drifting players, judged later by the rounds they then played."""
    generator = np.random.default_rng(3)
    chances, met = [], []
    for _ in range(500):
        days = np.cumsum(generator.integers(3, 12, 45))
        drift = 3e-3 * np.exp(generator.normal(0, 1))
        level = np.cumsum(generator.normal(0, 1, 45) * np.sqrt(drift * np.diff(days, prepend=days[0])))
        values = level + generator.normal(0, 1, 45)
        known = by_round(values[:35])
        trend = fit_trend(Series.of(known, days))
        target = float(np.mean(values[25:35]) + generator.normal(0, 0.6))
        goal = Goal(target, "lower", Window(rounds=15), float(days[-1]))
        chances.append(chance_of_meeting(goal, MEAN, known, trend, float(days[34]), 10))
        met.append(goal.meets(np.mean(values[-15:])))
    chances, met = np.array(chances), np.array(met)
    for low, high in [(0, 0.25), (0.25, 0.5), (0.5, 0.75), (0.75, 1.01)]:
        said = (chances >= low) & (chances < high)
        assert abs(np.mean(met[said]) - np.mean(chances[said])) < 0.12
