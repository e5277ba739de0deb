"""Surface disturbance: rules a greenkeeper would check."""

import csv
from importlib import resources

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from golfstats.calc.greens.surface.disturbance import Work, surface_disturbance
from golfstats.calc.greens.surface.work_types import coring_severity, work_types

DAY = 738_000
works_strategy = st.lists(
    st.builds(
        lambda kind, start, length, holes, severity: Work(
            kind, DAY + start, DAY + start + length, holes, severity
        ),
        st.sampled_from(sorted(work_types())),
        st.integers(-40, 40),
        st.integers(0, 5),
        st.none() | st.frozensets(st.integers(1, 18), min_size=1),
        st.none() | st.floats(0, 1),
    ),
    max_size=4,
)


def on(works, day, hole=1, recovery=None):
    return float(surface_disturbance(works, np.array([day]), np.array([hole]), recovery)[0])


def test_each_kind_of_work_is_described_once():
    """A second line of the same key would silently take the place of the first."""
    table = resources.files("golfstats.calc.greens.surface").joinpath("work_types.csv").read_text("utf-8")
    keys = [row["kind"] for row in csv.DictReader(table.splitlines())]
    assert len(keys) == len(set(keys)) == len(work_types())


def test_full_on_the_day_and_gone_at_recovery():
    coring = Work("coring_medium", DAY, DAY, severity=1.0)
    assert on([coring], DAY - 1) == 0
    assert on([coring], DAY) == 1
    assert 0 < on([coring], DAY + 10) < 0.01
    assert on([coring], DAY + 11) == 0


def test_counts_from_the_last_day_of_work():
    long_work = Work("coring_medium", DAY, DAY + 4, severity=0.8)
    assert on([long_work], DAY + 2) == pytest.approx(0.8)
    assert on([long_work], DAY + 7) == pytest.approx(
        on([Work("coring_medium", DAY, DAY, severity=0.8)], DAY + 3)
    )


def test_only_the_worked_holes():
    nine = Work("coring_medium", DAY, DAY, holes=frozenset(range(1, 10)))
    assert on([nine], DAY, hole=9) > 0
    assert on([nine], DAY, hole=10) == 0


def test_overlapping_works_combine():
    half = Work("coring_medium", DAY, DAY, severity=0.5)
    assert on([half, half], DAY) == pytest.approx(0.75)


def test_the_clubs_recovery_replaces_the_default():
    coring = Work("coring_medium", DAY, DAY)
    assert on([coring], DAY + 15) == 0
    assert on([coring], DAY + 15, recovery={"coring_medium": 30.0}) == pytest.approx(0.9 * 0.25)
    assert on([coring], DAY + 15, recovery={"solid_tine": 30.0}) == 0


def test_no_work_no_disturbance():
    assert on([], DAY) == 0


@given(works_strategy, st.integers(-60, 160), st.integers(1, 18))
def test_between_nothing_and_full_and_never_less_with_more_work(works, offset, hole):
    value = on(works, DAY + offset, hole)
    assert 0 <= value <= 1
    assert on([*works, Work("coring_large", DAY, DAY)], DAY + offset, hole) >= value - 1e-12


@given(works_strategy)
def test_many_queries_agree_with_single_ones(works):
    days, holes = np.arange(DAY - 50, DAY + 60, 7), np.arange(16) % 18 + 1
    together = surface_disturbance(works, days, holes)
    assert together == pytest.approx([on(works, day, hole) for day, hole in zip(days, holes, strict=True)])


@pytest.mark.parametrize(
    "wrong",
    [
        {"kind": "mystery", "start": DAY, "end": DAY},
        {"kind": "venting", "start": DAY, "end": DAY - 1},
        {"kind": "venting", "start": DAY, "end": DAY, "severity": 1.5},
    ],
)
def test_impossible_work_is_refused(wrong):
    with pytest.raises(ValueError):
        Work(**wrong)


def test_larger_area_is_never_milder():
    assert coring_severity(0) == 0
    assert coring_severity(2.2) < coring_severity(4.9) < coring_severity(8.7) == coring_severity(20) == 1
