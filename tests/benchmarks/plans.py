"""The plan of a hole against nothing but the transforms that its expectations are, by hand with SciPy."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from unittest.mock import patch

import numpy as np
from scipy import fft

from golfstats.calc.plan.greens import Greens
from golfstats.calc.plan.hole.generic import generic_hole
from golfstats.calc.plan.hole.shape import Maps
from golfstats.calc.plan.hole.words import read_words
from golfstats.calc.plan.kernels import Plane, Waves
from golfstats.calc.plan.shots.prior import usual_bag, usual_putting
from golfstats.calc.plan.whole import DRAWS, HoleQuestion, plan_hole
from tests.benchmarks.kernels import in_pairs
from tests.benchmarks.measuring import Measured
from tests.counting import peak_of

MOST_MB = 300.0
MOST_SECONDS = 3.0
"""Of one core for a hole with all that is said of it: aims by pin, choices, simulated rounds, picture."""
MOST_OF_TRANSFORMS = 6.0
"""Ours makes the patterns, tries every aim and simulates besides (measured: 4.4 times the transforms alone)."""
HANDICAP = 15.0
UNCERTAIN = 0.01
"""Spread of the logarithm of all lengths over the draws of what the player's patterns may be."""


@dataclass(frozen=True)
class Batch:
    """Transforms back that were asked for together."""

    patterns: int
    plane: Plane
    carried: int
    """Waves along the rows that are not nothing."""
    rows: int
    """For which the expectation is asked."""


def plan_of_a_hole() -> Iterator[Measured]:
    """A hole of 400 yards as a worker plans it; the floor multiplies and transforms back as often, and no more."""
    drawing = generic_hole(4, 400, read_words("bunker left 230-260, water right 180-300"))
    rng = np.random.default_rng(5)
    bag, greens = usual_bag(HANDICAP), Greens(*usual_putting(HANDICAP))
    draws = [bag.scaled(length=float(np.exp(UNCERTAIN * rng.standard_normal()))) for _ in range(DRAWS)]
    question = HoleQuestion(1, 4, 400.0, drawing)

    def ours() -> object:
        return plan_hole(question, [bag, *draws], greens, seed=1)

    batches = _batches_of(ours)
    spent, least = in_pairs(ours, lambda: _transforms(batches))
    peak = peak_of(ours) / 2**20
    held = peak <= MOST_MB and spent <= MOST_SECONDS
    found = {"peak_mb": round(peak), "seconds_target": MOST_SECONDS, "held": held}
    yield Measured("plan_of_a_hole", spent, least, MOST_OF_TRANSFORMS, more=found)


def _batches_of(run: Callable[[], object]) -> list[Batch]:
    found: list[Batch] = []
    expectations = Plane.expectations

    def noting(plane: Plane, waves: Waves, filters: Waves, first: int = 0, end: int | None = None) -> Maps:
        given = expectations(plane, waves, filters, first, end)
        found.append(Batch(len(filters), plane, filters.shape[2], given.shape[1]))
        return given

    with patch.object(Plane, "expectations", noting):
        run()
    return found


def _transforms(batches: list[Batch]) -> None:
    for batch in batches:
        rows, columns = batch.plane.size
        waves = np.ones((rows, batch.carried), dtype=np.complex64)
        filters = np.ones((batch.patterns, *waves.shape), dtype=np.complex64)
        by_row = fft.ifft(waves * filters, axis=1, overwrite_x=True)[:, : batch.rows]
        fft.irfft(by_row, n=columns, axis=2)


PLANS: dict[str, Callable[[], Iterator[Measured]]] = {"plan_of_a_hole": plan_of_a_hole}
