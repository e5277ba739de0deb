"""Strokes gained a round, and shots at the green by distance band."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from golfstats.calc.a_round import a_round, figure_a_round, rounds_of_18
from golfstats.calc.figures.approach import Band, bands
from golfstats.calc.figures.catalogue import CATALOGUE, figure_named
from golfstats.calc.observations import AnalysedRecord
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


def test_nine_holes_weigh_half_of_eighteen_and_picked_up_holes_are_counted():
    """Nine holes at +0.1 a hole and eighteen at −0.2: (0.9 − 3.6) × 18 / 27 = −1.8 a round."""
    nine = [hole(4, PAR_FOUR, round=0) for _ in range(9)]
    eighteen = [hole(4, PAR_FOUR, round=1) for _ in range(17)]
    given_up = hole(4, PAR_FOUR[:3], round=1, holed=False, picked_up=True, score=7)
    record = record_of([*nine, *eighteen, given_up])
    each = np.where(record.holes.round == 0, 0.1, -0.2)[record.shots.hole]
    first = record.shots.number == 1
    analysed = AnalysedRecord(record, np.where(first, each, 0.0), np.zeros(len(first), dtype=np.int64))
    spec = CATALOGUE["gained.total"]
    figure = spec.figure(spec.observe(analysed))
    assert figure.value == pytest.approx(-1.8)
    assert (figure.n, figure.estimated) == (27, 1)
    by_round = figure_a_round(np.array([0.9, -3.6]), np.array([9, 18]), "strokes")
    assert (by_round.value, by_round.low, by_round.high) == pytest.approx(
        (figure.value, figure.low, figure.high)
    )
    assert a_round(np.array([0.9, -3.6, 0.0]), np.array([9, 18, 0])) == pytest.approx(
        [1.8, -3.6, np.nan], nan_ok=True
    )
    assert rounds_of_18(np.array([9, 18])) == 1.5


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
    # 9, 18, 30 and 45 ft; the ball in the water counts as having left all its 85 yards.
    assert figure("proximity").value == pytest.approx(30)
    assert figure("mean_proximity").value == pytest.approx((9 + 18 + 30 + 45 + 255) / 5)
    assert figure("mean_proximity").n == 30
    assert figure("gained").value == pytest.approx(-0.2)
    assert figure("shots").value == pytest.approx(18 * 5 / 6)


def median_left(finishes, wet):
    """Median distance left over shots from 140 yards, of which some end in water and are dropped near the hole."""
    holes = []
    for number, (feet, in_water) in enumerate(zip(finishes, wet, strict=True)):
        after = ("rough", 10) if in_water else ("green", feet / 3)
        shot = ("fairway", 140, {"penalty": 1} if in_water else {})
        holes.append(hole(4, [("tee", 380), shot, after, ("green", 1)], round=number % 10))
    spec = CATALOGUE["approach.125-150.proximity"]
    return spec.figure(spec.observe(analysed_of(record_of(holes))))


def test_water_never_brings_anybody_nearer():
    """The same shots with one in five in the water, drawn at random or just the worst of them."""
    rng = np.random.default_rng(3)
    feet = rng.lognormal(np.log(54.0), 0.6, 400)
    dry = median_left(feet, np.zeros(400, bool))
    at_random = median_left(feet, rng.random(400) < 0.2)
    the_worst = median_left(feet, feet > np.quantile(feet, 0.8))
    assert at_random.value > dry.value
    assert the_worst.value == pytest.approx(dry.value, rel=0.01)
    assert at_random.low <= at_random.value <= at_random.high < 140 * 3


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
