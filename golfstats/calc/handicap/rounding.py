"""Exact rounding: to the nearest tenth or whole number, a tie always upward, toward plus infinity.

Rules of Handicapping 2024, Rules 5.1a, 5.1c, 6.1 and 6.2a. -1.55 becomes -1.5, 1.55 becomes 1.6.
Binary floats break real ties ((90 - 72.0) x 113 / 120 is exactly 16.95), so nothing here is a float.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

Exact = int | Decimal | Fraction
ZERO = Decimal("0.0")


def round_places(value: Exact, places: int) -> Decimal:
    """``value`` to ``places`` decimals, ties upward; never minus zero."""
    numerator, denominator = value.as_integer_ratio()
    shifted = numerator * 10**places
    return Decimal((2 * shifted + denominator) // (2 * denominator)).scaleb(-places)


def round_tenth(value: Exact) -> Decimal:
    return round_places(value, 1)


def round_whole(value: Exact) -> int:
    return int(round_places(value, 0))


def shown(value: Exact) -> str:
    """A handicap as golfers write it: a plus handicap, negative inside, is shown with a plus sign."""
    return f"+{-value}" if value < 0 else str(value)


def signed(value: Exact) -> str:
    """A plain signed amount such as an adjustment: ``-1.0``, ``+0.5``."""
    return f"+{value}" if value > 0 else str(value)
