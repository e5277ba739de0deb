"""Score Differentials (Rule 5.1): exact values; only the 18-hole result is rounded, by the caller.

The expected values are not published by the governing bodies. The formula 1.04 x index + 2.4 for 18
holes is the one in the German Golf Association's 2024 notice and the Danish Golf Union's guidance.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from golfstats.calc.handicap.playing.course_handicap import STANDARD_SLOPE
from golfstats.calc.handicap.rounding import Exact, round_places
from golfstats.calc.handicap.rules.settings import PUBLISHED, HandicapRules
from golfstats.calc.handicap.scores import Ratings


def scaled(strokes_over: Exact, slope_rating: int) -> Fraction:
    """Strokes over the rating, on a course of standard difficulty."""
    return Fraction(strokes_over) * STANDARD_SLOPE / slope_rating


def differential_18(adjusted_gross_score: int, ratings: Ratings, pcc: int = 0) -> Fraction:
    """Rule 5.1a: (113 / slope) x (adjusted gross score - Course Rating - PCC)."""
    return scaled(adjusted_gross_score - Fraction(ratings.course_rating) - pcc, ratings.slope_rating)


def differential_nine_alone(adjusted_gross_score: int, ratings: Ratings, pcc: int = 0) -> Fraction:
    """Rule 5.1b, first step: the nine-hole differential, with half of the PCC, never rounded."""
    over = adjusted_gross_score - Fraction(ratings.course_rating) - Fraction(pcc, 2)
    return scaled(over, ratings.slope_rating)


def expected_differential(index: Decimal, holes: int, rules: HandicapRules = PUBLISHED) -> Fraction:
    """Expected differential of ``holes`` holes for a player of this index. Unofficial, see the module."""
    eighteen = Fraction(rules.expected_factor) * Fraction(index) + Fraction(rules.expected_constant)
    expected = eighteen * holes / 18
    if rules.expected_places is None:
        return expected
    return Fraction(round_places(expected, rules.expected_places))


def differential_some_holes(
    adjusted_gross_score: int, par_played: int, holes_played: int, ratings: Ratings, pcc: int = 0
) -> Fraction:
    """Differential of 10-17 played holes, an estimate: the rating value of single holes is not published.

    Our reading: the Course Rating is shared by par, the PCC by holes, the Slope Rating is kept.
    """
    rating_played = Fraction(ratings.course_rating) * par_played / ratings.par
    over = adjusted_gross_score - rating_played - Fraction(pcc * holes_played, 18)
    return scaled(over, ratings.slope_rating)


def points_to_gross(points: int, par: int, course_handicap: int, holes: int = 18) -> int:
    """Adjusted gross score equal to a Stableford total, two points a hole being net par (R&A form of 5.1a)."""
    return par + course_handicap - (points - 2 * holes)


def holes_up_to_points(holes_up: int, holes: int = 18) -> int:
    """Par/bogey result as Stableford points: all square is 36, a point for each hole up or down."""
    return 2 * holes + holes_up
