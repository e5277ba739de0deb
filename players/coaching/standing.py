"""How a goal stands on a day, worked out from the rounds until then: its state and the chance of meeting it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from golfstats.calc.coaching.goals import (
    Goal as Aim,
)
from golfstats.calc.coaching.goals import (
    GoalState,
    Progress,
    Window,
    window_observations,
)
from golfstats.calc.coaching.goals import progress as progress_of
from golfstats.calc.figure import Figure as Estimate
from golfstats.calc.observations import FigureSpec
from players.coaching import models
from players.coaching.history import History, Observed, observed
from players.coaching.trends import fitted


@dataclass(frozen=True)
class GoalPoint:
    """The figure over the goal's window after a round."""

    day: date
    """Day of the round."""
    value: float | None
    """The figure; null with too few shots."""


@dataclass(frozen=True)
class GoalStanding:
    """How a goal stands, in the figure's own unit (yards, feet, shares from 0 to 1)."""

    goal: models.Goal
    spec: FigureSpec
    progress: Progress
    history: list[GoalPoint]
    as_of: date
    """The day on which it stands so: today, or the one on which it was over."""
    figure: Observed
    """Up to that day."""


def standing(golf: History, goal: models.Goal, today: date) -> GoalStanding:
    """How the goal stands, or for one that is over how it stood then."""
    figure = observed(golf, goal.player_id, goal.figure)
    as_of = today if goal.closed_at is None else min(goal.closed_at.date(), today)
    known = _until(figure, as_of)
    trend = fitted(known).trend
    aim = Aim(
        target=goal.target,
        better=figure.spec.better,
        window=window_of(goal),
        by=goal.due_on.toordinal(),
        closed=goal.state == GoalState.CLOSED.value,
    )
    day = golf.analysed.record.rounds.day
    progress = progress_of(aim, figure.spec, known.observations, day, trend, as_of.toordinal())
    ends = min(as_of, goal.due_on)
    progress = replace(progress, now=figure_on(known, aim.window, ends))
    return GoalStanding(
        goal=goal,
        spec=figure.spec,
        progress=progress,
        history=_history(known, goal),
        as_of=ends,
        figure=known,
    )


def window_of(goal: models.Goal) -> Window:
    return Window(goal.window_rounds, goal.window_days)


def _until(figure: Observed, day: date) -> Observed:
    return figure.select(figure.golf.analysed.record.rounds.day <= day.toordinal())


def figure_on(figure: Observed, window: Window, day: date) -> Estimate:
    days = figure.golf.analysed.record.rounds.day
    return figure.figure(window_observations(window, figure.observations, days, day.toordinal()))


def _history(figure: Observed, goal: models.Goal) -> list[GoalPoint]:
    days = figure.golf.analysed.record.rounds.day
    since = goal.set_at.date().toordinal()
    played = np.unique(days[figure.observations.round])
    return [
        GoalPoint(
            date.fromordinal(int(day)), figure_on(figure, window_of(goal), date.fromordinal(int(day))).value
        )
        for day in played[(played >= since) & (played <= goal.due_on.toordinal())]
    ]
