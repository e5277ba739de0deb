"""How figures are told: their numbers, intervals and samples as people write them."""

from __future__ import annotations

from typing import Protocol

from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.calc import figure as calc
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.calc.plan.found import FoundGreensFault, read_found
from golfstats.calc.units import Unit
from golfstats.ground.words import counted, index_words, percent_words, signed_number, with_marks

Interval = tuple[float, float]
"""Lower and upper end of what a number may be."""
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
HALF_A_PERCENT = 0.005
_AFTER = {Unit.DEGREES: "°", Unit.PERCENT: "%", Unit.SHARE: "%"}


SMOOTHNESS = (
    noop("smooth"),
    noop("nearly smooth"),
    noop("some bumps"),
    noop("bumpy"),
    noop("very bumpy"),
)
"""From 1 to 5, as a player sees it."""
_PLAIN = frozenset((noop("slow"), noop("medium"), noop("fast"), noop("soft"), noop("firm"), noop("hard")))


def as_found_words(line: str) -> str:
    """Greens as found, for people: ``coring_medium 7 days, bumpy 4`` is how the notation writes it."""
    try:
        return ", ".join(_as_found(part) for part in line.split(",") if part.strip())
    except FoundGreensFault:  # a line of before such words were known
        return line


def _as_found(part: str) -> str:
    greens, word = read_found(part), part.strip().lower()
    if greens.work:
        words = (
            noop("cored")
            if (greens.work, word[:6]) == ("coring_medium", "cored ")
            else work_types()[greens.work].words
        )
        work, days = gettext(words), counted(greens.days or 0, "day")
        return gettext("{work} ({days} before)").format(work=work, days=days)
    if greens.bumpiness is not None:
        return gettext(SMOOTHNESS[greens.bumpiness - 1])
    if word in _PLAIN:
        return gettext(word)
    return gettext("{feet} ft").format(feet=with_marks(f"{greens.speed_ft:g}"))


def figure_words(computed: calc.Figure, *, of: str = "", signed: bool = False) -> str:
    """``57% (51% to 63%), 212 shots``; ``too few: 4 of at least 10 shots``."""
    if computed.value is None or computed.low is None or computed.high is None:
        return too_few_words(computed, of)
    within = computed.low, computed.high
    value, low, high = (
        number_words(x, computed.unit, signed=signed, within=within) for x in (computed.value, *within)
    )
    name = "" if computed.unit in _AFTER else f" {gettext(computed.unit)}"
    return gettext("{value} ({low} to {high}), {sample}").format(
        value=value + name, low=low, high=high, sample=sample_words(computed, of)
    )


def sample_words(computed: calc.Figure, of: str) -> str:
    """``54 holes, 3 holes picked up and estimated``; ``n 212`` where nobody says what is counted."""
    sample = counted(computed.n, of) if of else with_marks(f"n {computed.n:,}")
    if not computed.estimated:
        return sample
    return gettext("{sample}, {holes} picked up and estimated").format(
        sample=sample, holes=counted(computed.estimated, "hole")
    )


def too_few_words(computed: calc.Figure, of: str) -> str:
    """What there is too little of."""
    if computed.n < computed.minimum_n:
        return gettext("too few: {n} of at least {least}").format(
            n=with_marks(f"{computed.n:,}"),
            least=counted(computed.minimum_n, of) if of else computed.minimum_n,
        )
    # Enough of what n counts, but not of what an interval rests on.
    if of == "round":
        return gettext("too few days, or too much alike: {rounds}").format(rounds=counted(computed.n, of))
    return gettext("too few rounds or players: {sample}").format(
        sample=counted(computed.n, of) if of else computed.n
    )


def number_words(value: float, unit: Unit, *, signed: bool = False, within: Interval | None = None) -> str:
    """One number as people write it, with a percent or degree sign but without any other unit.

    ``within``: the interval that the number is told with, or is an end of; a wide one is worth fewer decimals.
    """
    if unit == Unit.INDEX:
        return index_words(value)
    if unit == Unit.SHARE and not signed:
        return _share(value, within)
    shown = 100 * value if unit == Unit.SHARE else value
    decimals = _DECIMALS.get(unit, 0)
    if within is not None:
        decimals = calc.decimals_within(*within, decimals)
    number = signed_number(shown, decimals, plus=signed)
    if _AFTER.get(unit) == "%":
        return gettext("{percent}%").format(percent=number)
    return number + _AFTER.get(unit, "")


def by_chance_words(p_value: float) -> str:
    """How often chance alone does as much, for readers who know no p-values: ``in 11 of 100 cases``."""
    if p_value < 0.001:
        return gettext("in fewer than 1 of {cases} cases").format(cases=with_marks("1,000"))
    if p_value >= 0.995:
        return gettext("in nearly all cases")
    of = 100 if p_value >= 0.0995 else 1000
    return gettext("in {n} of {cases} cases").format(n=f"{of * p_value:.0f}", cases=with_marks(f"{of:,}"))


def _share(value: float, within: Interval | None) -> str:
    """``57%``; what is nearly none or nearly all is not told as none or all."""
    # Zeros with no width are chances that were rounded to the digits of an answer: no sample tells of none.
    if 0.0 < value < HALF_A_PERCENT or (value == 0.0 and within == (0.0, 0.0)):
        return gettext("{percent}%").format(percent="<1")
    if 1.0 - HALF_A_PERCENT <= value < 1.0:
        return gettext("{percent}%").format(percent=">99")
    return percent_words(value)


class WithInterval(Protocol):
    """A figure, of an answer or of a calculation."""

    @property
    def low(self) -> float | None: ...
    @property
    def high(self) -> float | None: ...


def ends(figure: WithInterval) -> Interval | None:
    """What a figure lies within; nothing below its minimum sample."""
    return None if figure.low is None or figure.high is None else (figure.low, figure.high)


def range_words(of: WithInterval, *, decimals: int) -> str:
    """``0.4 to 3.1``: an interval alone, to ``decimals`` or to fewer where it is wide; a dash for none."""
    if of.low is None or of.high is None:
        return "–"
    told = calc.decimals_within(of.low, of.high, decimals)
    low, high = (signed_number(x, told) for x in (of.low, of.high))
    return gettext("{low} to {high}").format(low=low, high=high)


def strokes_words(value: float, *, signed: bool = True, within: Interval | None = None) -> str:
    return number_words(value, Unit.STROKES, signed=signed, within=within)


def length_words(value: float, unit: Unit, *, signed: bool = False, within: Interval | None = None) -> str:
    """As :func:`number_words`, with the unit behind a length."""
    words = number_words(value, unit, signed=signed, within=within)
    return f"{words} {gettext(unit)}" if unit in {Unit.YARDS, Unit.FEET, Unit.METRES} else words
