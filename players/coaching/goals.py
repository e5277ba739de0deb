"""Goals: setting, closing and telling how they stand. The only code that writes goals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.calc.coaching.goals import (
    GoalState,
    Progress,
    Window,
    window_figure,
)
from golfstats.calc.figure import Figure as Estimate
from golfstats.calc.figure import percent
from golfstats.calc.figures.catalogue import UnknownFigureError
from golfstats.ground.answers import up_to
from golfstats.ground.clock import day_begins
from golfstats.ground.clubs.models import Member
from golfstats.ground.events import tells
from golfstats.ground.faults import Fault, ProblemError, Refusal, invalid
from golfstats.ground.operations import Asker
from golfstats.ground.outbox import work
from golfstats.ground.words import spoken
from golfstats.sentences import Sentence, words_of
from players import kinds
from players.coaching import models
from players.coaching.announcing import GOAL_ENDED, GOAL_SET
from players.coaching.greens import OnTheGreens, greens_answer
from players.coaching.history import History, Observed, histories, observed
from players.coaching.questions import GoalBody
from players.coaching.standing import GoalPoint, GoalStanding, figure_on, standing, window_of
from players.figures.named import spec_of
from players.golf.answers import (
    Chance,
    Figure,
    FigureName,
    chance,
    figure_name,
    figure_of,
    in_own_unit,
    in_shown_unit,
)
from players.golf.questions import BenchmarkQuery
from players.people import permissions
from players.people.answers import Named
from players.people.models import Player
from players.people.remembered import Remembered

GOAL_DUE = "goal_due"
"""Work on the day after a goal's date: it is met or missed then, whether or not anybody plays."""


@dataclass(frozen=True)
class GoalWindow:
    """The figure is taken over the last so many rounds, or over so many days: one of the two."""

    rounds: int | None
    """Number of the last rounds; null where days are counted."""
    days: int | None
    """Number of the last days; null where rounds are counted."""


@dataclass(frozen=True)
class GoalProgress:
    """How near a goal is."""

    now: Figure
    """The figure over the goal's window, as on undisturbed greens where putting decides it."""
    greens: OnTheGreens | None
    """What disturbed greens have to do with it; null where they have nothing."""
    expected_rounds: float | None
    """Rounds that the player is expected to play until its date."""
    chance: Chance | None
    """How likely the goal is met by its date, by the level and how it has moved; nothing where too little is known."""
    words: str


@dataclass(frozen=True, kw_only=True)
class Goal:
    """A figure that a player wants to reach by a date, and how that stands."""

    id: UUID
    player: Named
    figure: FigureName
    """The figure to move."""
    target: float
    """In the figure's unit."""
    window: GoalWindow
    due_on: date
    """Day by which to reach it."""
    state: GoalState
    """Whether it is open, met or missed."""
    set_by: str | None
    set_at: datetime
    closed_at: datetime | None
    value_at_start: float | None
    """When it was set, in the unit of the figure."""
    value_at_close: float | None
    """When it was closed."""
    note: str
    """In one's own words."""
    progress: GoalProgress
    """How it stands today."""
    history: list[GoalPoint] = up_to(20)
    """After each round since the goal was set, oldest first."""


class TheseGoals(BenchmarkQuery):
    """By id."""

    goals: list[UUID]


def goal_answers(asker: Asker, goals: Sequence[models.Goal]) -> list[Goal]:
    """As remembered of today, or told anew; what needs no golf is told from the rows."""
    players = list({goal.player_id: goal.player for goal in goals}.values())
    if not players:
        return []
    asked = TheseGoals(goals=sorted(goal.id for goal in goals))
    by_id = {one.id: one for of_player in _remembered(asker, players, asked) for one in of_player}
    return [
        replace(
            by_id[goal.id],
            set_by=goal.set_by and goal.set_by.name,
            set_at=goal.set_at,
            closed_at=goal.closed_at,
        )
        for goal in goals
    ]


def _worked_out(asker: Asker, players: Sequence[Player], query: TheseGoals) -> list[list[Goal]]:
    """Of each player theirs. The rounds of all of them are read at once."""
    rows = models.Goal.objects.filter(id__any_of=query.goals).select_related("player", "set_by")
    of_player: dict[UUID, list[Goal]] = {player.id: [] for player in players}
    golf = dict(zip(of_player, histories(asker, players), strict=True))
    for goal in rows.filter(player__in=players):
        answer = goal_answer(standing(golf[goal.player_id], goal, asker.today), asker.distance_unit)
        of_player[goal.player_id].append(answer)
    return list(of_player.values())


_remembered = Remembered("goals", _worked_out, list[Goal], daily=True)


def goal_answer(goal_standing: GoalStanding, unit: str) -> Goal:
    """``unit`` is the distance unit of the answer."""
    goal, spec, progress = goal_standing.goal, goal_standing.spec, goal_standing.progress

    def shown(value: float | None) -> float | None:
        return in_shown_unit(value, spec.unit, unit)

    return Goal(
        id=goal.id,
        player=Named(goal.player_id, goal.player.name),
        figure=figure_name(spec, unit),
        target=shown(goal.target) or 0.0,
        window=GoalWindow(goal.window_rounds, goal.window_days),
        due_on=goal.due_on,
        state=progress.state,
        set_by=goal.set_by and goal.set_by.name,
        set_at=goal.set_at,
        closed_at=goal.closed_at,
        value_at_start=shown(goal.value_at_start),
        value_at_close=shown(goal.value_at_close),
        note=goal.note,
        progress=GoalProgress(
            figure_of(spec, progress.now, unit),
            _greens(goal_standing, unit),
            float(progress.expected_rounds),
            chance(progress.chance),
            _words(goal, progress, goal_standing.as_of),
        ),
        history=[GoalPoint(point.day, shown(point.value)) for point in goal_standing.history],
    )


