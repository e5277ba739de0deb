"""How figures of a player move: level and band by round and now, what changed, and how likely it is real."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from golfstats.calc.coaching.level_shifts import Shift, level_shift
from golfstats.calc.coaching.trends import (
    MINIMUM_ROUNDS,
    Series,
    Trend,
    chance_better,
    change_between,
    fit_trend,
    level_figure,
)
from golfstats.calc.coaching.words import likely_better
from golfstats.calc.figure import Figure
from golfstats.calc.observations import FigureSpec
from players.coaching.history import Observed, observed
from players.queries.analysed import Golf

USUAL_MONTHS_BACK = 3


@dataclass(frozen=True)
class LevelOfRound:
    """A round's own value, and the level at that time as all rounds together tell it."""

    round_id: UUID
    played_on: date
    value: float
    n: int
    level: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True)
class Change:
    """The level now against the level on an earlier day."""

    day: date
    change: Figure
    chance_better: float | None
    words: str


@dataclass(frozen=True)
class LevelShift:
    """The level jumped with the round of a day."""

    step: Shift
    better: bool
    words: str

    @property
    def day(self) -> date:
        return date.fromordinal(int(self.step.day))

    @property
    def size(self) -> Figure:
        return self.step.size


@dataclass(frozen=True)
class PlayerTrend:
    spec: FigureSpec
    now: Figure
    """The level today; ``n`` counts rounds."""
    rounds: list[LevelOfRound]
    """Oldest first."""
    change: Change
    shift: LevelShift | None


def trends(
    golf: Golf, player: UUID, keys: Iterable[str], today: date, compare_to: date | None = None
) -> list[PlayerTrend]:
    """The trends of these figures; ``compare_to`` is three months ago if left out.

    ``golf`` has to hold the player's rounds. Raises ``UnknownFigureError``.
    """
    then = compare_to or months_before(today, USUAL_MONTHS_BACK)
    return [trend_of(observed(golf, player, key), today, then) for key in keys]


def trend_of(figure: Observed, today: date, then: date) -> PlayerTrend:
    series, trend = fitted(figure)
    spec = figure.spec
    shift = level_shift(series, spec.unit)
    return PlayerTrend(
        spec=spec,
        now=level_figure(trend, today.toordinal(), spec.unit, len(series)),
        rounds=_levels(figure, series, trend),
        change=_change(spec, trend, len(series), today, then),
        shift=None if shift is None else _shift(spec, shift),
    )


def fitted(figure: Observed) -> tuple[Series, Trend | None]:
    """The figure's series by round and the model fitted to it; None with too few rounds."""
    day_of_round = figure.golf.analysed.record.rounds.day
    series = Series.of(figure.observations, day_of_round, median=figure.spec.statistic == "median")
    return series, fit_trend(series)


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
    """``in May``; with its year if it is another one."""
    return f"in {day:%B}" if day.year == today.year else f"in {day:%B %Y}"


def _levels(figure: Observed, series: Series, trend: Trend | None) -> list[LevelOfRound]:
    rounds, _, _ = figure.observations.by_round()
    day = figure.golf.analysed.record.rounds.day
    in_order = sorted(rounds.tolist(), key=lambda row: int(day[row]))  # stable, as the series is
    return [
        LevelOfRound(
            round_id=figure.golf.loaded.round_ids[row],
            played_on=figure.golf.played_on(row),
            value=float(series.value[place]),
            n=int(series.weight[place]),
            level=None if trend is None else float(trend.level[place]),
            low=None if trend is None else float(trend.low[place]),
            high=None if trend is None else float(trend.high[place]),
        )
        for place, row in enumerate(in_order)
    ]


def _change(spec: FigureSpec, trend: Trend | None, rounds: int, today: date, then: date) -> Change:
    nothing = Figure.too_few(rounds, MINIMUM_ROUNDS, spec.unit)
    if trend is None:
        return Change(then, nothing, None, "too few rounds")
    earlier, later = then.toordinal(), today.toordinal()
    change = change_between(trend, earlier, later)
    chance = chance_better(trend, earlier, later, spec.better)
    if change is None or chance is None:
        return Change(then, nothing, None, f"no round with this figure by {then}")
    words = likely_better(chance, month_words(then, today))
    return Change(then, change.figure(rounds, spec.unit, MINIMUM_ROUNDS), chance, words)


def _shift(spec: FigureSpec, step: Shift) -> LevelShift:
    size = step.size.value or 0.0
    better = (size > 0) == (spec.better == "higher")
    turn = "better" if better else "worse"
    day = date.fromordinal(int(step.day))
    return LevelShift(step, better, f"{turn} by {abs(size):.2f} {spec.unit} since {day}")
