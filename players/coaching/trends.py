"""How figures of a player move: level and band by round and now, what changed, and how likely it is real."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from uuid import UUID

import numpy as np
from django.utils.formats import date_format
from django.utils.translation import gettext

from golfstats.calc.coaching import trends as calc
from golfstats.calc.coaching.level_shifts import Shift, level_shift
from golfstats.calc.coaching.series import Series, course_columns
from golfstats.calc.coaching.standing import level_figure, player_or_greens
from golfstats.calc.coaching.trends import MINIMUM_ROUNDS, fit_trends
from golfstats.calc.coaching.words import likely_better
from golfstats.calc.figure import Figure as Estimate
from golfstats.calc.observations import FigureSpec
from golfstats.calc.record import Floats, Ints
from golfstats.ground.answers import up_to
from golfstats.ground.faults import Fault, invalid
from golfstats.ground.operations import Asker
from golfstats.ground.words import day_words, spoken, with_marks
from golfstats.sentences import Sentence
from players.coaching.greens import PLAYER_OR_GREENS, OnTheGreens, count_greens, greens_answer
from players.coaching.history import Observed, histories, observed
from players.coaching.questions import TrendsQuery
from players.golf.analysed import Golf
from players.golf.answers import (
    Chance,
    Figure,
    FigureName,
    chance,
    figure,
    figure_name,
    figure_of,
    in_shown_unit,
)
from players.people.answers import Named
from players.people.models import Player

USUAL_MONTHS_BACK = 3


@dataclass(frozen=True)
class TrendRound:
    """A round's own value, and the level at that time as all rounds together tell it."""

    round: UUID
    played_on: date
    value: float | None
    """As on undisturbed greens where putting decides the figure."""
    raw: float | None
    """As it was."""
    n: int
    """How many shots or holes the value rests on."""
    level: float | None
    """What all rounds together say of the day, in the unit of the figure; one round moves it little."""
    low: float | None
    """Lower end of the level's 90% band."""
    high: float | None
    """Upper end of the level's 90% band."""


@dataclass(frozen=True)
class TrendChange:
    """The level now against the level on an earlier day."""

    day: date
    """The earlier day."""
    change: Figure
    """Now minus then."""
    chance_better: Chance | None
    words: str


@dataclass(frozen=True)
class LevelShift:
    """The level jumped with the round of a day."""

    day: date
    """Day of that round."""
    size: Figure
    """By how much; after minus before."""
    better: bool
    """Whether it is for the better."""
    words: str


@dataclass(frozen=True, kw_only=True)
class Trend(FigureName):
    """A figure over time: its level now and by round with its 90% band."""

    now: Figure
    """The level today; n counts rounds."""
    compared_with: TrendChange
    """The level on an earlier day."""
    level_shift: LevelShift | None
    """The clearest jump; null where there is none."""
    greens: OnTheGreens | None
    """What disturbed greens have to do with it; null where they have nothing."""
    rounds: list[TrendRound] = up_to(10)
    """Oldest first."""


@dataclass(frozen=True, kw_only=True)
class PlayersTrends:
    """How a player's figures move."""

    player: Named
    today: date
    """Day at the club."""
    benchmark: str
    """Key of the golfer whom they are compared with."""
    trends: list[Trend] = up_to(5)
    """In the order asked for."""


@dataclass(frozen=True, eq=False)
class Fitted:
    """A figure's series by round and the model fitted to it."""

    figure: Observed
    series: Series
    trend: calc.Trend | None
    """None with too few rounds."""
    raw: Fitted | None = None
    """The same without regard to the greens, where these were disturbed."""

    @property
    def spec(self) -> FigureSpec:
        return self.figure.spec

    @cached_property
    def shift(self) -> Shift | None:
        """The jump of the level that the rounds show, if they show one."""
        return level_shift(self.series, self.spec.unit, self.trend)

    @cached_property
    def player_or_greens(self) -> bool:
        """Whether the last rounds cannot tell the player from the greens."""
        return player_or_greens(self.series)

    def level_on(self, day: date) -> Estimate:
        return level_figure(self.trend, day.toordinal(), self.spec.unit, len(self.series))


