"""Handicap Index from Score Differentials (Rules 5.2, 5.3, 5.8): select, average, cap, limit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from golfstats.calc.handicap.index.caps import cap
from golfstats.calc.handicap.rounding import ZERO, round_tenth
from golfstats.calc.handicap.rules.settings import PUBLISHED, HandicapRules

RECORD_LENGTH = 20

_TWO, _ONE = Decimal("-2.0"), Decimal("-1.0")
_TABLE: dict[int, tuple[int, Decimal]] = {
    1: (1, _TWO),
    2: (1, _TWO),
    3: (1, _TWO),
    4: (1, _ONE),
    5: (1, ZERO),
    6: (2, _ONE),
    7: (2, ZERO),
    8: (2, ZERO),
    **dict.fromkeys((9, 10, 11), (3, ZERO)),
    **dict.fromkeys((12, 13, 14), (4, ZERO)),
    **dict.fromkeys((15, 16), (5, ZERO)),
    **dict.fromkeys((17, 18), (6, ZERO)),
    19: (7, ZERO),
    20: (8, ZERO),
}


@dataclass(frozen=True)
class Calculation:
    """How one index came about."""

    on_record: int
    """Differentials it was taken from, at most 20."""
    counted: tuple[int, ...]
    """Places of the counted ones in the given list."""
    mean: Fraction
    table_adjustment: Decimal
    average: Decimal
    """Mean with the table adjustment, rounded: what is compared with the Low Handicap Index."""
    low_index: Decimal | None
    soft_cap: bool
    hard_cap: bool
    limited: bool
    """Reduced to the maximum index."""
    index: Decimal


def lowest_and_adjustment(on_record: int) -> tuple[int, Decimal]:
    """Rule 5.2a: how many of the lowest differentials count, and the amount added to their average."""
    return _TABLE[min(on_record, RECORD_LENGTH)]


def calculate(
    newest_first: Sequence[Decimal],
    low_index: Decimal | None = None,
    rules: HandicapRules = PUBLISHED,
    *,
    table_adjusts: bool = True,
) -> Calculation:
    """The index from adjusted differentials, newest first; older ones than the 20th are ignored.

    Of equal differentials the newer ones count. ``ValueError`` without any differential.
    """
    if not newest_first:
        raise ValueError("no Score Differential on the record")
    recent = newest_first[:RECORD_LENGTH]
    count, adjustment = lowest_and_adjustment(len(recent))
    if not table_adjusts:
        adjustment = ZERO
    counted = sorted(range(len(recent)), key=recent.__getitem__)[:count]
    mean = Fraction(sum(recent[place] for place in counted)) / count
    average = round_tenth(mean + Fraction(adjustment))
    capped = cap(average, low_index)
    index = min(capped.index, rules.maximum_index)
    return Calculation(
        on_record=len(recent),
        counted=tuple(counted),
        mean=mean,
        table_adjustment=adjustment,
        average=average,
        low_index=low_index,
        soft_cap=capped.soft,
        hard_cap=capped.hard,
        limited=capped.index > rules.maximum_index,
        index=index,
    )
