"""A player's full analysis is one pass of array code: ten times the shots call no more functions."""

import numpy as np

from golfstats.calc.figures.analysis import analyse
from golfstats.calc.figures.approach import bands
from tests.calc.figures.simulated_player import simulated_player
from tests.counting import calls_of

CAREER = 205
"""Rounds; 15,000 shots."""


def test_ten_times_the_shots_call_no_more_functions():
    """A Python loop over the shots of one figure would show as tens of thousands of calls more."""
    rng = np.random.default_rng(3)
    career, ten_careers = simulated_player(rng, CAREER), simulated_player(rng, 10 * CAREER)
    assert len(career.record.shots) >= 15_000
    assert len(analyse(career, bands())) > 100
    assert calls_of(lambda: analyse(ten_careers, bands())) <= 1.1 * calls_of(lambda: analyse(career, bands()))
