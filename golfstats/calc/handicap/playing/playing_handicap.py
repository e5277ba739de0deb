"""Playing Handicap by format (Rule 6.2, Appendix C): allowance, different pars, match play, sides."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from golfstats.calc.handicap.playing.course_handicap import exact_course_handicap
from golfstats.calc.handicap.rounding import Exact, round_whole
from golfstats.calc.handicap.rules.settings import PUBLISHED, HandicapRules
from golfstats.calc.handicap.scores import Ratings


@dataclass(frozen=True)
class Handicaps:
    """Course Handicap on one set of tees, and the Playing Handicap in each individual format there."""

    course_handicap: int
    playing_handicaps: dict[str, int]


def playing_handicap(exact: Exact, percent: Exact, *, from_rounded: bool = False) -> int:
    """Rule 6.2a: the allowance on the unrounded Course Handicap, then rounded, .5 upward.

    ``from_rounded`` takes the rounded Course Handicap, as some jurisdictions did before 2024.
    """
    start = Fraction(round_whole(exact)) if from_rounded else Fraction(exact)
    return round_whole(start * Fraction(percent) / 100)


def handicaps_on(
    index: Decimal, ratings: Ratings, played_on: date, rules: HandicapRules = PUBLISHED
) -> Handicaps:
    """Course and playing handicaps of an index on 18 holes, by the edition in force on that day.

    Formats in which the side has one handicap are left to :func:`team_handicap`.
    """
    edition = rules.edition_for(played_on)
    exact = exact_course_handicap(index, ratings, rating_minus_par=edition.rating_minus_par)
    playing = {
        name: playing_handicap(
            exact,
            Fraction(allowance.percents[0]) * Fraction(rules.local_factor),
            from_rounded=edition.playing_from_rounded,
        )
        for name, allowance in rules.allowances.items()
        if not allowance.for_side
    }
    return Handicaps(round_whole(exact), playing)


def on_different_par(playing_handicap: int, own_par: int, lowest_par: int) -> int:
    """Rule 6.2b: players on tees of a higher par add the difference in par."""
    return playing_handicap + own_par - lowest_par


def match_play_strokes(playing_handicaps: Sequence[int]) -> tuple[int, ...]:
    """Appendix C: the lowest Playing Handicap plays off zero, the others receive the difference."""
    lowest = min(playing_handicaps)
    return tuple(handicap - lowest for handicap in playing_handicaps)


def match_play_strokes_on_difference(exact_handicaps: Sequence[Exact], percent: Exact) -> tuple[int, ...]:
    """A national variant: the percentage of the difference between rounded Course Handicaps."""
    rounded = [round_whole(handicap) for handicap in exact_handicaps]
    lowest = min(rounded)
    return tuple(round_whole(Fraction(handicap - lowest) * Fraction(percent) / 100) for handicap in rounded)


def strokes_in_match(
    exact_handicaps: Sequence[Exact], format: str, rules: HandicapRules = PUBLISHED
) -> tuple[int, ...]:
    """Strokes each player receives in a match, given unrounded Course Handicaps and the format's key."""
    percent = Fraction(rules.allowances[format].percents[0]) * Fraction(rules.local_factor)
    if rules.match_play_on_difference:
        return match_play_strokes_on_difference(exact_handicaps, percent)
    return match_play_strokes([playing_handicap(handicap, percent) for handicap in exact_handicaps])


def team_handicap(exact_handicaps: Sequence[Exact], percents: Sequence[Exact]) -> int:
    """Appendix C: one handicap for a side, a percentage of each Course Handicap from lowest to highest.

    A plus player, being negative, is the lowest. ``ValueError`` if the numbers of players differ.
    """
    ordered = sorted(Fraction(handicap) for handicap in exact_handicaps)
    pairs = zip(ordered, percents, strict=True)
    return round_whole(sum((h * Fraction(p) / 100 for h, p in pairs), Fraction(0)))
