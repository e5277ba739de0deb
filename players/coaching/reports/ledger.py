"""The forecast ledger: chances are kept when the worker states them, and judged when the rounds have come."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

import numpy as np
from django.db.models import Q
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.calc import forecasts as calc
from golfstats.calc.a_round import ROUND
from golfstats.calc.coaching.attention import RECENT_DAYS
from golfstats.calc.coaching.goals import GoalState
from golfstats.calc.coaching.trends import level_on
from golfstats.calc.figure import Figure as Estimate
from golfstats.calc.greens.effect.healed import HEALED_STROKES, ROUNDS_LOOKED_AT
from golfstats.calc.record import Ints
from golfstats.ground.answers import up_to
from golfstats.ground.clock import today_at
from golfstats.ground.clubs.models import Club
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import counted, spoken, with_marks
from players.coaching.history import DASHBOARD_FIGURES, History, Observed, history_of, observed
from players.coaching.models import Forecast, ForecastKind
from players.coaching.reports.next_round import FORECAST_FIGURE, saturday_from, statements_about
from players.coaching.standing import GoalStanding
from players.coaching.trends import USUAL_MONTHS_BACK, Fitted, fitted, months_before
from players.conditions.models import HealingForecast
from players.golf.answers import Figure, figure

JUDGED_AGAIN = timedelta(days=14)
"""Rounds are put right within days of their posting, if at all; all that was ever said would take ever longer."""


@dataclass(frozen=True)
class Reliability:
    """Statements of one range of chances, and how often they came true."""

    low: float
    """Least chance of the range."""
    high: float
    """Greatest chance of the range."""
    said: float | None
    """Mean chance stated; null where none was."""
    came_true: Figure
    """Share that came true; the interval allows for statements about the same thing."""
    words: str


@dataclass(frozen=True)
class ForecastsOfKind:
    """How one kind of statement did."""

    kind: ForecastKind
    """What was stated."""
    words: str
    """What was stated, and how it is judged."""
    waiting: int
    """Statements of which the rounds have not told yet."""
    judged: int
    """Statements that the rounds have decided."""
    brier: float | None
    """Mean squared distance of the chance from what happened: 0 is perfect, null with too few."""
    brier_of_base_rate: float | None
    """The same of whoever always says how often it happens: ours has to be smaller to be worth anything."""
    curve: list[Reliability] = up_to(6)
    """By how likely it was said to be."""


@dataclass(frozen=True)
class ForecastRecord:
    """Every chance that this club was told, against what became of it."""

    since: date | None
    """Day of the first statement."""
    words: str
    results: list[ForecastsOfKind] = up_to(6)
    """Each kind of statement by itself."""


WORDS = {
    ForecastKind.GOAL: noop(
        "That a goal will be met. Judged on its date; a goal closed by hand is not counted."
    ),
    ForecastKind.BETTER: noop(
        "That a player is better than three months ago. A level cannot be seen, so what is kept is the chance that the "
        "next {rounds} rounds are on average better than the level of then; judged by these rounds."
    ),
    ForecastKind.SHIFT: noop(
        "That a level jumped. Kept as the chance that the next {rounds} rounds are on average beyond the middle of the "
        "jump; judged by these rounds."
    ),
    ForecastKind.SCORE: noop(
        "That a planned round ends within the 90% range of its plan. Judged by the round that was played by it."
    ),
    ForecastKind.NEXT: noop(
        "That the next round over 18 holes beats the low end of its 90% range, the high end, and the player's usual. "
        "Judged by the score to par of that round, on whichever course it was."
    ),
    ForecastKind.HEALED: noop(
        "That greens are healed by the day on which they should be back after work. Kept as the chance that the first "
        "{first} rounds from then on lose less than {strokes} stroke on average against their players' usual putting "
        "on sound greens; judged by these rounds."
    ),
}


def keep_what_is_said(
    golf: History, player: UUID, trends: Iterable[Fitted], goals: Iterable[GoalStanding], today: date
) -> None:
    """Judge what is due, then keep what the report of today says, once a statement and day. Two queries and a write."""
    judge_rounds(golf, player, today)
    statements = [
        *(one for trend in trends for one in _of_trend(trend, today)),
        *(one for standing in goals for one in _of_goal(standing)),
    ]
    rows = [
        Forecast(
            player_id=player,
            kind=one.kind,
            subject=one.subject,
            said_on=today,
            chance=one.chance,
            limit=one.limit,
        )
        for one in statements
    ]
    Forecast.objects.bulk_create(rows, ignore_conflicts=True)


@dataclass(frozen=True)
class _Statement:
    kind: ForecastKind
    subject: str
    chance: float
    limit: float | None = None


def _of_goal(standing: GoalStanding) -> list[_Statement]:
    chance = standing.progress.chance
    if standing.progress.state is not GoalState.OPEN or chance is None:
        return []
    return [_Statement(ForecastKind.GOAL, str(standing.goal.id), _clipped(chance))]


def _of_trend(fit: Fitted, today: date) -> list[_Statement]:
    """Nothing of too few rounds, of a player who has not played for three months, nor what nobody was told."""
    if fit.spec.key == FORECAST_FIGURE:
        return _of_next_round(fit, today)
    trend, spec = fit.trend, fit.spec
    then = months_before(today, USUAL_MONTHS_BACK).toordinal()
    if trend is None or fit.player_or_greens or not trend.series.day[0] <= then < trend.series.day[-1]:
        return []
    day, statements = float(today.toordinal()), []
    earlier = level_on(trend, then)
    if earlier is not None:
        chance = calc.chance_of_next_rounds(trend, day, earlier.value, spec.better)
        statements.append(_Statement(ForecastKind.BETTER, spec.key, _clipped(chance), earlier.value))
    step = fit.shift
    if step is not None and step.size.value is not None and day - step.day <= RECENT_DAYS:
        up = step.size.value > 0
        limit = float(np.mean(trend.series.value[: step.row])) + step.size.value / 2
        chance = calc.chance_of_next_rounds(trend, day, limit, "higher" if up else "lower")
        statements.append(
            _Statement(ForecastKind.SHIFT, f"{spec.key}:{'up' if up else 'down'}", _clipped(chance), limit)
        )
    return statements


def _of_next_round(fit: Fitted, today: date) -> list[_Statement]:
    return [
        _Statement(ForecastKind.NEXT, f"{fit.spec.key}:{name}", _clipped(chance), limit)
        for name, chance, limit in statements_about(fit, saturday_from(today))
    ]


def _clipped(chance: float) -> float:
    return min(max(float(chance), 0.0), 1.0)


def judge_rounds(golf: History, player: UUID, today: date) -> None:
    """Of what was said of this player's levels: that of which enough rounds have come since.

    What was judged lately is judged again: a round may have been corrected or deleted, or posted late.
    """
    of_levels = Forecast.objects.filter(
        player_id=player, kind__in=[ForecastKind.BETTER, ForecastKind.SHIFT, ForecastKind.NEXT]
    )
    lately = Q(judged_on__range=(today - JUDGED_AGAIN, today))
    figures: dict[str, Observed] = {}
    judged = []
    for one in of_levels.filter(Q(came_true=None) | lately):
        key, _, turn = one.subject.partition(":")
        if key not in figures:
            figures[key] = observed(golf, player, key)
        next_one = one.kind == ForecastKind.NEXT
        mean = (_next_round if next_one else _mean_of_next_rounds)(figures[key], one.said_on)
        came_true = None
        if mean is not None and one.limit is not None:
            higher = turn == "up" if turn in {"up", "down"} else figures[key].spec.better == "higher"
            came_true = mean > one.limit if higher else mean < one.limit
        if came_true == one.came_true:
            continue
        one.judged_on = None if came_true is None else one.judged_on or today
        one.came_true = came_true
        judged.append(one)
    Forecast.objects.bulk_update(judged, ["came_true", "judged_on"])


def _mean_of_next_rounds(figure: Observed, said_on: date) -> float | None:
    """Over the first five rounds after a day; None before they have been played."""
    _, value, count = figure.observations.by_round
    later = _in_order_after(figure, said_on)[: calc.ROUNDS_AHEAD]
    if len(later) < calc.ROUNDS_AHEAD:
        return None
    return float(np.average(value[later], weights=count[later]))


def _next_round(figure: Observed, said_on: date) -> float | None:
    """Of the first whole round after a day; None before there is one."""
    _, value, count = figure.observations.by_round
    later = _in_order_after(figure, said_on)
    whole = later[count[later] == ROUND]
    return float(value[whole[0]]) if len(whole) else None


def _in_order_after(figure: Observed, day: date) -> Ints:
    """Places of the later rounds among those by round."""
    rounds, _, _ = figure.observations.by_round
    played = figure.golf.analysed.record.rounds.day[rounds]
    order = np.argsort(played, kind="stable")
    later: Ints = order[played[order] > day.toordinal()]
    return later


def keep_score(
    plan: UUID, player: UUID, said_on: date, chance: float, *, came_true: bool, today: date
) -> None:
    """What a plan said of the score, judged by the round that was played by it."""
    Forecast.objects.update_or_create(
        player_id=player,
        kind=ForecastKind.SCORE,
        subject=str(plan),
        said_on=said_on,
        defaults={"chance": _clipped(chance), "came_true": came_true, "judged_on": today},
    )


def forget_score(plan: UUID) -> bool:
    """The round that judged what the plan said was not played by it after all. Whether one had."""
    forgotten, _ = Forecast.objects.filter(kind=ForecastKind.SCORE, subject=str(plan)).delete()
    return forgotten > 0


def retell(player: UUID, club: Club, days: Iterable[date]) -> None:
    """What the reports of past days would have said, from the rounds up to each: for golf that is entered afterwards.

    What greens cost is taken as it is known today.
    """
    for day in days:
        golf = history_of([player], club, until=day)
        fits = [fitted(observed(golf, player, key)) for key in (*DASHBOARD_FIGURES, FORECAST_FIGURE)]
        keep_what_is_said(golf, player, fits, [], day)
    judge_rounds(history_of([player], club), player, today_at(club))


def forecast_record(_: Asker, __: Query) -> ForecastRecord:
    """Over all of the club's statements. Two queries."""
    columns = ("kind", "player_id", "subject", "said_on", "chance", "came_true")
    rows = list(Forecast.objects.order_by("said_on", "id").values_list(*columns))
    greens = HealingForecast.objects.order_by("said_on", "id")
    rows += [
        (ForecastKind.HEALED.value, work, "", *told)
        for work, *told in greens.values_list("work_id", "said_on", "chance", "came_true")
    ]
    kinds = [_of_kind(kind, [row[1:] for row in rows if row[0] == kind.value]) for kind in ForecastKind]
    judged = sum(kind.judged for kind in kinds)
    waiting = sum(kind.waiting for kind in kinds)
    words = gettext("{statements} judged by the rounds that came, {waiting} waiting for theirs.").format(
        statements=counted(judged, "statement"), waiting=with_marks(f"{waiting:,}")
    )
    return ForecastRecord(min((row[3] for row in rows), default=None), words, kinds)


