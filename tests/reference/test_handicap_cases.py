"""Worked examples of the Rules of Handicapping, one function a topic. The source stands in each row.

``HANDICAP_CASES=<file>`` runs another file with the same columns and topics instead.
"""

import csv
import json
import os
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from golfstats.calc.handicap import PUBLISHED, HoleScore, Ratings, Score, build_record
from golfstats.calc.handicap.card.acceptability import standing_of_18
from golfstats.calc.handicap.card.differential import (
    differential_18,
    differential_nine_alone,
    expected_differential,
    holes_up_to_points,
    points_to_gross,
)
from golfstats.calc.handicap.card.hole_scores import adjust_hole, maximum_score, most_likely_range, net_par
from golfstats.calc.handicap.card.playing_conditions import enough_scores
from golfstats.calc.handicap.index.calculation import calculate
from golfstats.calc.handicap.index.caps import cap, low_handicap_index
from golfstats.calc.handicap.index.committee import limited_increase, penalty_differential
from golfstats.calc.handicap.index.exceptional import exceptional_reduction
from golfstats.calc.handicap.playing.course_handicap import (
    course_handicap,
    course_handicap_9,
    exact_course_handicap,
)
from golfstats.calc.handicap.playing.playing_handicap import (
    match_play_strokes,
    on_different_par,
    playing_handicap,
    team_handicap,
)
from golfstats.calc.handicap.playing.strokes import strokes_on_hole, strokes_on_nine
from golfstats.calc.handicap.rounding import round_tenth, round_whole

CASES = Path(os.environ.get("HANDICAP_CASES") or Path(__file__).with_name("handicap_cases.csv"))
Inputs = dict[str, Any]


def decimals(values) -> list[Decimal]:
    return [Decimal(value) for value in values]


def optional(value) -> Decimal | None:
    return None if value is None else Decimal(value)


def ratings(given: Inputs, suffix: str = "") -> Ratings:
    return Ratings(
        Decimal(given["course_rating" + suffix]),
        given["slope_rating" + suffix],
        given.get("par" + suffix, 72),
    )


def stableford(given: Inputs) -> Decimal:
    gross = points_to_gross(given["points"], given["par"], given["course_handicap"])
    return round_tenth(differential_18(gross, ratings(given), given["pcc"]))


def nine_holes(given: Inputs) -> Decimal:
    nine = differential_nine_alone(given["adjusted_gross_score_9"], ratings(given, "_9"), given["pcc"])
    return round_tenth(nine + expected_differential(Decimal(given["handicap_index"]), 9))


def handicap_index(given: Inputs) -> Decimal:
    return calculate(
        decimals(given["differentials_newest_first"]), optional(given["low_handicap_index"])
    ).index


def esr_then_index(given: Inputs) -> Inputs:
    exact = Decimal(given["new_score_differential_unrounded"])
    reduction = exceptional_reduction(Decimal(given["handicap_index_when_played"]), exact)
    before = decimals(given["differentials_before_newest_first"])
    plain = [round_tenth(exact), *before][:20]
    with_esr = [value + reduction for value in plain]
    low = optional(given["low_handicap_index"])
    return {
        "reduction": reduction,
        "average_without_esr": calculate(plain).average,
        "average_with_esr": calculate(with_esr).average,
        "handicap_index": calculate(with_esr, low).index,
    }


def esr_from_score(given: Inputs) -> Inputs:
    exact = differential_18(given["adjusted_gross_score"], ratings(given), given["pcc"])
    reduction = exceptional_reduction(Decimal(given["handicap_index_when_played"]), exact)
    return {"reduction": reduction, "score_differential": round_tenth(exact)}


def esr_sequence(given: Inputs) -> Inputs:
    """Each score against the index after the one before; the first against the starting record's index."""
    record = decimals(given["start_differentials_newest_first"])[:20]
    index = calculate(record).index
    reductions, indexes = [], []
    for exact in decimals(given["new_unrounded_in_order"]):
        reduction = exceptional_reduction(index, exact)
        record = [value + reduction for value in [round_tenth(exact), *record][:20]]
        index = calculate(record).index
        reductions.append(reduction)
        indexes.append(index)
    return {
        "reductions": reductions,
        "indexes": indexes,
        "differentials_after_newest_first": record,
    }


