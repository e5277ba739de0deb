"""Goals: setting, closing, how they stand and the chance of meeting them. The only code that writes goals."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

import numpy as np
from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from golfstats.api.problems import Fault, ProblemError, invalid
from golfstats.calc.coaching.goals import (
    Goal as Aim,
)
from golfstats.calc.coaching.goals import (
    GoalState,
    Progress,
    Window,
    window_figure,
)
from golfstats.calc.coaching.goals import progress as progress_of
from golfstats.calc.coaching.words import percent
from golfstats.calc.figure import Figure
from golfstats.calc.figures.catalogue import UnknownFigureError
from golfstats.calc.observations import FigureSpec
from golfstats.clubs.models import Club, Member
from golfstats.outbox import work
from players import permissions, posting
from players.coaching.history import Observed, observed
from players.coaching.trends import fitted
from players.models import Goal, Player
from players.queries.analysed import Golf
from players.queries.figures import spec_of

GOAL_DUE = "goal_due"
"""Work on the day after a goal's date: it is met or missed then, whether or not anybody plays."""


@dataclass(frozen=True)
class NewGoal:
    figure: str
    target: float
    """In the figure's own unit (yards, feet, shares from 0 to 1)."""
    due_on: date
    window_rounds: int | None
    window_days: int | None
    note: str = ""


@dataclass(frozen=True)
class GoalPoint:
    """The figure over the goal's window after a round."""

    day: date
    value: float | None


@dataclass(frozen=True)
class GoalStanding:
    goal: Goal
    spec: FigureSpec
    progress: Progress
    history: list[GoalPoint]
    """After each round since the goal was set, oldest first."""
    words: str


def visible_goals(member: Member) -> QuerySet[Goal]:
    """Goals of the players this member may read, newest first."""
    players = permissions.visible_players(member).values("id")
    return Goal.objects.filter(player__in=players).select_related("player", "set_by").order_by("-id")


def in_stored_unit(golf: Golf, key: str, target: float, shown: Mapping[str, float]) -> float:
    """A target as it is stored. ``shown``: for each of our units how many of the target's unit make one.

    The target of an unknown figure is left alone: setting such a goal is refused.
    """
    try:
        return target / shown.get(spec_of(golf, key).unit, 1.0)
    except UnknownFigureError:
        return target


@transaction.atomic
def set_goal(member: Member, player: Player, golf: Golf, wanted: NewGoal, today: date) -> Goal:
    """A new goal. ``golf`` holds all rounds of the player. A 422 problem lists every fault."""
    faults = []
    figure: Observed | None = None
    try:
        figure = observed(golf, player.id, wanted.figure)
    except UnknownFigureError as error:
        faults.append(Fault("/figure", "unknown_figure", str(error)))
    if wanted.due_on <= today:
        faults.append(Fault("/due_on", "not_in_the_future", f"{wanted.due_on} is not after today, {today}"))
    if (wanted.window_rounds is None) == (wanted.window_days is None):
        faults.append(Fault("/window", "one_window", "give a number of rounds or of days, not both"))
    if faults or figure is None:
        raise invalid(faults, "The goal cannot be set")
    window = Window(wanted.window_rounds, wanted.window_days)
    start = _figure_on(figure, window, today)
    goal = Goal.objects.create(
        player=player,
        figure=wanted.figure,
        target=wanted.target,
        due_on=wanted.due_on,
        window_rounds=wanted.window_rounds,
        window_days=wanted.window_days,
        note=wanted.note,
        set_by=member,
        value_at_start=start.value,
    )
    work.ask(posting.PLAYER_REPORT, str(player.id))
    work.ask(GOAL_DUE, str(goal.id), due_at=_day_after(goal.due_on, member.club))
    return goal


def _day_after(day: date, club: Club) -> datetime:
    """When the day is over at the club."""
    return datetime.combine(day + timedelta(days=1), time(), ZoneInfo(club.time_zone))