def trends(asker: Asker, players: Sequence[Player], query: TrendsQuery) -> list[PlayersTrends]:
    if query.compare_to is not None and query.compare_to >= asker.today:
        raise invalid([Fault("/compare_to", "not_earlier", Sentence("compare_to is a day before today"))])
    unit, answers = query.shown_unit(asker), []
    for player, golf in zip(players, histories(asker, players, query.benchmark, query.since), strict=True):
        figures = [observed(golf, player.id, key) for key in query.figures]
        trends_ = [
            trend_answer(one, asker.today, unit, query.compare_to, query.last)
            for one in fitted_together(figures)
        ]
        named = Named(player.id, player.name)
        answers.append(
            PlayersTrends(player=named, today=asker.today, benchmark=golf.benchmark.key, trends=trends_)
        )
    return answers


def fitted(figure: Observed) -> Fitted:
    return fitted_together([figure])[0]


def fitted_together(figures: Sequence[Observed]) -> list[Fitted]:
    """Of figures of the same rounds, quicker than one by one."""
    series = [_series(figure, figure.doubt) for figure in figures]
    as_it_was = {
        place: _series(replace(figure, observations=figure.raw), None)
        for place, figure in enumerate(figures)
        if count_greens(figure).disturbed
    }
    trends = fit_trends([*series, *as_it_was.values()])
    raw = {
        place: Fitted(figures[place], one, trend)
        for (place, one), trend in zip(as_it_was.items(), trends[len(series) :], strict=True)
    }
    return [
        Fitted(figure, series[place], trends[place], raw.get(place)) for place, figure in enumerate(figures)
    ]


def _series(figure: Observed, doubt: Floats | None) -> Series:
    rounds = figure.golf.analysed.record.rounds
    return Series.of(
        figure.observations,
        rounds.day,
        median=figure.spec.statistic == "median",
        covariates=course_columns(rounds.course, _unusual_tees(figure.golf)),
        doubt=doubt,
    )


def _unusual_tees(golf: Golf) -> Ints:
    """A number for each round's tees, -1 for the tees most played on their course: what they do is the course's."""
    _, tees = np.unique([str(one) for one in golf.loaded.tee_sets], return_inverse=True)
    course = golf.analysed.record.rounds.course
    usual = {one: np.bincount(tees[course == one]).argmax() for one in np.unique(course)}
    return np.where([usual[one] == tee for one, tee in zip(course, tees, strict=True)], -1, tees).astype(
        np.int64
    )


def trend_answer(
    fit: Fitted, today: date, unit: str, compare_to: date | None = None, last: int | None = None
) -> Trend:
    """``unit`` is the distance unit of the answer; the day to compare to is three months ago if left out."""
    spec, series = fit.spec, fit.series
    now = fit.level_on(today)
    then = compare_to or months_before(today, USUAL_MONTHS_BACK)
    return Trend(
        **vars(figure_name(spec, unit)),
        now=figure_of(spec, now, unit, of="round"),
        compared_with=_with_greens(_change(spec, fit.trend, len(series), today, then, unit), fit),
        level_shift=None if fit.shift is None else _shift(spec, fit.shift, unit),
        greens=_greens(fit, today, unit),
        rounds=_levels(fit, unit, last),
    )


def _greens(fit: Fitted, today: date, unit: str) -> OnTheGreens | None:
    if fit.raw is None:
        return None
    greens = greens_answer(fit.figure, figure_of(fit.spec, fit.raw.level_on(today), unit, of="round"))
    if greens is None or not fit.player_or_greens:
        return greens
    return replace(greens, words=f"{greens.words} {gettext(PLAYER_OR_GREENS)}")


def months_before(day: date, months: int) -> date:
    """The same day of an earlier month, or that month's last day."""
    year, month = divmod(day.year * 12 + day.month - 1 - months, 12)
    for last in (day.day, 30, 29, 28):
        try:
            return date(year, month + 1, last)
        except ValueError:
            continue
    raise AssertionError("every month has 28 days")


