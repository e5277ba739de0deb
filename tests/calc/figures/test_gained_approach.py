"""Strokes gained a round, and shots at the green by distance band."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from golfstats.calc.figures.approach import Band, bands
from golfstats.calc.figures.catalogue import CATALOGUE, figure_named
from golfstats.calc.vocabulary import Part
from tests.calc.figures.simulated_player import simulated_player
from tests.calc.record_builder import analysed_of, hole, record_of

PAR_FOUR = [("tee", 420), ("fairway", 120), ("green", 20 / 3), ("green", 1)]
PAR_FOUR_GAINED = [0.17, -0.02, -0.17, 0.04]
"""Gained against the professional table by subtraction: 4.02, 2.85, 1.87, 1.04 (Broadie 2012, from memory)."""


def test_strokes_gained_are_eighteen_hole_equivalents_over_the_holes_covered():
    holes = [hole(4, PAR_FOUR, round=round) for round in (0, 1) for _ in range(9)]
    unrecorded = [hole(4, score=7, round=round) for round in (0, 1)]
    analysed = analysed_of(record_of(holes + unrecorded), PAR_FOUR_GAINED * 18)
    expected = {"total": 0.02, "tee": 0.17, "approach": -0.02, "short_game": 0.0, "putting": -0.13}
    for part, gained in expected.items():
        spec = CATALOGUE[f"gained.{part}"]
        figure = spec.figure(spec.observe(analysed))
        assert figure.value == pytest.approx(18 * gained)
        assert figure.n == 18


def test_a_hole_with_a_shot_of_unknown_worth_is_not_covered():
    analysed = analysed_of(
        record_of([hole(4, PAR_FOUR), hole(4, PAR_FOUR)]), [*PAR_FOUR_GAINED, 0.1, np.nan, 0, 0]
    )
    assert CATALOGUE["gained.tee"].observe(analysed).hole.tolist() == [0]


@given(seed=st.integers(0, 1000), rounds=st.integers(2, 5))
def test_the_parts_add_up_to_the_total(seed, rounds):
    analysed = simulated_player(np.random.default_rng(seed), rounds)
    values = {
        key: spec.figure(spec.observe(analysed)).value
        for key, spec in CATALOGUE.items()
        if key.startswith("gained.")
    }
    assert values.pop("gained.total") == pytest.approx(sum(values.values()))
    assert len(values) == len(Part)


def test_bands_run_from_edge_to_edge_and_the_last_is_open():
    assert [band.word for band in bands()] == [
        "50-75",
        "75-100",
        "100-125",
        "125-150",
        "150-175",
        "175-200",
        "200+",
    ]
    assert bands([0, 30.5]) == [Band(0, 30.5), Band(30.5, np.inf)]
    assert all(Band.of(band.word) == band for band in bands([0, 12.5, 40]))


@pytest.mark.parametrize("edges", [[], [100, 75], [50, 50], [-5, 20]])
def test_bands_refuse_edges_that_do_not_rise(edges):
    with pytest.raises(ValueError, match="rising"):
        bands(edges)


def five_approaches(round):
    """From 75 to under 100 yards: three greens hit 18, 9 and 30 ft away, a miss by 45 ft, a ball in the water."""
    return [
        hole(4, [("tee", 300), ("fairway", 75), ("green", 6), ("green", 1)], round=round),
        hole(4, [("tee", 300), ("rough", 99.9), ("green", 3)], round=round),
        hole(3, [("tee", 90), ("green", 10), ("green", 1)], round=round),
        hole(4, [("tee", 300), ("sand", 80), ("rough", 15), ("green", 2)], round=round),
        hole(4, [("tee", 300), ("fairway", 85, {"penalty": 1}), ("penalty", 60), ("green", 2)], round=round),
        hole(4, [("tee", 300), ("fairway", 100), ("green", 2)], round=round),  # the next band
    ]


def test_a_band_on_paper():
    analysed = analysed_of(record_of([built for round in range(6) for built in five_approaches(round)]))
    at_green = analysed.record.shots.distance
    gained = np.where((at_green >= 75) & (at_green < 100), -0.2, 9.0)
    analysed = analysed_of(analysed.record, gained)

    def figure(name):
        spec = CATALOGUE[f"approach.75-100.{name}"]
        return spec.figure(spec.observe(analysed))

    assert figure("green_hit").value == pytest.approx(3 / 5)
    assert figure("green_hit").n == 30
    assert figure("proximity").value == pytest.approx(
        24
    )  # of 9, 18, 30, 45 ft; the ball in the water has none
    assert figure("mean_proximity").value == pytest.approx(25.5)
    assert figure("mean_proximity").n == 24
    assert figure("gained").value == pytest.approx(-0.2)
    assert figure("shots").value == pytest.approx(18 * 5 / 6)


@pytest.mark.parametrize(
    "shot",
    [
        ("recovery", 150),
        ("fairway", 260),  # nobody can say that the green was the target
        ("fairway", 240, {"target": 150}),  # laid up
        ("fringe", 60),
        ("green", 60),
    ],
)
def test_shots_not_aimed_at_the_green_are_in_no_band(shot):
    analysed = analysed_of(record_of([hole(5, [("tee", 500), shot, ("rough", 40), ("green", 2)])]))
    for band in bands():
        assert len(CATALOGUE[f"approach.{band.word}.green_hit"].observe(analysed)) == 0


@pytest.mark.parametrize(
    "shot", [("recovery", 150, {"target": 155}), ("fairway", 260, {"target": 250}), ("rough", 249)]
)
def test_shots_aimed_at_the_green_are_in_their_band(shot):
    analysed = analysed_of(record_of([hole(5, [("tee", 500), shot, ("rough", 40), ("green", 2)])]))
    counted = [len(CATALOGUE[f"approach.{band.word}.green_hit"].observe(analysed)) for band in bands()]
    assert sum(counted) == 1


@given(seed=st.integers(0, 1000), edges=st.sets(st.integers(60, 240), min_size=1, max_size=6))
def test_bands_divide_the_shots_without_rest(seed, edges):
    analysed = simulated_player(np.random.default_rng(seed), 2)
    whole = figure_named("approach.0+.gained").observe(analysed)
    parts = [
        figure_named(f"approach.{band.word}.gained").observe(analysed) for band in bands([0, *sorted(edges)])
    ]
    assert sorted(np.concatenate([part.shot for part in parts])) == whole.shot.tolist()
