"""A posterior that is a mixture of normals and a lump at exactly zero."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import optimize, special

from golfstats.calc.figure import INTERVAL
from golfstats.calc.record import Floats


@dataclass(frozen=True)
class Mixture:
    """Weights (sum 1), means and standard deviations; a deviation of zero is a lump."""

    weight: Floats
    centre: Floats
    sd: Floats

    @classmethod
    def with_spike(cls, weight: Floats, centre: Floats, variance: Floats) -> Mixture:
        """Normals of these weights, and what is missing to 1 as a lump at zero."""
        spike = max(0.0, 1.0 - float(np.sum(weight)))
        return cls(
            np.append(weight, spike), np.append(centre, 0.0), np.append(np.sqrt(np.maximum(variance, 0)), 0.0)
        )

    @property
    def mean(self) -> float:
        return float(np.sum(self.weight * self.centre))

    def chance_up_to(self, value: float) -> float:
        """Posterior probability of this value or less."""
        lumps = self.sd == 0
        below = np.where(lumps, value >= self.centre, 0.0)
        spread = ~lumps
        below[spread] = special.ndtr((value - self.centre[spread]) / self.sd[spread])
        return float(np.sum(self.weight * below))

    def quantile(self, probability: float) -> float:
        """Smallest value with at least this posterior probability up to it."""
        reach = 9 * float(np.max(self.sd)) + 1e-9
        low, high = float(np.min(self.centre)) - reach, float(np.max(self.centre)) + reach
        for lump in np.unique(self.centre[self.sd == 0]):
            if self.chance_up_to(np.nextafter(lump, -np.inf)) < probability <= self.chance_up_to(lump):
                return float(lump)
        return float(optimize.brentq(lambda value: self.chance_up_to(value) - probability, low, high))

    def interval(self) -> tuple[float, float]:
        """The central 90% interval."""
        return self.quantile((1 - INTERVAL) / 2), self.quantile((1 + INTERVAL) / 2)