_Row = tuple[UUID, str, date, float, bool | None]


def _of_kind(kind: ForecastKind, rows: Sequence[_Row]) -> ForecastsOfKind:
    judged = [row for row in rows if row[4] is not None]
    record = calc.judge(
        calc.Forecasts(
            chance=np.array([row[3] for row in judged], dtype=np.float64),
            came_true=np.array([row[4] for row in judged], dtype=np.bool_),
            about=_numbered([(row[0], row[1]) for row in judged]),
        )
    )
    return ForecastsOfKind(
        kind=kind,
        words=gettext(WORDS[kind]).format(
            rounds=calc.ROUNDS_AHEAD, first=ROUNDS_LOOKED_AT, strokes=f"{HEALED_STROKES:.0f}"
        ),
        waiting=len(rows) - len(judged),
        judged=record.n,
        brier=_rounded(record.brier),
        brier_of_base_rate=_rounded(record.brier_of_base_rate),
        curve=[_reliability(one) for one in record.curve],
    )


def _numbered(things: Sequence[tuple[UUID, str]]) -> Ints:
    number = {thing: place for place, thing in enumerate(dict.fromkeys(things))}
    return np.array([number[thing] for thing in things], dtype=np.int64)


def _reliability(one: calc.Reliability) -> Reliability:
    stated = None if np.isnan(one.said) else round(one.said, 4)
    share: Estimate = one.came_true
    return Reliability(one.low, one.high, stated, figure(share, of="statement"), spoken(one.words))


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 4)
