"""What every answer about golf is made of: figures with their sample and interval, chances, windows, benchmarks."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Annotated, overload
from urllib.parse import urlencode
from uuid import UUID

import numpy as np
from django.utils.translation import gettext

from golfstats.calc import figure as calc
from golfstats.calc.figure import percent
from golfstats.calc.observations import FigureSpec
from golfstats.calc.strokes.benchmark import Benchmark as Golfer
from golfstats.calc.strokes.table import off_green_memory
from golfstats.calc.units import FEET_PER_METRE, YARDS_PER_METRE, Unit
from golfstats.ground.answers import OneOf, up_to
from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import counted, day_words, spoken, with_marks
from players.golf.analysed import Golf
from players.golf.benchmarks import benchmark_choices
from players.golf.questions import WindowQuery
from players.golf.windows import RoundWindow
from players.golf.words import figure_words
from players.people.answers import Named
from players.people.models import Player

__all__ = ["Unit"]  # what the figures told here are counted in
_TO_METRES = {Unit.YARDS: 1 / YARDS_PER_METRE, Unit.FEET: 1 / FEET_PER_METRE}
_JSON_DECIMALS = 4


class Better(StrEnum):
    """Which way a figure is better."""

    HIGHER = "higher"
    """The more, the better."""
    LOWER = "lower"
    """The less, the better."""


BetterWord = Annotated[str, OneOf(Better)]


@dataclass(frozen=True)
class Figure:
    """A number with what it rests on. Below its minimum the numbers are null and the words say "too few"."""

    value: float | None
    """In the unit of ``unit``; null with too few."""
    low: float | None
    """Lower end of the 90% interval."""
    high: float | None
    """Upper end of the 90% interval."""
    n: int
    """How many shots, holes, rounds or players it rests on."""
    minimum_n: int
    """Fewer than so many are too few."""
    unit: Unit
    """What it is counted in."""
    enough: bool
    """Whether there are ``minimum_n`` of them, and so numbers."""
    words: str
    """The figure as people say it, with interval and sample."""
    shots: str | None
    """Address (REST) of the shots behind it."""


@dataclass(frozen=True)
class NamedFigure(Figure):
    """A figure of the catalogue."""

    key: str
    """Key in the catalogue of figures."""
    name: str
    """What it is called."""
    better: BetterWord
    """Which way it is better."""


@dataclass(frozen=True)
class FigureName:
    """Which figure of the catalogue."""

    key: str
    """Key in the catalogue of figures."""
    name: str
    """What it is called."""
    better: BetterWord
    """Which way it is better."""
    unit: Unit
    """What it is counted in."""


@dataclass(frozen=True)
class Chance:
    """A chance from 0 to 1; the words are never 0% or 100%."""

    value: float
    """From 0 to 1."""
    words: str


@dataclass(frozen=True)
class RoundsInWindow:
    """The rounds that an answer is about."""

    rounds: int
    """How many rounds count."""
    first: dt.date | None
    """Day of the first round found."""
    last: dt.date | None
    """Day of the last round found."""
    words: str


@dataclass(frozen=True)
class Benchmark:
    """Whom an answer compares with."""

    key: str
    """What to ask for, to compare with this golfer."""
    name: str
    """What the golfer is called."""
    description: str
    """Who that is."""
    provenance: str
    caution: str
    """What has to be known before trusting it."""


@dataclass(frozen=True)
class BenchmarkChoice(Benchmark):
    """A benchmark that may be asked for."""

    shots: int | None
    """Shots that it was fitted from, if it is the club's own."""
    fitted_on: dt.date | None
    """Day on which it was fitted, if it is the club's own."""


@dataclass(frozen=True)
class BenchmarkChoices:
    """The golfers one can be compared with."""

    default: str
    """Key of the club's own choice."""
    results: list[BenchmarkChoice] = up_to(30)
    """One for every second handicap that the club's golfers were fitted at, and those of everybody."""


@dataclass(frozen=True)
class AboutPlayer:
    """Whose golf an answer is about, which of it, and against whom."""

    player: Named
    window: RoundsInWindow
    benchmark: Benchmark


def about(player: Player, golf: Golf) -> AboutPlayer:
    return AboutPlayer(
        Named(player.id, player.name), window_of(player.id, golf), benchmark_of(golf.benchmark)
    )


def benchmark_of(golfer: Golfer) -> Benchmark:
    name, description, provenance = spoken(golfer.name), spoken(golfer.description), spoken(golfer.provenance)
    return Benchmark(golfer.key, name, description, provenance, caution())


def benchmarks(asker: Asker, _: Query) -> BenchmarkChoices:
    return BenchmarkChoices(
        asker.club.benchmark,
        [
            BenchmarkChoice(
                choice.key,
                choice.name,
                choice.description,
                choice.provenance,
                caution(),
                choice.shots,
                None if choice.fitted_on is None else dt.date.fromisoformat(choice.fitted_on),
            )
            for choice in benchmark_choices()
        ],
    )


def caution() -> str:
    """What has to be said wherever a benchmark is shown: all of them rest on the professional table."""
    memory, rows = off_green_memory()
    return gettext(
        "{memory} of the {rows} values of the professional table off the green are from memory and not checked "
        "against the paper; this benchmark rests on them."
    ).format(memory=memory, rows=rows)


