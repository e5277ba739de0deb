"""Cards of many replays at once: adjusted gross scores and differentials as exact whole-number arrays.

A replay changes scores and nothing else, so that whether a card counts, which holes it lacks and what its
ratings are is the same in all replays; only numbers differ. One array element stands for one replay.
Indexes are whole tenths, and fractions share one denominator, so nothing is rounded that the rules do not round.
The single record (:mod:`~golfstats.calc.handicap.card.adjusted`) is the model for every step here.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

import numpy as np

from golfstats.calc.handicap.card.acceptability import Judgement, Standing
from golfstats.calc.handicap.card.differential import holes_up_to_points
from golfstats.calc.handicap.playing.course_handicap import STANDARD_SLOPE
from golfstats.calc.handicap.playing.strokes import ranks
from golfstats.calc.handicap.rounding import Exact
from golfstats.calc.handicap.rules.settings import Edition, HandicapRules
from golfstats.calc.handicap.scores import HoleScore, Ratings, Score
from golfstats.calc.record import Bools, Ints

LARGEST_DENOMINATOR = 2**40
"""Numerators then stay well within 64 bits: no handicap reaches 1,000."""


@lru_cache(maxsize=256)
def tenths(value: Exact) -> int:
    """A number of tenths as an integer; ``ValueError`` if it is none."""
    ten_times = Fraction(value) * 10
    if ten_times.denominator != 1:
        raise ValueError(f"{value} is not a number of tenths")
    return ten_times.numerator


def rounded_up_half(numerator: Ints, denominator: int) -> Ints:
    """To the nearest integer, a tie upward, as the rules round everywhere."""
    rounded: Ints = (2 * numerator + denominator) // (2 * denominator)
    return rounded


@dataclass(frozen=True)
class Fractions:
    """One exact fraction a replay."""

    numerator: Ints
    denominator: int

    @classmethod
    def of(cls, values: Ints, factor: Exact, constant: Exact) -> Fractions:
        """``values`` × factor + constant."""
        factor, constant = Fraction(factor), Fraction(constant)
        denominator = math.lcm(factor.denominator, constant.denominator)
        if denominator > LARGEST_DENOMINATOR:
            raise ValueError("ratings with so many decimals cannot be replayed")
        return cls(values * int(factor * denominator) + int(constant * denominator), denominator)

    def __add__(self, other: Fractions) -> Fractions:
        denominator = math.lcm(self.denominator, other.denominator)
        mine, theirs = denominator // self.denominator, denominator // other.denominator
        return Fractions(self.numerator * mine + other.numerator * theirs, denominator)

    def rounded(self, places: int = 0) -> Ints:
        """In units of the last place: tenths for one place."""
        return rounded_up_half(self.numerator * 10**places, self.denominator)


@dataclass(frozen=True)
class DrawnGross:
    """Adjusted gross scores of the holes that count."""

    score: Ints
    ratings: Ratings
    holes_in_round: int
    course_handicap: Ints | None
    holes_counted: int
    par_counted: int


def drawn_gross(
    score: Score, judgement: Judgement, index: Ints | None, rules: HandicapRules, fewer: Ints
) -> DrawnGross:
    """Adjusted gross score in each replay (Rule 3). ``index`` is in tenths, ``fewer`` has a column a hole
    of the card, or one column for a score entered as a total.
    """
    if judgement.ratings is None:
        raise ValueError("a score that is not acceptable has no adjusted gross score")
    edition = rules.edition_for(score.played_on)
    ratings, in_round = judgement.ratings, 9 if judgement.standing is Standing.NINE else 18
    handicap = None if index is None else _course_handicap(index, ratings, in_round, edition)
    if not judgement.holes:
        total = _from_total(score, ratings, handicap, in_round, fewer[:, 0])
        return DrawnGross(total, ratings, in_round, handicap, in_round, ratings.par)
    card = _Card(judgement.holes, handicap, in_round)
    place = {hole.number: column for column, hole in enumerate(score.holes)}
    mine = fewer.T[[place[hole.number] for hole in judgement.holes]]
    values = card.adjusted(mine, most_likely_counts=rules.picked_up == "most_likely")
    counted = np.array([hole.started for hole in judgement.holes], dtype=np.bool_)
    if handicap is not None:
        values, counted = card.filled(values, counted, score, edition, rules)
    pars = np.array([hole.par for hole in judgement.holes])
    total = np.sum(values[counted], axis=0)
    return DrawnGross(total, ratings, in_round, handicap, int(np.sum(counted)), int(np.sum(pars[counted])))


def drawn_differential(
    gross: DrawnGross, pcc: int, index: Ints | None, edition: Edition, rules: HandicapRules
) -> Fractions | None:
    """18-hole differentials, or None for a nine that has to wait for another one or for an index."""
    if gross.holes_in_round == 9:
        return _of_nine(gross, pcc, index, edition, rules)
    rating, slope = Fraction(gross.ratings.course_rating), gross.ratings.slope_rating
    if gross.holes_counted == 18:
        return _scaled(gross.score, rating + pcc, slope)
    if index is None:
        raise ValueError("missing holes need an index")
    rating_played = rating * gross.par_counted / gross.ratings.par
    played = _scaled(gross.score, rating_played + Fraction(pcc * gross.holes_counted, 18), slope)
    return played + expected_differentials(index, 18 - gross.holes_counted, rules)


def drawn_nine(gross: DrawnGross, pcc: int) -> Fractions:
    """Nine-hole differentials, half of the PCC (Rule 5.1b, first step)."""
    return _scaled(
        gross.score, Fraction(gross.ratings.course_rating) + Fraction(pcc, 2), gross.ratings.slope_rating
    )


def expected_differentials(index: Ints, holes: int, rules: HandicapRules) -> Fractions:
    """Expected differential of ``holes`` holes; unofficial, as in the single record."""
    share = Fraction(holes, 18)
    factor, constant = Fraction(rules.expected_factor), Fraction(rules.expected_constant)
    expected = Fractions.of(index, factor * share / 10, constant * share)
    if rules.expected_places is None:
        return expected
    return Fractions(expected.rounded(rules.expected_places), 10**rules.expected_places)


def _of_nine(
    gross: DrawnGross, pcc: int, index: Ints | None, edition: Edition, rules: HandicapRules
) -> Fractions | None:
    nine = drawn_nine(gross, pcc)
    if index is None and rules.first_index_holes <= 9:
        return nine + nine
    if index is None or edition.nine_holes == "pair" or gross.course_handicap is None:
        return None
    if edition.nine_holes == "expected":
        return nine + expected_differentials(index, 9, rules)
    ratings = gross.ratings
    over = Fraction(ratings.course_rating) - ratings.par - 1
    return nine + _scaled(gross.course_handicap, over, ratings.slope_rating)


def _scaled(strokes: Ints, less: Fraction, slope_rating: int) -> Fractions:
    factor = Fraction(STANDARD_SLOPE, slope_rating)
    return Fractions.of(strokes, factor, -less * factor)


def _course_handicap(index: Ints, ratings: Ratings, holes_in_round: int, edition: Edition) -> Ints:
    """Rule 6.1, rounded; of a nine with half the index, itself rounded to a tenth."""
    used = rounded_up_half(index, 2) if holes_in_round == 9 else index
    constant = ratings.course_rating - ratings.par if edition.rating_minus_par else Decimal(0)
    return Fractions.of(used, Fraction(ratings.slope_rating, 10 * STANDARD_SLOPE), constant).rounded()


def _from_total(score: Score, ratings: Ratings, handicap: Ints | None, holes: int, fewer: Ints) -> Ints:
    if score.adjusted_total is not None:
        return score.adjusted_total - fewer
    if handicap is None:
        raise ValueError("points can only be turned into strokes for a player with an index")
    points = score.points if score.points is not None else holes_up_to_points(score.holes_up or 0, holes)
    return ratings.par + handicap - (points - 2 * holes) - fewer


class _Card:
    """Holes of a card in each replay: holes × replays."""

    def __init__(self, holes: Sequence[HoleScore], handicap: Ints | None, holes_in_round: int) -> None:
        self.holes = holes
        self.par = np.array([hole.par for hole in holes], dtype=np.int64)
        indexes: Sequence[int] = [hole.stroke_index for hole in holes]
        if holes_in_round == 9:
            indexes = ranks(indexes)
        self.received: Ints | None = None
        """Strokes received on each hole, a column for each course handicap that there is in any replay."""
        self.column: Ints = np.zeros(1, dtype=np.int64)
        """Which of these each replay has."""
        if handicap is not None:
            lowest = int(np.min(handicap))
            between = np.arange(lowest, int(np.max(handicap)) + 1)
            self.received = _strokes(between, np.array(indexes)[:, None], holes_in_round)
            self.column = handicap - lowest

    def adjusted(self, fewer: Ints, *, most_likely_counts: bool) -> Ints:
        """Scores, at most the maximum of each hole (Rule 3.1); of a hole not started nothing of use."""
        counts = [most_likely_counts and hole.most_likely is not None for hole in self.holes]
        at_maximum = np.array(
            [hole.strokes is None and not usable for hole, usable in zip(self.holes, counts, strict=True)]
        )
        written = np.array([hole.strokes or hole.most_likely or 0 for hole in self.holes])
        values = np.maximum(written[:, None] - fewer, 1)
        maximum = self._maximum()
        # On most holes every replay stays below the lowest maximum.
        above = np.flatnonzero(at_maximum | (np.max(values, axis=1) > np.min(maximum, axis=1)))
        limits = maximum[above][:, self.column]
        values[above] = np.where(at_maximum[above, None], limits, np.minimum(values[above], limits))
        return values

    def filled(
        self, values: Ints, counted: Bools, score: Score, edition: Edition, rules: HandicapRules
    ) -> tuple[Ints, Bools]:
        """Net par on missing holes: before 2024, and on closed holes where the association allows it."""
        if self.received is None:
            raise ValueError("net par needs an index")
        played = int(np.sum(counted))
        extra = 1 if edition.missing_holes == "net_par_and_one" and 10 <= played <= 13 else 0
        closed = {hole.number for hole in score.holes if hole.out_of_play}
        values, counted = values.copy(), counted.copy()
        for place, hole in enumerate(self.holes):
            closed_counts = rules.out_of_play_net_par and hole.number in closed
            if counted[place] or (edition.missing_holes == "expected" and not closed_counts):
                continue
            values[place] = self.par[place] + self.received[place, self.column] + extra
            counted[place] = True
            extra = 0
        return values, counted

    def _maximum(self) -> Ints:
        """Of each hole, a column for each course handicap."""
        par = self.par[:, None]
        if self.received is None:
            return par + 5
        return np.where(self.received > 3, par + 5, par + 2 + self.received)


def _strokes(handicap: Ints, stroke_index: Ints, holes: int) -> Ints:
    """Strokes on each hole (Appendices C and E); given back, from the highest index downward, if negative."""
    every_hole, remainder = np.divmod(np.abs(handicap), holes)
    received = every_hole + (stroke_index <= remainder)
    given_back = every_hole + (stroke_index > holes - remainder)
    return np.where(handicap >= 0, received, -given_back)
