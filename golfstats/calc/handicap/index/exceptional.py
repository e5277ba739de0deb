"""Exceptional score reduction (Rule 5.9)."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from golfstats.calc.handicap.rounding import ZERO, Exact, round_tenth
from golfstats.calc.handicap.rules.settings import PUBLISHED, HandicapRules


def exceptional_reduction(
    index_when_played: Decimal | None, differential: Exact, rules: HandicapRules = PUBLISHED
) -> Decimal:
    """0, -1.0 (a differential 7.0 to 9.9 better than the index) or -2.0 (10.0 or more).

    ``differential`` is unrounded. Without an index in force there is no reduction.
    """
    if index_when_played is None:
        return ZERO
    compared = round_tenth(differential) if rules.exceptional_from_rounded else differential
    gap = Fraction(index_when_played) - Fraction(compared)
    if gap < 7:
        return ZERO
    two = gap >= 10 or (rules.exceptional_two_above == "9.9" and gap > Fraction(99, 10))
    return Decimal("-2.0") if two else Decimal("-1.0")
