"""The shape of a statistic, and that the test builder says what its literals say."""

import numpy as np

from golfstats.calc.observations import Observations
from golfstats.calc.vocabulary import UNKNOWN, Lie, MissSide
from tests.calc.record_builder import hole, record_of


def test_by_round_gives_mean_and_count_of_each_round():
    observations = Observations(
        np.array([1.0, 3.0, 5.0]), np.array([2, 2, 7]), np.full(3, UNKNOWN), np.full(3, UNKNOWN)
    )
    rounds, means, counts = observations.by_round()
    assert rounds.tolist() == [2, 7]
    assert means.tolist() == [2.0, 5.0]
    assert counts.tolist() == [2, 1]


def test_a_hole_of_literals_becomes_consistent_rows():
    record = record_of(
        [
            hole(
                4,
                [
                    ("tee", 400),
                    ("rough", 150, {"miss_side": "left", "penalty": 1}),
                    ("sand", 20),
                    ("green", 2),
                ],
            ),
            hole(5, score=6, putts=2, fairway_hit=True, round=1),
            hole(4, [("tee", 380), ("fairway", 120)], holed=False, score=7, picked_up=True, round=1),
        ]
    )
    assert record.holes.score.tolist() == [5, 6, 7]
    assert record.holes.complete.tolist() == [True, False, False]
    assert record.holes.number.tolist() == [1, 1, 2]
    shots = record.shots
    assert shots.lie_after.tolist() == [Lie.ROUGH, Lie.SAND, Lie.GREEN, UNKNOWN, Lie.FAIRWAY, UNKNOWN]
    assert shots.distance_after[:4].tolist() == [150.0, 20.0, 2.0, 0.0]
    assert np.isnan(shots.distance_after[5])
    assert shots.holed.tolist() == [False, False, False, True, False, False]
    assert shots.miss_side[1] == MissSide.LEFT
    assert shots.hole.tolist() == [0, 0, 0, 0, 2, 2]
