"""Planning a hole grows with its cells and no faster, and fits into a small worker's memory."""

from collections.abc import Callable

from golfstats.calc.plan.greens import Greens
from golfstats.calc.plan.hole.generic import generic_hole
from golfstats.calc.plan.hole.shape import STEP, shape_of
from golfstats.calc.plan.hole.words import read_words
from golfstats.calc.plan.shots.prior import usual_bag, usual_putting
from golfstats.calc.plan.value import best_play
from tests.counting import calls_of, peak_of

BAG, GREENS = usual_bag(15), Greens(*usual_putting(15))
DRAWING = generic_hole(5, 600, read_words("dogleg left 300 60, out right, water right 200-330"))


def solution(step: float) -> Callable[[], object]:
    shape = shape_of(DRAWING, DRAWING.middle, step)
    return lambda: best_play(shape, BAG, GREENS)


def test_four_times_the_cells_call_no_more_functions_and_hold_four_times_the_memory():
    coarse, fine = solution(4.0), solution(2.0)
    coarse()
    # The fine grid solves the coarse one first, and then itself.
    first = calls_of(coarse)
    assert calls_of(fine) - first <= 1.1 * first
    assert peak_of(fine) <= 5 * peak_of(coarse)


def test_the_widest_long_hole_fits_into_three_hundred_megabytes():
    assert peak_of(solution(STEP)) < 300 * 2**20
