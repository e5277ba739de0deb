"""The professional benchmark keeps its published values and behaves between and beyond them."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from golfstats.calc.strokes.benchmark import SAME_AS, Benchmark, Curve, professional
from golfstats.calc.strokes.table import professional_rows
from golfstats.calc.vocabulary import UNKNOWN, Lie

EVERY_YARD = np.linspace(0.0, 700.0, 7001)


def values(benchmark: Benchmark, lie: Lie, yards) -> np.ndarray:
    yards = np.asarray(yards, dtype=float)
    return benchmark.expected(np.full(yards.shape, lie), yards)


# Rows quoted in texts that were read: a coaching article (tee, fairway, rough) and a press copy of
# Broadie's Putts Gained draft of January 2011 (green).
@pytest.mark.parametrize(
    ("lie", "yards", "strokes"),
    [
        (Lie.TEE, 400, 3.99),
        (Lie.FAIRWAY, 160, 2.98),
        (Lie.ROUGH, 180, 3.31),
        (Lie.GREEN, 8 / 3, 1.50),
        (Lie.GREEN, 33 / 3, 2.00),
    ],
)
def test_values_that_were_read_in_a_text(lie, yards, strokes):
    assert values(professional(), lie, [yards])[0] == pytest.approx(strokes, abs=1e-9)


def test_every_row_is_met_within_what_monotonicity_needs():
    rows = professional_rows()
    expected = professional().expected(np.array([r.lie for r in rows]), np.array([r.yards for r in rows]))
    assert np.abs(expected - [r.strokes for r in rows]).max() < 0.04
    moved = {r.lie for r, e in zip(rows, expected, strict=True) if abs(e - r.strokes) > 1e-9}
    assert moved == {Lie.SAND, Lie.RECOVERY}


def test_every_row_says_where_it_comes_from():
    for row in professional_rows():
        assert row.confidence in {"read", "memory", "extension"}
        assert len(row.provenance) > 20


def test_provenance_counts_what_is_from_memory():
    from_memory = sum(row.confidence == "memory" for row in professional_rows())
    assert f"{from_memory} are from memory" in professional().provenance


@pytest.mark.parametrize("lie", list(Lie))
def test_expected_strokes_never_fall_with_distance_nor_below_one(lie):
    strokes = values(professional(), lie, EVERY_YARD)
    assert strokes[0] >= 1.0
    assert np.diff(strokes).min() >= 0.0


@pytest.mark.parametrize("lie", list(Lie))
def test_expected_strokes_have_no_jump(lie):
    # Steepest published stretch: 9 ft of green from 3 to 6 ft, 0.3 strokes a yard.
    assert np.diff(values(professional(), lie, EVERY_YARD)).max() < 0.05


def test_the_tee_does_not_get_easier_between_the_par_3_rows():
    assert np.diff(values(professional(), Lie.TEE, np.linspace(100, 180, 801))).min() >= 0.0


def test_worse_lies_cost_more_at_every_distance():
    yards = np.linspace(0, 650, 1301)
    ordered = [
        values(professional(), lie, yards) for lie in (Lie.GREEN, Lie.FAIRWAY, Lie.ROUGH, Lie.RECOVERY)
    ]
    for better, worse in pairwise(ordered):
        assert (worse - better).min() >= 0.0


def test_fringe_counts_as_fairway_and_penalty_as_recovery():
    yards = np.linspace(0, 650, 131)
    np.testing.assert_array_equal(
        values(professional(), Lie.FRINGE, yards), values(professional(), Lie.FAIRWAY, yards)
    )
    np.testing.assert_array_equal(
        values(professional(), Lie.PENALTY, yards), values(professional(), Lie.RECOVERY, yards)
    )


def test_a_ball_at_the_hole_takes_one_stroke():
    assert values(professional(), Lie.GREEN, [0.0])[0] == 1.0


def test_an_unknown_lie_or_distance_has_no_expected_strokes():
    strokes = professional().expected(
        np.array([UNKNOWN, Lie.GREEN, Lie.GREEN]), np.array([100.0, np.nan, 3.0])
    )
    assert np.isnan(strokes[:2]).all()
    assert strokes[2] > 1.0


def test_no_positions_give_no_values():
    assert professional().expected(np.zeros(0, np.int8), np.zeros(0)).shape == (0,)


def test_points_that_fall_are_pooled_to_their_mean():
    # Pool-adjacent-violators on (2.0, 3.0, 2.6): the last two share their mean, by hand.
    curve = Curve.through(np.array([0.0, 10.0, 20.0]), np.array([2.0, 3.0, 2.6]))
    np.testing.assert_allclose(curve.strokes, [2.0, 2.8, 2.8])


def test_each_shot_of_very_many_is_worth_what_its_curve_says():
    benchmark, rng = professional(), np.random.default_rng(5)
    distances = np.array([-3.0, 0.0, 1 / 3, 0.5, 9.99, 10.0, 150.0, 512.0, 700.0, np.nan])
    lies, yards = rng.integers(UNKNOWN, len(Lie), size=150_000), rng.choice(distances, size=150_000)
    by_curve = np.full(len(lies), np.nan)
    for lie in Lie:
        by_curve[lies == lie] = benchmark.curves[SAME_AS.get(lie, lie)](yards[lies == lie])
    np.testing.assert_array_equal(benchmark.expected(lies, yards), by_curve)
