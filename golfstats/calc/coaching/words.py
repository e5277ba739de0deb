"""Words that every question of the coach shares."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from golfstats.calc.figure import percent
from golfstats.calc.handicap.rounding import round_tenth, shown
from golfstats.sentences import Sentence

Better = Literal["higher", "lower"]
"""Which way a figure is better, as in :class:`~golfstats.calc.observations.FigureSpec`."""


def likely_better(chance: float, than: str) -> str:
    """For instance "87% likely better than in May"; said of worse where that is the likelier."""
    if chance < 0.5:
        return Sentence("{percent} likely worse than {than}", percent=percent(1 - chance), than=than)
    return Sentence("{percent} likely better than {than}", percent=percent(chance), than=than)


def index_words(index: float) -> str:
    """A handicap index as golfers write it, to a tenth: better than scratch with a plus, never minus zero."""
    return shown(round_tenth(Fraction(index)))
