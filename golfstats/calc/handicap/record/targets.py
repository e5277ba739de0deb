"""What would I need to shoot? The next score that moves the index, computed by folding it in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from golfstats.calc.handicap.card.differential import (
    differential_18,
    differential_nine_alone,
    expected_differential,
)
from golfstats.calc.handicap.index.calculation import RECORD_LENGTH, calculate
from golfstats.calc.handicap.index.committee import holds_on
from golfstats.calc.handicap.index.exceptional import exceptional_reduction
from golfstats.calc.handicap.playing.course_handicap import course_handicap, course_handicap_9
from golfstats.calc.handicap.record.lines import HandicapRecord
from golfstats.calc.handicap.rounding import round_tenth
from golfstats.calc.handicap.rules.settings import Edition
from golfstats.calc.handicap.scores import Ratings


@dataclass(frozen=True)
class Target:
    """Adjusted gross scores, ``lowest`` to ``highest``, that lead to the same ``index``."""

    lowest: int
    highest: int
    index: Decimal
    change: Decimal
    """Against the index in force on the day; negative is an improvement."""


def next_index(
    record: HandicapRecord,
    adjusted_gross_score: int,
    ratings: Ratings,
    played_on: date,
    holes: Literal[9, 18] = 18,
    pcc: int = 0,
) -> Decimal | None:
    """The index after one more score; None while the record gives none.

    ``ValueError`` for a day before the last score, or for nine holes where they cannot be turned
    into 18 at once (no index yet, or an edition that pairs nines).
    """
    if record.last_played_on and played_on < record.last_played_on:
        raise ValueError("the next score cannot lie before the last one on the record")
    freeze = record.frozen_on(played_on)
    if freeze:
        return freeze.index
    rules = record.rules
    in_force = record.calculated_index
    if holes == 18:
        exact = differential_18(adjusted_gross_score, ratings, pcc)
    else:
        if in_force is None or rules.edition_for(played_on).nine_holes != "expected":
            raise ValueError("nine holes have no differential of their own here")
        nine = differential_nine_alone(adjusted_gross_score, ratings, pcc)
        exact = nine + expected_differential(in_force, 9, rules)
    return _index_with(record, exact, played_on)


def _index_with(record: HandicapRecord, exact: Fraction, played_on: date) -> Decimal | None:
    reduction = exceptional_reduction(record.calculated_index, exact, record.rules)
    before = record.recent_differentials[: RECORD_LENGTH - 1]
    values = [value + reduction for value in (round_tenth(exact), *before)]
    if len(values) < record.rules.differentials_for_index:
        return record.calculated_index
    lifted = any(holds_on(action, played_on) for action in record.caps_set_aside)
    low_index = None if lifted else record.low_index
    return calculate(values, low_index, record.rules, table_adjusts=record.table_adjusts).index


def targets(
    record: HandicapRecord,
    ratings: Ratings,
    played_on: date,
    holes: Literal[9, 18] = 18,
    pcc: int = 0,
    scores: Iterable[int] | None = None,
) -> tuple[Target, ...]:
    """Bands of adjusted gross scores and the index each would give, lowest scores first.

    Without ``scores`` the range runs from well under to well over the player's usual net score. Empty
    for a player without an index: their first index depends on more than one score.
    """
    index = record.index_on(played_on)
    if index is None:
        return ()
    bands: list[Target] = []
    edition = record.rules.edition_for(played_on)
    for score in scores or _usual_scores(index, ratings, edition, holes):
        new = next_index(record, score, ratings, played_on, holes, pcc)
        if new is None:
            continue
        if bands and bands[-1].index == new and bands[-1].highest == score - 1:
            bands[-1] = Target(bands[-1].lowest, score, new, new - index)
        else:
            bands.append(Target(score, score, new, new - index))
    return tuple(bands)


def _usual_scores(index: Decimal, ratings: Ratings, edition: Edition, holes: Literal[9, 18]) -> range:
    """From 25 strokes better than net par over 18 holes (13 over nine) to net double bogey everywhere."""
    compute = course_handicap if holes == 18 else course_handicap_9
    net_par = ratings.par + compute(index, ratings, rating_minus_par=edition.rating_minus_par)
    better = 25 if holes == 18 else 13
    return range(max(net_par - better, holes), net_par + 2 * holes + 1)
