"""Figures as a page shows them: value, interval and sample apart, in the words of the API."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from golfstats.calc.figure import Figure
from golfstats.calc.observations import FigureSpec
from players.api.figures import in_unit, number_words, too_few_words
from players.api.strokes_view import is_difference
from players.queries.figures import NamedFigure


@dataclass(frozen=True)
class ShownFigure:
    """A figure in words. Below its minimum sample ``value`` is "too few" and ``interval`` is empty."""

    key: str
    name: str
    value: str
    interval: str
    sample: str
    enough: bool
    figure: Figure


def shown(
    figure: Figure, *, unit: str, of: str = "", signed: bool = False, key: str = "", name: str = ""
) -> ShownFigure:
    """``unit`` is the club's distance unit, ``of`` what the sample counts."""
    one = in_unit(figure, unit)
    if one.value is None or one.low is None or one.high is None:
        sample = too_few_words(one, of).removeprefix("too few").lstrip(": ")
        return ShownFigure(key, name, "too few", "", sample, enough=False, figure=one)
    value, low, high = (number_words(x, one.unit, signed=signed) for x in (one.value, one.low, one.high))
    if one.unit in {"yd", "ft", "m"}:
        value = f"{value} {one.unit}"
    return ShownFigure(key, name, value, f"{low} to {high}", _counted(one.n, of), enough=True, figure=one)


def shown_spec(spec: FigureSpec, figure: Figure, unit: str, of: str | None = None) -> ShownFigure:
    return shown(
        figure, unit=unit, of=of or spec.per, signed=is_difference(spec), key=spec.key, name=spec.words
    )


def shown_all(figures: Iterable[NamedFigure], unit: str) -> list[ShownFigure]:
    return [shown_spec(named.spec, named.figure, unit) for named in figures]


def gain(value: float | None) -> str:
    """Strokes gained with its sign; a dash where there are none."""
    return "–" if value is None else number_words(value, "strokes", signed=True)


def index_words(index: object) -> str:
    """A handicap index, a number or already written, with its decimal; better than scratch with a plus."""
    if index is None:
        return "–"
    text = str(index)
    number = -float(text) if text.startswith("+") else float(text)
    return f"+{-number:.1f}" if number < 0 else f"{number:.1f}"


def _counted(n: int, what: str) -> str:
    if not what:
        return f"n {n:,}"
    return f"{n:,} {what}" if n == 1 else f"{n:,} {what}s"