def month_words(day: date, today: date) -> str:
    """``in May``; with its year if it is another one. By name however the club writes days: no order is mistaken."""
    words = gettext("in {month}") if day.year == today.year else gettext("in {month} {year}")
    return words.format(month=date_format(day, "F"), year=day.year)


def _levels(fit: Fitted, unit: str, last: int | None) -> list[TrendRound]:
    """Of the last so many rounds, or of all."""
    figure, series, trend = fit.figure, fit.series, fit.trend
    rounds, _, _ = figure.observations.by_round
    day = figure.golf.analysed.record.rounds.day
    in_order = sorted(rounds.tolist(), key=lambda row: int(day[row]))  # stable, as the series is
    raw = dict(zip(*(column.tolist() for column in _raw_values(figure)), strict=True))
    first = max(len(in_order) - (last or len(in_order)), 0)
    levels = None if trend is None else trend.levels(first)

    def shown(value: float | None) -> float | None:
        return in_shown_unit(value, figure.spec.unit, unit)

    return [
        TrendRound(
            round=figure.golf.loaded.round_ids[row],
            played_on=figure.golf.played_on(row),
            value=shown(float(series.value[place])),
            raw=shown(raw[row]) if figure.adjusted else shown(float(series.value[place])),
            n=int(series.weight[place]),
            level=None if levels is None else shown(float(levels.level[place - first])),
            low=None if levels is None else shown(float(levels.low[place - first])),
            high=None if levels is None else shown(float(levels.high[place - first])),
        )
        for place, row in enumerate(in_order[first:], start=first)
    ]


def _raw_values(figure: Observed) -> tuple[Ints, Floats]:
    """Rounds and their mean value as it was."""
    rounds, values, _ = figure.raw.by_round
    return rounds, values


def _change(
    spec: FigureSpec, trend: calc.Trend | None, rounds: int, today: date, then: date, unit: str
) -> TrendChange:
    nothing = figure(Estimate.too_few(rounds, MINIMUM_ROUNDS, spec.unit), unit=unit, of="round", signed=True)
    if trend is None:
        return TrendChange(then, nothing, None, gettext("too few rounds"))
    earlier, later = then.toordinal(), today.toordinal()
    change = trend.change_between(earlier, later)
    better = calc.chance_better(trend, earlier, later, spec.better)
    if change is None or better is None:
        nobody_knows = gettext("no round with this figure by {day}").format(day=day_words(then))
        return TrendChange(then, nothing, None, nobody_knows)
    if player_or_greens(trend.series):
        unknown = gettext("whether it is the player or the greens cannot be told yet")
        return TrendChange(then, nothing, None, unknown)
    words = spoken(likely_better(better, month_words(then, today)))
    answer = figure(change.figure(rounds, spec.unit, MINIMUM_ROUNDS), unit=unit, of="round", signed=True)
    return TrendChange(then, answer, chance(better), words)


def _with_greens(change: TrendChange, fit: Fitted) -> TrendChange:
    """A change is not told without the greens of the last rounds."""
    greens = count_greens(fit.figure)
    if not greens.lately or change.chance_better is None:
        return change
    words = gettext("{change}, as on undisturbed greens; {lately}")
    return replace(change, words=words.format(change=change.words, lately=greens.lately_words))


def _shift(spec: FigureSpec, step: Shift, unit: str) -> LevelShift:
    size = step.size.value or 0.0
    better = (size > 0) == (spec.better == "higher")
    words = gettext("better by {size} {unit} since {day}")
    if not better:
        words = gettext("worse by {size} {unit} since {day}")
    day = date.fromordinal(int(step.day))
    answer = figure(step.size, unit=unit, of="round", signed=True)
    words = words.format(size=with_marks(f"{abs(size):.2f}"), unit=gettext(spec.unit), day=day_words(day))
    return LevelShift(day, answer, better, words)
