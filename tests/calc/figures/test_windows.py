"""Figures over a window, by round, and all of them at once."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from golfstats.calc.figures.analysis import analyse
from golfstats.calc.figures.approach import bands
from golfstats.calc.figures.catalogue import CATALOGUE, UnknownFigureError, figure_named
from golfstats.calc.figures.windows import last_rounds
from tests.calc.figures.simulated_player import simulated_player
from tests.calc.record_builder import hole, record_of


def rows_in(observations, window):
    return observations.select(window[observations.round])


def test_windows_by_count():
    record = record_of([hole(4, score=4, round=round) for round in range(4)])
    assert last_rounds(record.rounds, 3).tolist() == [False, True, True, True]
    assert last_rounds(record.rounds, 9).all()
    assert not last_rounds(record.rounds, 0).any()


@settings(max_examples=20)
@given(seed=st.integers(0, 1000), kept=st.lists(st.booleans(), min_size=6, max_size=6))
def test_observing_then_windowing_is_the_analysis_of_the_smaller_record(seed, kept):
    analysed = simulated_player(np.random.default_rng(seed), 6)
    window = np.array(kept)
    smaller = analysed.of_rounds(window)
    assert len(smaller.record.rounds) == window.sum()
    for spec in CATALOGUE.values():
        whole = rows_in(spec.observe(analysed), window)
        part = spec.observe(smaller)
        assert np.array_equal(whole.value, part.value), spec.key
        assert spec.figure(whole) == spec.figure(part)
        if spec.per == "shot":
            shots, small = analysed.record.shots, smaller.record.shots
            assert np.array_equal(shots.distance[whole.shot], small.distance[part.shot])


@settings(max_examples=20)
@given(seed=st.integers(0, 1000), cut=st.integers(1, 5))
def test_two_windows_add_up_to_the_whole(seed, cut):
    analysed = simulated_player(np.random.default_rng(seed), 6)
    late = last_rounds(analysed.record.rounds, cut)
    for spec in CATALOGUE.values():
        whole = spec.observe(analysed)
        halves = rows_in(whole, late), rows_in(whole, ~late)
        assert len(whole) == len(halves[0]) + len(halves[1])
        assert sum(half.value.sum() for half in halves) == pytest.approx(whole.value.sum())


@settings(max_examples=20)
@given(seed=st.integers(0, 1000))
def test_rounds_weighted_by_their_observations_make_the_figure(seed):
    analysed = simulated_player(np.random.default_rng(seed), 6)
    for spec in CATALOGUE.values():
        observed = spec.observe(analysed)
        if spec.statistic == "mean" and (value := spec.figure(observed).value) is not None:
            _, means, counts = observed.by_round
            assert np.average(means, weights=counts) == pytest.approx(value)


def test_the_full_analysis_holds_every_figure_by_its_key():
    analysed = simulated_player(np.random.default_rng(2), 30)
    figures = analyse(analysed, bands([50, 150]))
    assert {
        "approach.50-150.gained",
        "approach.150+.proximity",
        "club.1.distance",
        "misses.green.cost",
    } <= set(figures)
    assert "approach.75-100.gained" not in figures
    for key, figure in figures.items():
        assert figure.enough == (figure.n >= figure.minimum_n), key
        if figure.enough:
            assert figure.low - 1e-9 <= figure.value <= figure.high + 1e-9, key
        spec = figure_named(key)
        assert figure == spec.figure(spec.observe(analysed)), key


def test_every_figure_has_its_own_key_and_says_what_it_is():
    for key, spec in CATALOGUE.items():
        assert figure_named(key) is spec
        assert spec.words
        assert spec.minimum_n >= 2
    assert len({spec.words for spec in CATALOGUE.values()}) == len(CATALOGUE)


@pytest.mark.parametrize(
    "key", ["approach.80-95.proximity", "approach.120+.green_hit", "club.7.side_degrees"]
)
def test_bands_and_clubs_are_named_by_their_key(key):
    assert figure_named(key).key == key


@pytest.mark.parametrize(
    ("key", "advice"),
    [
        ("putts.two", "putts.round"),
        ("approach.100-75.proximity", "approach.75-100.proximity"),
        ("approach.075-100.proximity", "approach.75-100.proximity"),
        ("approach.75-100.nearness", "approach.75-100.proximity"),
        ("club.7.height", "club.0.distance"),
        ("swing.speed", "families are approach, club, fairways"),
    ],
)
def test_an_unknown_figure_is_refused_with_what_there_is(key, advice):
    with pytest.raises(UnknownFigureError) as refusal:
        figure_named(key)
    assert key in str(refusal.value)
    assert advice in str(refusal.value)
