"""A goal: a figure, a target, a window and a date; how it stands and the chance that it is met.

A goal is judged by the figure over its window (the last n rounds, or the last so many days) that
ends on the goal's date, or today if that is earlier. The chance speaks of that window on the
goal's date: rounds already played keep their values, rounds still expected come from the trend.

A window that is not full meets nothing. On its date a full window decides; before its date a goal is met only
if it will probably be met then as well, as every second window of a player who stands still at the target looks
good enough.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from golfstats.calc.coaching.series import Series
from golfstats.calc.coaching.trends import Trend, forecast_mean
from golfstats.calc.coaching.words import Better
from golfstats.calc.figure import Figure, never_certain
from golfstats.calc.observations import FigureSpec, Observations
from golfstats.calc.record import Bools, Floats, Ints

PACE_DAYS = 120
"""A player is expected to go on playing as often as in this many days before."""
SHORTEST_PACE_DAYS = 30
"""A player who has just begun is not expected to keep the pace of the first week."""


MET_CHANCE = 0.8
"""Before its date a goal counts as met from this chance on that it will be met on its date (our choice)."""


class GoalState(StrEnum):
    """How a goal stands."""

    OPEN = "open"
    """Not reached yet, and not due."""
    MET = "met"
    """Reached."""
    MISSED = "missed"
    """The day came first."""
    CLOSED = "closed"
    """Ended by somebody before it was decided."""


@dataclass(frozen=True)
class Window:
    """The last ``rounds`` rounds, or the rounds of the last ``days`` days: exactly one of the two."""

    rounds: int | None = None
    days: int | None = None

    def __post_init__(self) -> None:
        if (self.rounds is None) == (self.days is None) or (self.rounds or self.days or 0) < 1:
            raise ValueError("a window is a number of rounds or a number of days, at least 1")

    def rows(self, day: Floats, ends: float) -> Bools:
        """Which of the rounds, given by their days in ascending order, lie in the window."""
        played = day <= ends
        if self.days is not None:
            return played & (day > ends - self.days)
        rounds_from_end = np.cumsum(played[::-1])[::-1]
        return played & (rounds_from_end <= (self.rounds or 0))

    def is_full(self, day: Floats, ends: float) -> bool:
        """Whether the rounds on these days fill the window: so many of them, or some from before it began."""
        if self.days is not None:
            return bool(np.any(day <= ends - self.days) and np.any(self.rows(np.sort(day), ends)))
        return int(np.sum(day <= ends)) >= (self.rounds or 0)


@dataclass(frozen=True)
class Goal:
    target: float
    better: Better
    window: Window
    by: float
    """Day number by which the target is to be met."""
    closed: bool = False

    def meets(self, value: float) -> bool:
        return value <= self.target if self.better == "lower" else value >= self.target


@dataclass(frozen=True)
class Progress:
    state: GoalState
    now: Figure
    """The figure over the window that ends today (on the goal's date once that has passed)."""
    expected_rounds: int
    chance: float | None
    """Chance that the figure meets the target on the goal's date; ``None`` where nobody can tell."""


def progress(
    goal: Goal,
    spec: FigureSpec,
    observations: Observations,
    day_of_round: Ints,
    trend: Trend | None,
    today: float,
) -> Progress:
    """How the goal stands today.

    ``observations`` are those up to today, and ``trend`` is theirs
    (:meth:`~golfstats.calc.coaching.series.Series.of`).
    """
    ends = min(today, goal.by)
    now = window_figure(goal.window, spec, observations, day_of_round, ends)
    rounds = np.unique(observations.round)
    expected = expected_rounds(rounds, day_of_round, today, goal.by)
    full = goal.window.is_full(day_of_round[rounds].astype(np.float64), ends)
    if goal.closed or today >= goal.by:
        return Progress(_state(goal, now, today, full=full, chance=None), now, expected, None)
    chance = chance_of_meeting(goal, spec, observations, trend, today, expected)
    return Progress(_state(goal, now, today, full=full, chance=chance), now, expected, chance)


def window_figure(
    window: Window, spec: FigureSpec, observations: Observations, day_of_round: Ints, ends: float
) -> Figure:
    """The figure over the window that ends on a day."""
    return spec.figure(window_observations(window, observations, day_of_round, ends))


def window_observations(
    window: Window, observations: Observations, day_of_round: Ints, ends: float
) -> Observations:
    """Those of the rounds in the window that ends on a day."""
    rounds = np.unique(observations.round)
    rounds = rounds[np.argsort(day_of_round[rounds], kind="stable")]
    inside = rounds[window.rows(day_of_round[rounds].astype(np.float64), ends)]
    return observations.select(np.isin(observations.round, inside))


def expected_rounds(rounds: Ints, day_of_round: Ints, today: float, until: float) -> int:
    """Rounds with this figure that are still expected, at the pace of the last 120 days."""
    if until <= today or len(rounds) == 0:
        return 0
    age = (today - day_of_round[rounds]).astype(np.float64)
    span = min(PACE_DAYS, max(SHORTEST_PACE_DAYS, float(np.max(age))))
    return round(float(np.sum(age < span)) / span * (until - today))


def chance_of_meeting(
    goal: Goal, spec: FigureSpec, observations: Observations, trend: Trend | None, today: float, expected: int
) -> float | None:
    """Chance that the window that ends on the goal's date meets the target.

    The trend predicts the weighted mean of the rounds' values. A figure that is no such mean (a
    median of all shots) is taken to differ from it by as much as it does over the whole history.
    """
    if trend is None:
        return None
    series = trend.series
    whole = spec.figure(observations)
    if whole.value is None:
        return None
    offset = whole.value - float(np.average(series.value, weights=series.weight))
    future = today + (goal.by - today) * np.arange(1, expected + 1) / max(expected, 1)
    rows = goal.window.rows(np.concatenate([series.day, future]), goal.by)
    past, ahead = rows[: len(series)], future[rows[len(series) :]]
    if len(ahead) == 0:
        return _as_played(goal, series, past, offset)
    weights = np.full(len(ahead), float(np.mean(series.weight)))
    known_weight = float(np.sum(series.weight[past]))
    known_sum = float(series.value[past] @ series.weight[past])
    share = float(np.sum(weights)) / (float(np.sum(weights)) + known_weight)
    # the figure meets the target when the rounds ahead make up for what the known ones leave
    wanted = goal.target - offset - (1 - share) * (known_sum / known_weight if known_weight else 0.0)
    return forecast_mean(trend, ahead, weights).chance_better_than(wanted / share, goal.better)


def _as_played(goal: Goal, series: Series, past: Bools, offset: float) -> float | None:
    """No further round is expected: the window holds what has been played, if anything. One may be played yet."""
    if not np.any(past):
        return None
    value = offset + float(np.average(series.value[past], weights=series.weight[past]))
    return never_certain(float(goal.meets(value)))


def _state(goal: Goal, now: Figure, today: float, *, full: bool, chance: float | None) -> GoalState:
    if goal.closed:
        return GoalState.CLOSED
    looks_met = full and now.value is not None and goal.meets(now.value)
    decided = today >= goal.by or (chance is not None and chance >= MET_CHANCE)
    if looks_met and decided:
        return GoalState.MET
    return GoalState.MISSED if today > goal.by else GoalState.OPEN
