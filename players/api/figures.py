"""A figure as the API gives it: the number with its unit, sample and interval, and the same in words."""

from __future__ import annotations

from typing import Any

from golfstats.calc.coaching.words import index_words
from golfstats.calc.figure import Figure
from golfstats.calc.units import FEET_PER_METRE, YARDS_PER_METRE
from golfstats.clubs.models import DistanceUnit

TO_METRES = {"yd": 1 / YARDS_PER_METRE, "ft": 1 / FEET_PER_METRE}
_DECIMALS = {
    "strokes": 2,
    "strokes a round": 2,
    "strokes a shot": 3,
    "rate": 2,
    "yd": 0,
    "ft": 1,
    "m": 1,
    "degrees": 1,
    "percent": 1,
    "putts": 2,
    "shots": 1,
}
_AFTER = {"degrees": "°", "percent": "%", "share": "%"}
_JSON_DECIMALS = 4


def figure_json(
    figure: Figure,
    *,
    unit: str = DistanceUnit.YARDS,
    of: str = "",
    signed: bool = False,
    shots: str | None = None,
) -> dict[str, Any]:
    """The figure as JSON. Below its minimum the numbers are null and the words say "too few".

    ``unit`` is the distance unit of the answer (yards and feet become metres), ``of`` what ``n`` counts
    ("shot", "hole", "round"), ``signed`` writes the plus of a gain, ``shots`` is the address of the
    shots behind the figure.
    """
    shown = in_unit(figure, unit)
    return {
        "value": _rounded(shown.value),
        "low": _rounded(shown.low),
        "high": _rounded(shown.high),
        "n": shown.n,
        "minimum_n": shown.minimum_n,
        "unit": shown.unit,
        "enough": shown.enough,
        "words": figure_words(shown, of=of, signed=signed),
        "shots": shots,
    }


def in_unit(figure: Figure, unit: str) -> Figure:
    """The same figure in metres where the club measures in metres."""
    if unit != DistanceUnit.METRES or figure.unit not in TO_METRES:
        return figure
    factor = TO_METRES[figure.unit]
    value, low, high = (None if x is None else x * factor for x in (figure.value, figure.low, figure.high))
    return Figure(value, low, high, figure.n, figure.minimum_n, "m")


def in_shown_unit(value: float | None, of_figure: str, unit: str) -> float | None:
    """One number of a figure's unit as it is shown: rounded, and in metres where the club measures so."""
    if value is None:
        return None
    factor = TO_METRES.get(of_figure, 1.0) if unit == DistanceUnit.METRES else 1.0
    return round(value * factor, _JSON_DECIMALS)


def figure_words(figure: Figure, *, of: str = "", signed: bool = False) -> str:
    """``57% (51% to 63%), 212 shots``; ``too few: 4 of at least 10 shots``."""
    if figure.value is None or figure.low is None or figure.high is None:
        return too_few_words(figure, of)
    value, low, high = (
        number_words(x, figure.unit, signed=signed) for x in (figure.value, figure.low, figure.high)
    )
    name = "" if figure.unit in _AFTER else f" {figure.unit}"
    sample = _counted(figure.n, of) if of else f"n {figure.n:,}"
    return f"{value}{name} ({low} to {high}), {sample}"


def too_few_words(figure: Figure, of: str) -> str:
    """What there is too little of."""
    if figure.n < figure.minimum_n:
        return f"too few: {_counted(figure.n, '')} of at least {_counted(figure.minimum_n, of)}"
    # Enough of what n counts, but not of what an interval rests on.
    if of == "round":
        return f"too few days, or too much alike: {_counted(figure.n, of)}"
    return f"too few rounds or players: {_counted(figure.n, of)}"


def number_words(value: float, unit: str, *, signed: bool = False) -> str:
    """One number as people write it, with a percent or degree sign but without any other unit."""
    if unit == "index":
        return index_words(value)
    decimals = _DECIMALS.get(unit, 0)
    shown = 100 * value if unit == "share" else value
    text = f"{shown:+.{decimals}f}" if signed else f"{shown:.{decimals}f}"
    if float(text) == 0:
        text = text.lstrip("+-")
    return text.replace("-", "−") + _AFTER.get(unit, "")


def _counted(n: int, what: str) -> str:
    if not what:
        return f"{n:,}"
    return f"{n:,} {what}" if n == 1 else f"{n:,} {what}s"


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, _JSON_DECIMALS)