def _greens(goal_standing: GoalStanding, unit: str) -> OnTheGreens | None:
    """Of the rounds up to then, with the figure over the window as it was."""
    figure, days = goal_standing.figure, goal_standing.figure.golf.analysed.record.rounds.day
    raw = window_figure(
        window_of(goal_standing.goal), goal_standing.spec, figure.raw, days, goal_standing.as_of.toordinal()
    )
    return greens_answer(figure, figure_of(goal_standing.spec, raw, unit))


def visible_goals(member: Member) -> QuerySet[models.Goal]:
    """Goals of the players this member may read, newest first."""
    return all_goals().filter(player__in=permissions.visible_players(member).values("id"))


def all_goals() -> QuerySet[models.Goal]:
    """Of all players, newest first."""
    return models.Goal.objects.select_related("player", "set_by").order_by("-id")


@tells(GOAL_SET)
def set_goal(member: Member, player: Player, golf: History, wanted: GoalBody, today: date) -> models.Goal:
    """A new goal, its target in the unit in which the club's members read the figure.

    ``golf`` holds all rounds of the player. Refused with every fault.
    """
    faults = []
    figure: Observed | None = None
    try:
        spec_of(golf, wanted.figure)
    except UnknownFigureError as error:
        faults.append(Fault("/figure", "unknown_figure", words_of(error)))
    else:
        figure = observed(golf, player.id, wanted.figure)
    if wanted.due_on <= today:
        faults.append(
            Fault(
                "/due_on",
                "not_in_the_future",
                Sentence("{due_on} is not after today, {today}", due_on=wanted.due_on, today=today),
            )
        )
    if faults or figure is None:
        raise invalid(faults, Sentence("The goal cannot be set"))
    window = Window(wanted.window.rounds, wanted.window.days)
    start = figure_on(figure, window, today)
    goal = models.Goal.objects.create(
        player=player,
        figure=wanted.figure,
        target=in_own_unit(wanted.target, figure.spec.unit, member.club.distance_unit),
        due_on=wanted.due_on,
        window_rounds=wanted.window.rounds,
        window_days=wanted.window.days,
        note=wanted.note,
        set_by=member,
        value_at_start=start.value,
    )
    work.ask(kinds.PLAYER_REPORT, str(player.id))
    work.ask(GOAL_DUE, str(goal.id), due_at=day_begins(member.club, goal.due_on + timedelta(days=1)))
    return goal


@transaction.atomic
def close_goal(goal: models.Goal, golf: History, today: date) -> models.Goal:
    """Close a goal by hand; what it had come to is kept. A 409 problem if it is over already."""
    if goal.closed_at is not None:
        raise ProblemError(
            "goal-is-over",
            Sentence("The goal is over: {state}", state=Sentence(goal.state)),
            Refusal.CONFLICT,
        )
    figure = observed(golf, goal.player_id, goal.figure)
    _finish(goal, GoalState.CLOSED, figure_on(figure, window_of(goal), today))
    work.ask(kinds.PLAYER_REPORT, str(goal.player_id))
    return goal


@transaction.atomic
def refresh_goals(golf: History, player: UUID, today: date) -> list[GoalStanding]:
    """Bring the states of the player's running goals up to date, as the worker does; give how they stand.

    Once its date has passed a goal is met or missed for good.
    """
    running = models.Goal.objects.filter(player_id=player, closed_at=None)
    in_order = running.select_related("player", "set_by").order_by("due_on", "id")
    standings = [standing(golf, goal, today) for goal in in_order]
    for goal_standing in standings:
        goal, state = goal_standing.goal, goal_standing.progress.state
        if today > goal.due_on:
            _finish(goal, state, goal_standing.progress.now)
        elif goal.state != state.value:
            goal.state = state.value
            goal.save(update_fields=["state"])
    return standings


_OVER = {"met": noop("met"), "missed": noop("missed"), "closed": noop("closed")}


def _words(goal: models.Goal, progress: Progress, today: date) -> str:
    state = progress.state.value
    if progress.state is not GoalState.OPEN:
        return gettext(_OVER[state])
    left = (goal.due_on - today).days
    if progress.chance is None:
        return gettext("open, {days} days left, too few rounds to tell the chance").format(days=left)
    words = gettext("open, {days} days left, {percent} chance of meeting it")
    return words.format(days=left, percent=spoken(percent(progress.chance)))


@tells(GOAL_ENDED)
def _finish(goal: models.Goal, state: GoalState, figure: Estimate) -> None:
    goal.state = state.value
    goal.closed_at = timezone.now()
    goal.value_at_close = figure.value
    goal.save(update_fields=["state", "closed_at", "value_at_close"])
    _judge_forecasts(goal, state)


def _judge_forecasts(goal: models.Goal, state: GoalState) -> None:
    """A goal that is met or missed decides what was said of it; one that is closed by hand takes that back."""
    statements = models.Forecast.objects.filter(
        player_id=goal.player_id, kind=models.ForecastKind.GOAL, subject=str(goal.id)
    )
    if state is GoalState.CLOSED:
        statements.delete()
    else:
        statements.update(came_true=state is GoalState.MET, judged_on=goal.due_on)