def initial_index(given: Inputs) -> Inputs:
    """Through the whole fold: scores on consecutive days, the oldest first."""
    oldest_first = list(reversed(given["scores_newest_first"]))
    scores = [
        Score(
            key=str(place),
            played_on=date.fromordinal(date(2025, 1, 1).toordinal() + place),
            ratings=ratings(score),
            pcc=score.get("pcc", 0),
            adjusted_total=score["adjusted_gross_score"],
        )
        for place, score in enumerate(oldest_first)
    ]
    record = build_record(scores)
    return {
        "differentials": [line.differential for line in reversed(record.lines)],
        "handicap_index": record.calculated_index,
    }


def uniform_adjustment(given: Inputs) -> Decimal:
    """A record of one differential a stroke of which moves the index by a stroke."""
    value = Decimal(given["calculated_index"])
    return calculate([value + Decimal(given["adjustment"])] * 20).index


def exact_18(given: Inputs):
    return exact_course_handicap(Decimal(given["handicap_index"]), ratings(given))


def strokes(given: Inputs) -> int | None:
    if not given.get("has_handicap_index", True):
        return None
    return strokes_on_hole(given["course_handicap"], given["stroke_index"])


def adjusted_gross_score(given: Inputs) -> int:
    total = 0
    columns = zip(given["pars"], given["stroke_indexes"], given["hole_scores"], strict=True)
    for number, (par, stroke_index, score) in enumerate(columns, start=1):
        has_index = given["has_handicap_index"]
        received = strokes_on_hole(given["course_handicap"], stroke_index) if has_index else 0
        hole = adjust_hole(HoleScore(number, par, stroke_index, score), received, has_index=has_index)
        total += hole.adjusted or 0
    return total


def acceptability(given: Inputs) -> str:
    return standing_of_18(
        given["holes_started"],
        rated_nine_complete=given["rated_nine_complete"],
        valid_reason=given["valid_reason_for_missing_holes"],
        edition=PUBLISHED.edition_for(date(2024, 1, 1)),
    ).value


def low_index(given: Inputs) -> Decimal | str:
    history = [
        (date.fromisoformat(entry["date"]), Decimal(entry["index"]))
        for entry in given["index_history_by_play_date"]
    ]
    last = date.fromisoformat(given["date_of_last_score_already_on_record"])
    low = low_handicap_index(history, last, given["scores_on_record"])
    return "none" if low is None else low


def record_order(given: Inputs) -> list[str]:
    entered = [*given["existing"], given["late_entry"]]
    plain = Ratings(Decimal("72.0"), 113, 72)
    record = build_record(
        Score(entry["id"], date.fromisoformat(entry["date"]), plain, adjusted_total=90) for entry in entered
    )
    return list(record.recent_keys)


TOPICS: dict[str, Callable[[Inputs], Any]] = {
    "round_tenth": lambda g: round_tenth(Decimal(g["value"])),
    "round_whole": lambda g: round_whole(Decimal(g["value"])),
    "score_differential_18": lambda g: round_tenth(
        differential_18(g["adjusted_gross_score"], ratings(g), g["pcc"])
    ),
    "score_differential_18_stableford": stableford,
    "score_differential_9": nine_holes,
    "par_bogey_to_points": lambda g: holes_up_to_points(g["holes_up"]),
    "expected_9_hole_differential": lambda g: expected_differential(Decimal(g["handicap_index"]), 9),
    "expected_18_hole_differential": lambda g: expected_differential(Decimal(g["handicap_index"]), 18),
    "handicap_index": handicap_index,
    "cap": lambda g: cap(Decimal(g["average_of_lowest_8"]), optional(g["low_handicap_index"])).index,
    "esr_reduction": lambda g: exceptional_reduction(
        Decimal(g["handicap_index_when_played"]), Decimal(g["score_differential_unrounded"])
    ),
    "esr_from_score": esr_from_score,
    "esr_then_index": esr_then_index,
    "esr_sequence": esr_sequence,
    "initial_index_from_scores": initial_index,
    "apply_adjustment_to_index": uniform_adjustment,
    "course_handicap_18": lambda g: course_handicap(Decimal(g["handicap_index"]), ratings(g)),
    "course_handicap_9": lambda g: course_handicap_9(Decimal(g["handicap_index"]), ratings(g, "_9")),
    "playing_handicap": lambda g: playing_handicap(exact_18(g), g["allowance_percent"]),
    "playing_handicap_from_rounded_course_handicap": lambda g: playing_handicap(
        exact_18(g), g["allowance_percent"], from_rounded=True
    ),
    "different_par_adjustment": lambda g: on_different_par(
        g["playing_handicap"], g["par_of_own_tee"], g["lowest_par_in_field"]
    ),
    "match_play_strokes": lambda g: match_play_strokes(g["playing_handicaps"]),
    "team_handicap": lambda g: team_handicap(
        decimals(g["course_handicaps"]), g["weights_percent_low_to_high"]
    ),
    "strokes_on_hole": lambda g: strokes_on_hole(g["course_handicap"], g["stroke_index"]),
    "strokes_on_nine": lambda g: strokes_on_nine(g["course_handicap_9"], g["stroke_indexes"]),
    "max_hole_score": lambda g: maximum_score(g["par"], strokes(g)).score,
    "net_par": lambda g: net_par(g["par"], strokes_on_hole(g["course_handicap"], g["stroke_index"])),
    "most_likely_score_range": lambda g: most_likely_range(
        g["distance"], g["strokes_taken_including_penalties"], g["net_double_bogey"]
    ),
    "adjusted_gross_score": adjusted_gross_score,
    "acceptability_2024": acceptability,
    "low_handicap_index": low_index,
    "pcc_eligible_to_run": lambda g: enough_scores(
        decimals(g["handicap_indexes_of_same_day_acceptable_full_scores"])
    ),
    "penalty_score_differential": lambda g: penalty_differential(
        decimals(g["differentials_newest_first"]), g["kind"]
    ),
    "committee_increase_limit": lambda g: limited_increase(
        Decimal(g["requested_index"]),
        optional(g["low_handicap_index"]),
        exceptional=g["exceptional_circumstances"],
    ),
    "record_order": record_order,
}


