"""Worked strokes-gained examples: published ones with their source, and arithmetic on table rows.

The constructed ones are published nowhere: they are subtractions on rows of the professional table
(Broadie 2012, mostly from memory; see professional.csv) done by hand.
"""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import pytest

from golfstats.calc.record import Holes, Record, Rounds, Shots
from golfstats.calc.strokes.benchmark import professional
from golfstats.calc.strokes.gained import strokes_gained
from golfstats.calc.vocabulary import Lie


def hole(*strokes: tuple[Lie, float, int]) -> Record:
    """One hole, holed with the last of these strokes (lie, yards, penalty strokes)."""
    lie, distance, penalty = (np.array(column) for column in zip(*strokes, strict=True))
    n = len(strokes)
    zeros, blank, nan = np.zeros(n, int), np.full(n, -1, np.int8), np.full(n, np.nan)
    one, nothing = np.zeros(1, int), np.full(1, np.nan)
    known = {
        "round": zeros, "hole": zeros, "number": np.arange(1, n + 1), "par": zeros + 4, "lie": lie.astype(np.int8),
        "distance": distance.astype(float), "holed": np.arange(n) == n - 1, "penalty": penalty,
    }  # fmt: skip
    nothing_noted = {one.name: nan if one.type == "Floats" else blank for one in fields(Shots)}
    return Record(
        Rounds(one, one, one, one > 0, one > 0, nothing, nothing, nothing),
        Holes(one, one + 1, one + 4, distance[:1], one + n + penalty.sum(), one > 0, one - 1, one - 1,
              blank[:1], blank[:1], one == 0),
        Shots(**nothing_noted | known),
    )  # fmt: skip


def gained(*strokes: tuple[Lie, float, int]) -> list[float]:
    return strokes_gained(hole(*strokes), professional()).tolist()


# Broadie M. (2011), Putts Gained, Columbia University draft, 13 January 2011, example in the text
# (read in a press copy): 33 ft has 2.0 expected putts, 8 ft has 1.5.
@pytest.mark.parametrize(
    ("feet", "putts", "total"), [(33, 1, 1.0), (33, 2, 0.0), (33, 3, -1.0), (8, 1, 0.5), (8, 2, -0.5)]
)
def test_putts_gained(feet, putts, total):
    strokes = [(Lie.GREEN, feet / 3, 0)] + [(Lie.GREEN, 1.0, 0)] * (putts - 1)
    assert sum(gained(*strokes)) == pytest.approx(total, abs=1e-9)


# A coaching article quoting Broadie's table: from a 400 yd tee, 3.99. The differences are taken here.
@pytest.mark.parametrize(
    ("left", "tee_shot"), [((Lie.FAIRWAY, 160.0, 0), 0.01), ((Lie.ROUGH, 180.0, 0), -0.32)]
)
def test_tee_shot_of_400_yards(left, tee_shot):
    assert gained((Lie.TEE, 400.0, 0), left)[0] == pytest.approx(tee_shot, abs=1e-9)


def test_a_shot_that_leaves_one_stroke_less_gains_nothing():
    # Same article: 3.99 before and 2.99 after is level. 161 yards of fairway is the nearest yard to 2.99.
    assert gained((Lie.TEE, 400.0, 0), (Lie.FAIRWAY, 161.0, 0))[0] == pytest.approx(0.0, abs=0.01)


def test_a_round_is_as_much_better_as_its_score():
    # PGA TOUR, Strokes gained: How it works, 30 May 2016: 69 where the field averages 72 gains 3.
    # Here the benchmark's own total from the tees takes the field's place.
    tees = np.array([400.0] * 18)
    expected = professional().expected(np.full(18, Lie.TEE), tees)
    played = [sum(gained((Lie.TEE, 400.0, 0), (Lie.FAIRWAY, 150.0, 0), (Lie.GREEN, 3.0, 0))) for _ in tees]
    assert sum(played) == pytest.approx(expected.sum() - 3 * 18, abs=1e-9)


CONSTRUCTED = {
    "par 4 in four": (
        [(Lie.TEE, 420.0, 0), (Lie.FAIRWAY, 120.0, 0), (Lie.GREEN, 20 / 3, 0), (Lie.GREEN, 1.0, 0)],
        [0.17, -0.02, -0.17, 0.04],
        0.02,
    ),
    "recovery after the tee shot": (
        [(Lie.TEE, 460.0, 0), (Lie.RECOVERY, 220.0, 0), (Lie.FAIRWAY, 100.0, 0), (Lie.GREEN, 2.0, 0)],
        [-0.75, 0.12, 0.46, 0.34],
        0.17,
    ),
    "par 3 through the sand": (
        [(Lie.TEE, 180.0, 0), (Lie.SAND, 10.0, 0), (Lie.GREEN, 5 / 3, 0), (Lie.GREEN, 2 / 3, 0)],
        [-0.38, 0.20, -0.78, 0.01],
        -0.95,
    ),
}


@pytest.mark.parametrize("name", CONSTRUCTED)
def test_constructed_holes(name):
    strokes, by_shot, total = CONSTRUCTED[name]
    assert gained(*strokes) == pytest.approx(by_shot, abs=1e-9)
    assert sum(gained(*strokes)) == pytest.approx(total, abs=1e-9)


def test_a_penalty_drop_is_charged_to_the_shot_that_incurred_it():
    # 4.02 - 3.31 - 2
    assert gained((Lie.TEE, 420.0, 1), (Lie.ROUGH, 180.0, 0))[0] == pytest.approx(-1.29, abs=1e-9)


def test_stroke_and_distance_costs_two():
    assert gained((Lie.TEE, 460.0, 1), (Lie.TEE, 460.0, 0))[0] == pytest.approx(-2.0, abs=1e-12)
