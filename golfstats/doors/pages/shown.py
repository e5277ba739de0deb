"""Figures as a page shows them: value, interval and sample apart, in the words of the API."""

from __future__ import annotations

from dataclasses import dataclass, replace

from django.utils.translation import gettext

from players.conditions.answers.rounds import AdjustedPutting
from players.golf import answers
from players.golf.words import length_words, number_words, strokes_words


@dataclass(frozen=True)
class ShownFigure:
    """A figure in words. Below its minimum sample ``value`` is "too few" and ``interval`` is empty."""

    key: str
    name: str
    value: str
    interval: str
    sample: str
    enough: bool


def told(figure: answers.Figure, *, signed: bool = False, name: str = "") -> ShownFigure:
    """A figure of an answer; ``signed`` if it is a gain or a loss."""
    key = figure.key if isinstance(figure, answers.NamedFigure) else ""
    if figure.value is None or figure.low is None or figure.high is None:
        sample = figure.words.removeprefix(gettext("too few")).lstrip(": ")
        return ShownFigure(key, name, gettext("too few"), "", sample, enough=False)
    within = figure.low, figure.high
    value = length_words(figure.value, figure.unit, signed=signed, within=within)
    low, high = (number_words(x, figure.unit, signed=signed, within=within) for x in within)
    sample = figure.words.partition("), ")[2]
    return ShownFigure(
        key, name, value, gettext("{low} to {high}").format(low=low, high=high), sample, enough=True
    )


@dataclass(frozen=True)
class PuttingOnTheDay:
    """Putting a round as it was, what the greens took or gave, and putting without that."""

    raw: ShownFigure
    owed: ShownFigure
    adjusted: ShownFigure


def putting_words(putting: AdjustedPutting) -> PuttingOnTheDay:
    return PuttingOnTheDay(
        told(putting.raw, signed=True),
        told(turned(putting.owed), signed=True),
        told(putting.adjusted, signed=True),
    )


def turned(figure: answers.Figure) -> answers.Figure:
    """Strokes lost as strokes gained."""
    if figure.value is None or figure.low is None or figure.high is None:
        return figure
    return replace(figure, value=0.0 - figure.value, low=0.0 - figure.high, high=0.0 - figure.low)


def gain(value: float | None) -> str:
    """Strokes gained with its sign; a dash where there are none."""
    return "–" if value is None else strokes_words(value)
