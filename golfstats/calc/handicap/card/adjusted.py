"""From a card to its Score Differential: adjusted gross score, then the differential and its parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from golfstats.calc.handicap.card.acceptability import Judgement, Standing
from golfstats.calc.handicap.card.differential import (
    differential_18,
    differential_nine_alone,
    differential_some_holes,
    expected_differential,
    holes_up_to_points,
    points_to_gross,
    scaled,
)
from golfstats.calc.handicap.card.hole_scores import AdjustedHole, adjust_hole, net_par, strokes_received
from golfstats.calc.handicap.playing.course_handicap import course_handicap, course_handicap_9
from golfstats.calc.handicap.rules.settings import Edition, HandicapRules
from golfstats.calc.handicap.scores import Ratings, Score
from golfstats.sentences import Sentence


@dataclass(frozen=True)
class AdjustedGross:
    """The adjusted gross score of the holes that count, with the holes where the card has them."""

    ratings: Ratings
    holes_in_round: int
    holes: tuple[AdjustedHole, ...]
    holes_played: int
    course_handicap: int | None
    score: int
    entered_as: str
    """What the card gave: ``holes``, ``adjusted gross score``, ``points`` or ``holes up``."""


@dataclass(frozen=True)
class Differential:
    """An exact differential and what it was added up from."""

    exact: Fraction
    played: Fraction
    """Differential of the holes played."""
    expected: Fraction | None
    """What stands for the holes that were not: expected value, or the other nine of a pair."""
    expected_holes: int
    rule: str
    how: str
    """What ``expected`` is, in words."""
    estimated: bool


def adjusted_gross(
    score: Score, judgement: Judgement, index: Decimal | None, rules: HandicapRules
) -> AdjustedGross:
    """Adjusted gross score with the full, rounded Course Handicap of the index in force (Rule 3)."""
    if judgement.ratings is None:
        raise ValueError("a score that is not acceptable has no adjusted gross score")
    edition = rules.edition_for(score.played_on)
    ratings = judgement.ratings
    in_round = 9 if judgement.standing is Standing.NINE else 18
    handicap = _course_handicap(index, ratings, in_round, edition)
    if not judgement.holes:
        total, entered_as = _from_total(score, ratings, handicap, in_round)
        return AdjustedGross(ratings, in_round, (), in_round, handicap, total, entered_as)
    received = strokes_received(judgement.holes, handicap, in_round)
    most_likely_counts = rules.picked_up == "most_likely"
    holes = [
        adjust_hole(hole, strokes, has_index=handicap is not None, most_likely_counts=most_likely_counts)
        for hole, strokes in zip(judgement.holes, received, strict=True)
    ]
    played = sum(hole.adjusted is not None for hole in holes)
    if handicap is not None:
        holes = _fill_with_net_par(holes, score, played, edition, rules)
    total = sum(hole.adjusted for hole in holes if hole.adjusted is not None)
    return AdjustedGross(ratings, in_round, tuple(holes), played, handicap, total, "holes")


def _course_handicap(
    index: Decimal | None, ratings: Ratings, holes_in_round: int, edition: Edition
) -> int | None:
    if index is None:
        return None
    compute = course_handicap_9 if holes_in_round == 9 else course_handicap
    return compute(index, ratings, rating_minus_par=edition.rating_minus_par)


def _from_total(score: Score, ratings: Ratings, handicap: int | None, holes: int) -> tuple[int, str]:
    if score.adjusted_total is not None:
        return score.adjusted_total, Sentence("adjusted gross score")
    if handicap is None:
        raise ValueError("points can only be turned into strokes for a player with an index")
    if score.points is not None:
        return points_to_gross(score.points, ratings.par, handicap, holes), Sentence("points")
    points = holes_up_to_points(score.holes_up or 0, holes)
    return points_to_gross(points, ratings.par, handicap, holes), Sentence("holes up")


def _fill_with_net_par(
    holes: Sequence[AdjustedHole], score: Score, played: int, edition: Edition, rules: HandicapRules
) -> list[AdjustedHole]:
    """Net par on missing holes: before 2024, and on closed holes where the association allows it."""
    closed = {hole.number for hole in score.holes if hole.out_of_play}
    extra = 1 if edition.missing_holes == "net_par_and_one" and 10 <= played <= 13 else 0
    filled = []
    for hole in holes:
        closed_counts = rules.out_of_play_net_par and hole.number in closed
        if hole.adjusted is not None or (edition.missing_holes == "expected" and not closed_counts):
            filled.append(hole)
            continue
        value = net_par(hole.par, hole.strokes_received) + extra
        note = (
            Sentence("not played: net par and one stroke more (Rule 3.2)")
            if extra
            else Sentence("not played: net par (Rule 3.2)")
        )
        filled.append(replace(hole, adjusted=value, note=note))
        extra = 0
    return filled


def differential_of(
    gross: AdjustedGross, pcc: int, index: Decimal | None, edition: Edition, rules: HandicapRules
) -> Differential | None:
    """The 18-hole differential, or None for a nine that has to wait for another one or for an index."""
    if gross.holes_in_round == 9:
        return _of_nine(gross, pcc, index, edition, rules)
    missing = [hole for hole in gross.holes if hole.adjusted is None]
    counted = len(gross.holes) - len(missing)
    if not gross.holes or counted == 18:
        exact = differential_18(gross.score, gross.ratings, pcc)
        return Differential(exact, exact, None, 0, "5.1a", Sentence("18 holes"), estimated=False)
    if index is None:
        raise ValueError("missing holes need an index")
    par_played = sum(hole.par for hole in gross.holes if hole.adjusted is not None)
    played = differential_some_holes(gross.score, par_played, counted, gross.ratings, pcc)
    expected = expected_differential(index, 18 - counted, rules)
    how = Sentence("the expected value, an estimate: the procedure is not published")
    return Differential(played + expected, played, expected, 18 - counted, "3.2", how, estimated=True)


def _of_nine(
    gross: AdjustedGross, pcc: int, index: Decimal | None, edition: Edition, rules: HandicapRules
) -> Differential | None:
    nine = differential_nine_alone(gross.score, gross.ratings, pcc)
    if index is None and rules.first_index_holes <= 9:
        how = Sentence("the same nine once more, our reading where one nine gives the first index")
        return Differential(2 * nine, nine, nine, 9, "4.5", how, estimated=True)
    if index is None or edition.nine_holes == "pair" or gross.course_handicap is None:
        return None
    if edition.nine_holes == "expected":
        return with_expected_nine(nine, index, rules)
    other_over = gross.ratings.par + gross.course_handicap + 1 - Fraction(gross.ratings.course_rating)
    other = scaled(other_over, gross.ratings.slope_rating)
    how = Sentence("net par and one stroke more (2020 text), with the ratings of the nine played")
    return Differential(nine + other, nine, other, 9, "5.1b", how, estimated=True)


def with_expected_nine(nine: Fraction, index: Decimal, rules: HandicapRules) -> Differential:
    """Rule 5.1b: a nine and the expected nine-hole differential of the index."""
    expected = expected_differential(index, 9, rules)
    how = Sentence(
        "the expected nine-hole value of an index of {index} (formula unofficial)", index=str(index)
    )
    return Differential(nine + expected, nine, expected, 9, "5.1b", how, estimated=False)


def paired(nine: Fraction, other: Fraction) -> Differential:
    """Two nines, their unrounded differentials added."""
    how = Sentence("the nine that was held until now")
    return Differential(nine + other, nine, other, 9, "5.1b", how, estimated=False)