def window_of(player: UUID, golf: Golf) -> RoundsInWindow:
    """The player's rounds that an answer is about; dates of the first and last one found."""
    days = [golf.played_on(int(row)) for row in np.flatnonzero(golf.rounds_of([player]))]
    words = _window_words(golf.window, len(days))
    if not days:
        return RoundsInWindow(0, None, None, words)
    first, last = min(days), max(days)
    when = day_words(first)
    if first != last:
        when = gettext("{first} to {last}").format(first=when, last=day_words(last))
    return RoundsInWindow(len(days), first, last, f"{words}, {when}")


def _window_words(window: RoundWindow, rounds: int) -> str:
    if rounds == 0:
        return gettext("No round")
    if window.last is None:
        return counted(rounds, "round")
    if rounds == window.last:
        several = gettext("The last {n} rounds").format(n=rounds)
        return several if rounds > 1 else gettext("The last round")
    several = gettext("All {n} rounds there are").format(n=with_marks(f"{rounds:,}"))
    return several if rounds > 1 else gettext("The only round there is")


def chance(value: float | None) -> Chance | None:
    return None if value is None else Chance(round(value, 4), spoken(percent(value)))


def figure_name(spec: FigureSpec, unit: str) -> FigureName:
    """Which figure it is; ``unit`` is the distance unit of the answer."""
    return FigureName(spec.key, spoken(spec.words), spec.better, shown_unit(spec.unit, unit))


def figure(
    computed: calc.Figure,
    *,
    unit: str = DistanceUnit.YARDS,
    of: str = "",
    signed: bool = False,
    shots: str | None = None,
) -> Figure:
    """A figure as it is told.

    ``unit`` is the distance unit of the answer (yards and feet become metres), ``of`` what ``n`` counts
    ("shot", "hole", "round"), ``signed`` writes the plus of a gain, ``shots`` is the address of the shots
    behind the figure.
    """
    shown = in_unit(computed, unit)
    return Figure(
        _rounded(shown.value),
        _rounded(shown.low),
        _rounded(shown.high),
        shown.n,
        shown.minimum_n,
        shown.unit,
        shown.enough,
        figure_words(shown, of=of, signed=signed),
        shots,
    )


def figure_of(spec: FigureSpec, computed: calc.Figure, unit: str, of: str | None = None) -> Figure:
    """A value of a named figure; ``of`` says what ``n`` counts if not what the figure counts."""
    return figure(computed, unit=unit, of=of or spec.per, signed=is_difference(spec))


def is_difference(spec: FigureSpec) -> bool:
    """Whether the figure is a gain or a loss, which is written with its sign."""
    return spec.key.startswith("gained.") or spec.key.endswith((".gained", ".shot_after"))


@dataclass(frozen=True)
class Teller:
    """Tells the figures of one player's answer, each with the address of the shots behind it."""

    player: UUID
    query: WindowQuery
    unit: str
    """The distance unit of the answer."""

    def shots(self, key: str) -> str:
        """Address of the shots behind the figure of this key, in the window asked for."""
        query = self.query
        asked = {"last": query.last, "from": query.since, "to": query.until, "benchmark": query.benchmark}
        window = {name: str(value) for name, value in asked.items() if value is not None}
        return f"/api/v1/players/{self.player}/shots?{urlencode({'figure': key} | window)}"

    def named(self, spec: FigureSpec, computed: calc.Figure) -> NamedFigure:
        """A figure of the catalogue with its key and name."""
        answer = figure(
            computed, unit=self.unit, of=spec.per, signed=is_difference(spec), shots=self.shots(spec.key)
        )
        return NamedFigure(**vars(answer), key=spec.key, name=spoken(spec.words), better=spec.better)

    def plain(
        self,
        computed: calc.Figure,
        of: str = "",
        *,
        signed: bool = False,
        shots_of: str = "",
        too_few: str = "",
    ) -> Figure:
        """A figure that is not of the catalogue; ``shots_of`` is the key of one with the same shots, ``too_few``
        what is said of one without a number.
        """
        shots = self.shots(shots_of) if shots_of else None
        answer = figure(computed, unit=self.unit, of=of, signed=signed, shots=shots)
        return replace(answer, words=too_few) if too_few and not answer.enough else answer


def in_unit(computed: calc.Figure, unit: str) -> calc.Figure:
    """The same figure in metres where the club measures in metres."""
    if unit != DistanceUnit.METRES or computed.unit not in _TO_METRES:
        return computed
    factor = _TO_METRES[computed.unit]
    value, low, high = (
        None if x is None else x * factor for x in (computed.value, computed.low, computed.high)
    )
    return replace(computed, value=value, low=low, high=high, unit=Unit.METRES)


def shown_unit(of_figure: Unit, unit: str) -> Unit:
    """The unit in which a figure is shown."""
    metric = unit == DistanceUnit.METRES and of_figure in _TO_METRES
    return Unit.METRES if metric else of_figure


@overload
def in_shown_unit(value: float, of_figure: Unit, unit: str) -> float: ...
@overload
def in_shown_unit(value: float | None, of_figure: Unit, unit: str) -> float | None: ...
def in_shown_unit(value: float | None, of_figure: Unit, unit: str) -> float | None:
    """One number of a figure's unit as it is shown: rounded, and in metres where the club measures so."""
    if value is None:
        return None
    factor = _TO_METRES.get(of_figure, 1.0) if unit == DistanceUnit.METRES else 1.0
    return round(value * factor, _JSON_DECIMALS)


def in_own_unit(value: float, of_figure: Unit, unit: str) -> float:
    """A number given as it is shown in the unit of the calculations: the inverse of :func:`in_shown_unit`."""
    return value / (_TO_METRES.get(of_figure, 1.0) if unit == DistanceUnit.METRES else 1.0)


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, _JSON_DECIMALS)
