"""How figures are told: their numbers, intervals and samples as people write them."""

from __future__ import annotations

from golfstats.calc import figure as calc
from golfstats.calc.units import Unit
from golfstats.ground.words import counted, index_words, signed_number

_DECIMALS = {
    Unit.STROKES: 2,
    Unit.STROKES_A_ROUND: 2,
    Unit.STROKES_A_SHOT: 3,
    Unit.RATE: 2,
    Unit.FEET: 1,
    Unit.METRES: 1,
    Unit.DEGREES: 1,
    Unit.PERCENT: 1,
    Unit.PUTTS: 2,
    Unit.SHOTS: 1,
    Unit.INDEX: 1,
}
_AFTER = {Unit.DEGREES: "°", Unit.PERCENT: "%", Unit.SHARE: "%"}


def figure_words(computed: calc.Figure, *, of: str = "", signed: bool = False) -> str:
    """``57% (51% to 63%), 212 shots``; ``too few: 4 of at least 10 shots``."""
    if computed.value is None or computed.low is None or computed.high is None:
        return too_few_words(computed, of)
    value, low, high = (
        number_words(x, computed.unit, signed=signed) for x in (computed.value, computed.low, computed.high)
    )
    name = "" if computed.unit in _AFTER else f" {computed.unit}"
    return f"{value}{name} ({low} to {high}), {sample_words(computed, of)}"


def sample_words(computed: calc.Figure, of: str) -> str:
    """``54 holes, 3 holes picked up and estimated``; ``n 212`` where nobody says what is counted."""
    sample = counted(computed.n, of) if of else f"n {computed.n:,}"
    return sample + (
        f", {counted(computed.estimated, 'hole')} picked up and estimated" if computed.estimated else ""
    )


def too_few_words(computed: calc.Figure, of: str) -> str:
    """What there is too little of."""
    if computed.n < computed.minimum_n:
        return f"too few: {computed.n:,} of at least {counted(computed.minimum_n, of) if of else computed.minimum_n}"
    # Enough of what n counts, but not of what an interval rests on.
    if of == "round":
        return f"too few days, or too much alike: {counted(computed.n, of)}"
    return f"too few rounds or players: {counted(computed.n, of) if of else computed.n}"


def number_words(value: float, unit: Unit, *, signed: bool = False) -> str:
    """One number as people write it, with a percent or degree sign but without any other unit."""
    if unit == Unit.INDEX:
        return index_words(value)
    shown = 100 * value if unit == Unit.SHARE else value
    return signed_number(shown, _DECIMALS.get(unit, 0), plus=signed) + _AFTER.get(unit, "")


def strokes_words(value: float, *, signed: bool = True) -> str:
    return number_words(value, Unit.STROKES, signed=signed)


def length_words(value: float, unit: Unit, *, signed: bool = False) -> str:
    """As :func:`number_words`, with the unit behind a length."""
    words = number_words(value, unit, signed=signed)
    return f"{words} {unit}" if unit in {Unit.YARDS, Unit.FEET, Unit.METRES} else words
