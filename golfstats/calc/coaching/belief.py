"""What is believed about one number: a mixture of Student's t distributions."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy import special

from golfstats.calc.coaching.words import Better
from golfstats.calc.figure import Figure, never_certain, t_half_width
from golfstats.calc.record import Floats
from golfstats.calc.units import Unit


@dataclass(frozen=True)
class Belief:
    """Components with their probabilities, means and squared scales, and one number of degrees of freedom."""

    probability: Floats
    mean: Floats
    scale_squared: Floats
    freedom: float

    @property
    def value(self) -> float:
        return float(self.probability @ self.mean)

    @property
    def spread(self) -> float:
        """Scale of the one t distribution with the mixture's mean and variance."""
        about_zero = self.probability @ (self.scale_squared + self.mean**2)
        return math.sqrt(max(float(about_zero) - self.value**2, 0.0))

    def chance_below(self, limit: float) -> float:
        scale = np.sqrt(np.maximum(self.scale_squared, 1e-300))
        return float(self.probability @ special.stdtr(self.freedom, (limit - self.mean) / scale))

    def chance_better_than(self, limit: float, better: Better) -> float:
        """Never certain (:func:`~golfstats.calc.figure.never_certain`)."""
        below = never_certain(self.chance_below(limit))
        return below if better == "lower" else 1 - below

    def shifted(self, by: float) -> Belief:
        return Belief(self.probability, self.mean + by, self.scale_squared, self.freedom)

    def mixed_with(self, other: Belief, chance: float) -> Belief:
        """This, but with a chance the other."""
        return Belief(
            np.concatenate([(1 - chance) * self.probability, chance * other.probability]),
            np.concatenate([self.mean, other.mean]),
            np.concatenate([self.scale_squared, other.scale_squared]),
            min(self.freedom, other.freedom),
        )

    def figure(self, n: int, unit: Unit, minimum_n: int) -> Figure:
        if n < minimum_n:
            return Figure.too_few(n, minimum_n, unit)
        half = t_half_width(self.freedom) * self.spread
        return Figure(self.value, self.value - half, self.value + half, n, minimum_n, unit)