@transaction.atomic
def close_goal(goal: Goal, golf: Golf, today: date) -> Goal:
    """Close a goal by hand; what it had come to is kept. A 409 problem if it is over already."""
    if goal.closed_at is not None:
        raise ProblemError("goal-is-over", f"The goal is over: {goal.state}", status=409)
    figure = observed(golf, goal.player_id, goal.figure)
    _finish(goal, GoalState.CLOSED, _figure_on(figure, _window(goal), today))
    work.ask(posting.PLAYER_REPORT, str(goal.player_id))
    return goal


@transaction.atomic
def refresh_goals(golf: Golf, player: UUID, today: date) -> list[GoalStanding]:
    """Bring the states of the player's running goals up to date, as the worker does; give how they stand.

    Once its date has passed a goal is met or missed for good.
    """
    running = list(Goal.objects.filter(player_id=player, closed_at=None).order_by("due_on", "id"))
    standings = [standing(golf, goal, today) for goal in running]
    for found in standings:
        goal, state = found.goal, found.progress.state
        if today > goal.due_on:
            _finish(goal, state, found.progress.now)
        elif goal.state != state.value:
            goal.state = state.value
            goal.save(update_fields=["state"])
    return standings


def standings(golf: Golf, goals: Sequence[Goal], today: date) -> list[GoalStanding]:
    """How each goal stands; ``golf`` holds all rounds of their players."""
    return [standing(golf, goal, today) for goal in goals]


def standing(golf: Golf, goal: Goal, today: date) -> GoalStanding:
    """How the goal stands, or for one that is over how it stood then."""
    figure = observed(golf, goal.player_id, goal.figure)
    as_of = today if goal.closed_at is None else min(goal.closed_at.date(), today)
    known = _until(figure, as_of)
    _, trend = fitted(known)
    aim = Aim(
        target=goal.target,
        better=figure.spec.better,
        window=_window(goal),
        by=goal.due_on.toordinal(),
        closed=goal.state == GoalState.CLOSED.value,
    )
    day = golf.analysed.record.rounds.day
    progress = progress_of(aim, figure.spec, known.observations, day, trend, as_of.toordinal())
    return GoalStanding(goal, figure.spec, progress, _history(known, goal), _words(goal, progress, today))


def _words(goal: Goal, progress: Progress, today: date) -> str:
    state = progress.state.value
    if progress.state is not GoalState.OPEN:
        return {"met": "met", "missed": "missed", "closed": "closed"}[state]
    left = f"{(goal.due_on - today).days} days left"
    if progress.chance is None:
        return f"open, {left}, too few rounds to tell the chance"
    return f"open, {left}, {percent(progress.chance)} chance of meeting it"


def _window(goal: Goal) -> Window:
    return Window(goal.window_rounds, goal.window_days)


def _until(figure: Observed, day: date) -> Observed:
    rounds = figure.golf.analysed.record.rounds
    rows = rounds.day[figure.observations.round] <= day.toordinal()
    return Observed(figure.golf, figure.spec, figure.observations.select(rows))


def _figure_on(figure: Observed, window: Window, day: date) -> Figure:
    days = figure.golf.analysed.record.rounds.day
    return window_figure(window, figure.spec, figure.observations, days, day.toordinal())


def _history(figure: Observed, goal: Goal) -> list[GoalPoint]:
    days = figure.golf.analysed.record.rounds.day
    since = goal.set_at.date().toordinal()
    played = np.unique(days[figure.observations.round])
    return [
        GoalPoint(
            date.fromordinal(int(day)), _figure_on(figure, _window(goal), date.fromordinal(int(day))).value
        )
        for day in played[(played >= since) & (played <= goal.due_on.toordinal())]
    ]


def _finish(goal: Goal, state: GoalState, figure: Figure) -> None:
    goal.state = state.value
    goal.closed_at = timezone.now()
    goal.value_at_close = figure.value
    goal.save(update_fields=["state", "closed_at", "value_at_close"])
