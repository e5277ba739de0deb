"""What disturbed greens cost a club's members: the posterior, and the figures that come from it.

:mod:`golfstats.calc.greens.estimate` makes it. It is a mixture of normal posteriors over the recovery time and the
way the effect arises, with what is left of the probability on no effect at all.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from golfstats.calc.figure import Figure
from golfstats.calc.greens.cost import PuttCost, putt_cost
from golfstats.calc.greens.disturbance import share_left
from golfstats.calc.greens.mixture import Mixture
from golfstats.calc.greens.putts import EDGES_FT
from golfstats.calc.greens.work_types import work_types
from golfstats.calc.record import Floats

CLAIM = 0.9
"""An effect is claimed only at this posterior probability or more."""
MINIMUM_ROUNDS, MINIMUM_DAYS, MINIMUM_DISTURBANCE = 12, 3, 0.05
"""Rounds and course-days on greens disturbed by at least this much, below which it is "too few"."""
MIDDLES_FT = np.sqrt(EDGES_FT[1:] * EDGES_FT[:-1])
"""Distance that stands for each distance bin."""
STROKES = "strokes a round"

cached_cost = lru_cache(maxsize=64)(putt_cost)


@dataclass(frozen=True)
class Components:
    """The normal parts of the mixture. Equally long columns."""

    weight: Floats
    """Posterior probability; the sum falls short of 1 by the probability of no effect."""
    mean: Floats
    """Growth of the direction and of the distance spread at full disturbance, components × 2."""
    covariance: Floats
    """Components × 2 × 2."""
    scale: Floats
    """Recovery days as a multiple of the default."""


@dataclass(frozen=True)
class GreensEffect:
    """The posterior of one club, over all its green work or over one kind of it."""

    rounds: int
    """Rounds on disturbed greens: what the answer rests on."""
    days: int
    """Course-days with disturbed greens."""
    putts: int
    """Putts in the fit, from disturbed and undisturbed greens."""
    direction_sd: float
    """The club's usual direction spread on undisturbed greens, radians."""
    distance_sd: float
    """The club's usual distance spread on undisturbed greens, share of the roll."""
    day_sd: float
    """How much whole days differ for other reasons: spread of the logarithm of both putting spreads."""
    first_putts: Floats
    """First putts a round of 18 holes by distance bin."""
    components: Components

    @property
    def probability(self) -> float:
        """Posterior probability of any effect."""
        return float(np.sum(self.components.weight))

    @property
    def enough(self) -> bool:
        return self.rounds >= MINIMUM_ROUNDS and self.days >= MINIMUM_DAYS

    @property
    def claimed(self) -> bool:
        """The club's putts show that full disturbance costs strokes."""
        low = self.strokes_per_round(1.0).low
        return self.probability >= CLAIM and low is not None and low > 0

    @property
    def cost(self) -> PuttCost:
        """What wider spreads cost the club's usual member."""
        return cached_cost(self.direction_sd, self.distance_sd)

    def growth(self) -> tuple[Figure, Figure]:
        """Growth of the direction and of the distance spread at full disturbance, as shares."""
        parts = self.components
        direction, distance = (
            self.figure(parts.mean[:, axis], parts.covariance[:, axis, axis], "share") for axis in (0, 1)
        )
        return direction, distance

    def strokes_per_round(self, disturbance: float) -> Figure:
        """Strokes lost a round by the usual member on greens disturbed this much, 0 … 1."""
        return self.strokes(
            MIDDLES_FT, self.first_putts, np.full((len(self.components.scale), 1), disturbance)
        )

    def strokes_after(self, days: float, kind: str, severity: float | None = None) -> Figure:
        """Strokes lost a round this many days after work of a kind, at its default severity if none is given."""
        work = work_types()[kind]
        strength = work.severity if severity is None else severity
        left = strength * share_left(np.asarray(days, float), work.recovery_days * self.components.scale)
        return self.strokes(MIDDLES_FT, self.first_putts, left[:, None])

    def recovery_days(self, kind: str) -> Figure:
        """Recovery days of a kind of work, if there is an effect."""
        if not self.enough:
            return Figure.too_few(self.rounds, MINIMUM_ROUNDS, "days")
        days = work_types()[kind].recovery_days * self.components.scale
        scales = np.unique(self.components.scale)
        # Each recovery time tried stands for those up to halfway to its neighbours: a uniform's variance.
        step = np.log(scales[1] / scales[0])
        share = self.components.weight / max(self.probability, 1e-300)
        return self._figure(Mixture.with_spike(share, days, (days * step) ** 2 / 12), "days")

    def strokes(self, distance_ft: Floats, count: Floats, disturbance: Floats) -> Figure:
        """Strokes that disturbance costs over first putts from these distances, each ``count`` times.

        ``disturbance`` is components × putts (or components × 1): each component has its own recovery time.
        """
        value, variance = self.strokes_by_component(distance_ft, count, disturbance)
        return self.figure(value, variance, STROKES)

    def strokes_by_component(
        self, distance_ft: Floats, count: Floats, disturbance: Floats
    ) -> tuple[Floats, Floats]:
        """Mean and variance of those strokes within each component (delta method)."""
        parts = self.components
        u, v = parts.mean[:, :1] * disturbance, parts.mean[:, 1:] * disturbance
        extra, by_u, by_v = self.cost.per_putt(distance_ft, u, v)
        slopes = np.stack(
            [np.sum(slope * disturbance * count, axis=1) for slope in (by_u, by_v)],
            axis=1,
        )
        variance = np.einsum("ki,kij,kj->k", slopes, parts.covariance, slopes)
        return np.sum(extra * count, axis=1), variance

    def figure(self, value: Floats, variance: Floats, unit: str) -> Figure:
        """A figure from its mean and variance by component; zero where there is no effect."""
        return self._figure(Mixture.with_spike(self.components.weight, value, variance), unit)

    def _figure(self, mixture: Mixture, unit: str) -> Figure:
        if not self.enough:
            return Figure.too_few(self.rounds, MINIMUM_ROUNDS, unit)
        low, high = mixture.interval()
        return Figure(mixture.mean, low, high, self.rounds, MINIMUM_ROUNDS, unit)

    def stored(self) -> dict[str, Any]:
        """As numbers and lists, for a JSON column."""
        plain = {name: getattr(self, name) for name in _PLAIN}
        parts = {name: getattr(self.components, name).tolist() for name in _PARTS}
        return {**plain, "first_putts": self.first_putts.tolist(), "components": parts}

    @classmethod
    def restored(cls, stored: Mapping[str, Any]) -> GreensEffect:
        """The reverse of :meth:`stored`."""
        parts = {name: np.array(stored["components"][name], dtype=np.float64) for name in _PARTS}
        return cls(
            **{name: stored[name] for name in _PLAIN},
            first_putts=np.array(stored["first_putts"], dtype=np.float64),
            components=Components(**parts),
        )


_PLAIN = ("rounds", "days", "putts", "direction_sd", "distance_sd", "day_sd")
_PARTS = ("weight", "mean", "covariance", "scale")


def too_few_effect(rounds: int, days: int, putts: int) -> GreensEffect:
    """The answer of a club with too few rounds on disturbed greens: every figure says "too few"."""
    none = Components(np.zeros(1), np.zeros((1, 2)), np.zeros((1, 2, 2)), np.ones(1))
    return GreensEffect(rounds, days, putts, 0.027, 0.13, 0.0, np.zeros(len(MIDDLES_FT)), none)