def parse_expected(text: str) -> Any:
    """JSON if it starts with { or [, else true, false, a decimal literal or a word."""
    if text.startswith(("{", "[")):
        return comparable(json.loads(text, parse_float=Decimal))
    if text in {"true", "false"}:
        return text == "true"
    return comparable(text)


def comparable(value: Any) -> Any:
    """Numbers of any kind as numbers, whether written as such or as a string; the rest as it is."""
    if isinstance(value, dict):
        return {key: comparable(entry) for key, entry in value.items()}
    if isinstance(value, list | tuple):
        return [comparable(entry) for entry in value]
    if isinstance(value, str):
        try:
            return Decimal(value)
        except ArithmeticError:
            return value
    return value


def shows_minus_zero(value: Any) -> bool:
    if isinstance(value, dict):
        return any(shows_minus_zero(entry) for entry in value.values())
    if isinstance(value, list | tuple):
        return any(shows_minus_zero(entry) for entry in value)
    return isinstance(value, Decimal) and value.is_zero() and value.is_signed()


def read_cases() -> list[dict[str, str]]:
    with CASES.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("case", read_cases(), ids=lambda case: case["case_id"])
def test_case_agrees_with_its_source(case):
    compute = TOPICS.get(case["topic"])
    assert compute, f"unknown topic {case['topic']}"
    found = compute(json.loads(case["inputs"], parse_float=Decimal))
    assert not shows_minus_zero(found)
    assert comparable(found) == parse_expected(case["expected"]), case["source"]


def test_exceptional_scores_in_a_row_accumulate():
    """Computed from Rules 5.9 and 5.2b by hand: index 10.0 from twenty times 10.0.

    3.0 is 7.0 better: -1.0 on all, so seven times 9.0 and 2.0 give 8.125, index 8.1. Then -1.9 is
    10.0 better: -2.0 on all; -3.9, 0.0 and six times 7.0 give 38.1 / 8 = 4.7625, index 4.8.
    """
    found = esr_sequence(
        {
            "start_differentials_newest_first": ["10.0"] * 20,
            "new_unrounded_in_order": ["3.0", "-1.9"],
        }
    )
    assert found["reductions"] == decimals(["-1.0", "-2.0"])
    assert found["indexes"] == decimals(["8.1", "4.8"])
    assert found["differentials_after_newest_first"] == decimals(["-3.9", "0.0"] + ["7.0"] * 18)


def test_first_index_from_three_scores():
    """Differentials 17.0 and 18.6 are worked examples in the case file; the lowest of three less 2.0."""
    found = initial_index(
        {
            "scores_newest_first": [
                {"adjusted_gross_score": 94, "course_rating": "71.8", "slope_rating": 135, "pcc": 0},
                {"adjusted_gross_score": 90, "course_rating": "72.0", "slope_rating": 120, "pcc": 0},
                {"adjusted_gross_score": 100, "course_rating": "72.0", "slope_rating": 113, "pcc": 1},
            ]
        }
    )
    assert found == {"differentials": decimals(["18.6", "17.0", "27.0"]), "handicap_index": Decimal("15.0")}
