"""A player's full analysis is one pass of array code: ten times the shots take at most twelve times as long."""

import gc
from statistics import median
from time import process_time

import numpy as np

from golfstats.calc.figures.analysis import analyse
from golfstats.calc.figures.approach import bands
from golfstats.calc.observations import AnalysedRecord
from tests.calc.figures.simulated_player import simulated_player

CAREER = 205
"""Rounds; 15,000 shots."""


def seconds(analysed: AnalysedRecord) -> float:
    """Processor time of one analysis, the collector's pauses left out."""
    gc.collect()
    gc.disable()
    start = process_time()
    figures = analyse(analysed, bands())
    elapsed = process_time() - start
    gc.enable()
    assert len(figures) > 100
    return elapsed


def test_ten_times_the_shots_take_at_most_twelve_times_as_long():
    """Medians of runs that alternate, so that a busy machine slows both."""
    rng = np.random.default_rng(3)
    career, ten_careers = simulated_player(rng, CAREER), simulated_player(rng, 10 * CAREER)
    assert len(career.record.shots) >= 15_000
    seconds(career)
    runs = [(seconds(career), seconds(ten_careers)) for _ in range(5)]
    ratio = median(long for _, long in runs) / median(short for short, _ in runs)
    assert ratio <= 12, f"{ratio:.1f} times as long"


def sorting_seconds(analysed: AnalysedRecord) -> float:
    """Processor time to sort every column of the shots once, the floor that the analysis is held against."""
    columns = [np.asarray(column) for column in vars(analysed.record.shots).values()]
    start = process_time()
    for column in columns:
        np.argsort(column, kind="stable")
    return process_time() - start


def test_a_career_is_analysed_in_the_time_of_a_few_dozen_sorts_of_its_columns():
    """About 150 figures; a Python loop over the shots for each would cost hundreds of such sorts."""
    career = simulated_player(np.random.default_rng(4), CAREER)
    seconds(career)
    runs = [(sorting_seconds(career), seconds(career)) for _ in range(5)]
    ratio = median(analysis for _, analysis in runs) / median(floor for floor, _ in runs)
    assert ratio < 100, f"{ratio:.0f} sorts of all columns"
