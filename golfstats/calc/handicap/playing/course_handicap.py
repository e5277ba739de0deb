"""Course Handicap for 18 and nine holes (Rule 6.1), exact and rounded. Plus handicaps are negative."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from golfstats.calc.handicap.rounding import round_tenth, round_whole
from golfstats.calc.handicap.scores import Ratings

STANDARD_SLOPE = 113


def exact_course_handicap(index: Decimal, ratings: Ratings, *, rating_minus_par: bool = True) -> Fraction:
    """Rule 6.1a: index x slope / 113 + (Course Rating - par). No limit either way."""
    slope_part = Fraction(index) * ratings.slope_rating / STANDARD_SLOPE
    if not rating_minus_par:
        return slope_part
    return slope_part + Fraction(ratings.course_rating) - ratings.par


def exact_course_handicap_9(index: Decimal, ratings: Ratings, *, rating_minus_par: bool = True) -> Fraction:
    """Rule 6.1b: the same with half the index, rounded to a tenth first, and the nine's ratings."""
    half = round_tenth(Fraction(index) / 2)
    return exact_course_handicap(half, ratings, rating_minus_par=rating_minus_par)


def course_handicap(index: Decimal, ratings: Ratings, *, rating_minus_par: bool = True) -> int:
    return round_whole(exact_course_handicap(index, ratings, rating_minus_par=rating_minus_par))


def course_handicap_9(index: Decimal, ratings: Ratings, *, rating_minus_par: bool = True) -> int:
    return round_whole(exact_course_handicap_9(index, ratings, rating_minus_par=rating_minus_par))


def course_handicap_same_nine_twice(index: Decimal, nine: Ratings) -> int:
    """18 holes over one nine without an 18-hole rating: index x slope / 113 + 2 x (rating - par).

    From memory; the text of the special formula in Rule 6.1 was not available to us.
    """
    twice = Ratings(2 * nine.course_rating, nine.slope_rating, 2 * nine.par)
    return course_handicap(index, twice)
