"""Figures as a page shows them: value, interval and sample apart, in the words of the API."""

from __future__ import annotations

from dataclasses import dataclass, replace

from golfstats.calc.figure import Figure
from golfstats.calc.units import Unit
from players.conditions.answers.rounds import AdjustedPutting
from players.golf import answers
from players.golf.answers import in_unit, number_words, sample_words, too_few_words


@dataclass(frozen=True)
class ShownFigure:
    """A figure in words. Below its minimum sample ``value`` is "too few" and ``interval`` is empty."""

    key: str
    name: str
    value: str
    interval: str
    sample: str
    enough: bool


def shown(
    figure: Figure, *, unit: str, of: str = "", signed: bool = False, key: str = "", name: str = ""
) -> ShownFigure:
    """``unit`` is the club's distance unit, ``of`` what the sample counts."""
    one = in_unit(figure, unit)
    if one.value is None or one.low is None or one.high is None:
        sample = too_few_words(one, of).removeprefix("too few").lstrip(": ")
        return ShownFigure(key, name, "too few", "", sample, enough=False)
    value, low, high = (number_words(x, one.unit, signed=signed) for x in (one.value, one.low, one.high))
    if one.unit in {Unit.YARDS, Unit.FEET, Unit.METRES}:
        value = f"{value} {one.unit}"
    return ShownFigure(key, name, value, f"{low} to {high}", sample_words(one, of), enough=True)


def told(figure: answers.Figure, *, signed: bool = False, name: str = "") -> ShownFigure:
    """A figure of an answer; ``signed`` if it is a gain or a loss."""
    key = figure.key if isinstance(figure, answers.NamedFigure) else ""
    if figure.value is None or figure.low is None or figure.high is None:
        sample = figure.words.removeprefix("too few").lstrip(": ")
        return ShownFigure(key, name, "too few", "", sample, enough=False)
    value, low, high = (
        number_words(x, figure.unit, signed=signed) for x in (figure.value, figure.low, figure.high)
    )
    if figure.unit in {Unit.YARDS, Unit.FEET, Unit.METRES}:
        value = f"{value} {figure.unit}"
    sample = figure.words.partition("), ")[2]
    return ShownFigure(key, name, value, f"{low} to {high}", sample, enough=True)


@dataclass(frozen=True)
class PuttingOnTheDay:
    """Putting a round as it was, what the greens took or gave, and putting without that."""

    raw: ShownFigure
    owed: ShownFigure
    adjusted: ShownFigure


def putting_words(found: AdjustedPutting) -> PuttingOnTheDay:
    return PuttingOnTheDay(
        told(found.raw, signed=True),
        told(_turned(found.owed), signed=True),
        told(found.adjusted, signed=True),
    )


def _turned(figure: answers.Figure) -> answers.Figure:
    """Strokes lost as strokes gained."""
    if figure.value is None or figure.low is None or figure.high is None:
        return figure
    return replace(figure, value=0.0 - figure.value, low=0.0 - figure.high, high=0.0 - figure.low)


def gain(value: float | None) -> str:
    """Strokes gained with its sign; a dash where there are none."""
    return "–" if value is None else number_words(value, Unit.STROKES, signed=True)
