"""A score every week from a course of standard difficulty: histories that are worked by hand."""

from datetime import date, timedelta
from decimal import Decimal

from golfstats.calc.handicap import (
    HoleScore,
    Ratings,
    Score,
    SetInitialIndex,
)

PLAIN = Ratings(Decimal("72.0"), 113, 72)
"""A course of standard difficulty: a differential is the score less 72."""
NINE = Ratings(Decimal("36.0"), 113, 36)
FIRST_DAY = date(2025, 1, 6)

AGS_PARS = [4, 5, 3, 4, 4, 4, 3, 5, 4, 4, 3, 5, 4, 4, 4, 3, 4, 5]
AGS_INDEXES = [7, 3, 17, 1, 11, 9, 15, 5, 13, 8, 18, 4, 2, 10, 12, 16, 6, 14]
AGS_SCORES = [5, 9, 4, 8, 4, 6, 3, 6, 5, 5, 6, 7, 9, 4, 5, 3, 8, 6]


def week(number: int) -> date:
    return FIRST_DAY + timedelta(weeks=number)


def played(key: str, day: date, total: int, ratings: Ratings = PLAIN, **more) -> Score:
    return Score(key, day, ratings, adjusted_total=total, **more)


def nine(key: str, day: date, total: int, **more) -> Score:
    return played(key, day, total, NINE, holes_in_round=9, **more)


def steady(scores: int = 20, total: int = 82) -> list[Score]:
    """The same score every week: twenty differentials of 10.0 give an index of 10.0."""
    return [played(f"s{number}", week(number), total) for number in range(scores)]


def card(scores=AGS_SCORES, holes: int = 18) -> tuple[HoleScore, ...]:
    columns = zip(AGS_PARS, AGS_INDEXES, scores, strict=True)
    return tuple(
        HoleScore(number, par, index, strokes)
        for number, (par, index, strokes) in enumerate(columns, start=1)
        if number <= holes
    )


def starts_with(index: str) -> list[SetInitialIndex]:
    return [SetInitialIndex(FIRST_DAY, Decimal(index), "transferred")]
