"""Best play of a hole against nothing but the transforms that its expectations are, by hand with SciPy."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from unittest.mock import patch

import numpy as np
from scipy import fft

from golfstats.calc.plan import value
from golfstats.calc.plan.greens import Greens
from golfstats.calc.plan.hole.generic import generic_hole
from golfstats.calc.plan.hole.shape import STEP, Maps, shape_of
from golfstats.calc.plan.hole.words import read_words
from golfstats.calc.plan.kernels import Plane, Waves
from golfstats.calc.plan.shots.prior import usual_bag, usual_putting
from golfstats.calc.plan.value import best_play
from tests.benchmarks.kernels import in_pairs
from tests.benchmarks.measuring import Measured
from tests.counting import peak_of

MOST_MB = 300.0
MOST_OF_TRANSFORMS = 6.0
"""Ours makes the patterns and tries every aim besides (measured: 4.7 times the transforms alone)."""
HANDICAP = 15.0


@dataclass(frozen=True)
class Batch:
    """Transforms back that were asked for at once."""

    patterns: int
    size: tuple[int, int]


def plan_of_a_hole() -> Iterator[Measured]:
    """A hole of 400 yards on the grid of a plan; the floor multiplies and transforms back as often, and no more."""
    drawing = generic_hole(4, 400, read_words("bunker left 230-260, water right 180-300"))
    shape = shape_of(drawing, drawing.middle, STEP)
    bag, greens = usual_bag(HANDICAP), Greens(*usual_putting(HANDICAP))
    batches = _batches_of(lambda: best_play(shape, bag, greens))
    ours, least = in_pairs(lambda: best_play(shape, bag, greens), lambda: _transforms(batches))
    peak = peak_of(lambda: best_play(shape, bag, greens)) / 2**20
    found = {"peak_mb": round(peak), "held": peak <= MOST_MB}
    yield Measured("plan_of_a_hole", ours, least, MOST_OF_TRANSFORMS, more=found)


def _batches_of(run: Callable[[], object]) -> list[Batch]:
    found = []

    class Noting(Plane):
        def expectations(self, waves: Waves, filters: Waves) -> Maps:
            found.append(Batch(len(filters), self.size))
            return super().expectations(waves, filters)

    with patch.object(value, "Plane", Noting):
        run()
    return found


def _transforms(batches: list[Batch]) -> None:
    for batch in batches:
        rows, columns = batch.size
        waves = np.ones((rows, columns // 2 + 1), dtype=np.complex64)
        filters = np.ones((batch.patterns, *waves.shape), dtype=np.complex64)
        fft.irfft2(waves[None] * filters, s=batch.size, overwrite_x=True)


PLANS: dict[str, Callable[[], Iterator[Measured]]] = {"plan_of_a_hole": plan_of_a_hole}
