"""Expected putts agree with the published chances of one and three putts.

Leaving four putts aside, expected putts are 1·P(1) + 2·P(2) + 3·P(3) = 2 - P(1) + P(3). The chances
and their sources are in putt_probabilities.csv.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from golfstats.calc.strokes.benchmark import professional
from golfstats.calc.strokes.handicap_golfer import handicap_golfer
from golfstats.calc.strokes.table import professional_rows
from golfstats.calc.vocabulary import Lie


def published(group: str) -> dict[float, float]:
    """Expected putts by feet for a group, where the chance of one putt is published."""
    chances: dict[float, dict[str, float]] = {}
    for row in csv.DictReader(Path(__file__).with_name("putt_probabilities.csv").read_text().splitlines()):
        if row["group"] == group:
            chances.setdefault(float(row["feet"]), {})[row["outcome"]] = float(row["probability"])
    return {
        feet: 2 - chance["one_putt"] + chance.get("three_putt", 0.0)
        for feet, chance in chances.items()
        if "one_putt" in chance
    }


def test_professional_putting_rows():
    table = {round(row.yards * 3, 6): row.strokes for row in professional_rows() if row.lie == Lie.GREEN}
    compared = {feet: putts for feet, putts in published("professional").items() if feet in table}
    assert len(compared) == 11
    for feet, putts in compared.items():
        assert table[feet] == pytest.approx(putts, abs=0.0101), feet


def test_professional_putting_between_rows():
    # 7 and 15 ft are no rows of the table; the curve between rows may be 0.02 away.
    for feet in (7.0, 15.0):
        curve = professional().expected(np.array([Lie.GREEN]), np.array([feet / 3]))[0]
        assert curve == pytest.approx(published("professional")[feet], abs=0.02)


def test_a_golfer_who_scores_90_holes_as_many_putts_as_published():
    # 90 on the reference course is handicap 15 (74.4 + 1.04 × 15). The estimate divides the gap by the published
    # share of putting and follows these chances only in shape; three-putts of this group are not published.
    golfer = handicap_golfer(15.0)
    for feet, putts in published("golfer_of_90").items():
        if feet <= 10:
            expected = golfer.expected(np.array([Lie.GREEN]), np.array([feet / 3]))[0]
            assert expected == pytest.approx(putts, abs=0.07), feet
