"""A test that stays valid however often one looks, and the interval that goes with it.

Who looks at a trial after every round and stops when it pleases finds a difference sooner or later even where
there is none, if each look is a test of its own. Evidence against "no difference" in a linear model is here the
likelihood under a normal prior for the difference (in units of a shot's or round's spread) over the likelihood
without it: for normal errors its expectation is at most 1 at whatever moment one stops, so that it passes
1 / level with a chance of at most ``level`` in the whole life of a trial. With robust errors, as used here, that
holds in the limit. (Howard et al. 2021 for the known spread; Lindon, Ham, Tingley and Bojinov 2022 for linear
models with unknown spread, from memory.)

    E = sqrt(k) ((v + t²) / (v + k t²))^((v + 1) / 2),   k = r / (r + V)

with t the ratio of the difference to its error, v the degrees of freedom, V the information (the sum of squares
of what the other columns leave of the tag) and r the prior precision.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


def precision_for(planned: float, level: float) -> float:
    """The prior precision whose intervals are the shortest when the information is ``planned`` (Howard et al.)."""
    log = 2 * math.log(1 / level)
    return planned / (log + math.log(1 + log))


@dataclass(frozen=True)
class Evidence:
    """A difference with what is needed to test it at any time."""

    difference: float
    error: float
    freedom: float
    information: float
    precision: float
    """Of the prior; chosen before any shot is played."""

    @property
    def ratio(self) -> float:
        return self.difference / self.error

    def against_none(self) -> float:
        """Evidence against there being no difference: 20 or more is told at the 5% level."""
        return self._evidence(self.ratio)

    def p_value(self) -> float:
        """Valid whenever one stops."""
        return min(1.0, 1 / self.against_none())

    def half_width(self, level: float) -> float | None:
        """Half the width of the interval that holds at all times together with chance 1 - ``level``.

        ``None`` while no difference, however large, could be told.
        """
        kept = self._kept()
        bar = (1 / (level * math.sqrt(kept))) ** (2 / (self.freedom + 1))
        if bar * kept >= 1:
            return None
        return self.error * math.sqrt(self.freedom * (bar - 1) / (1 - bar * kept))

    def after(self, times: float, more_freedom: float, luck: float) -> float:
        """Evidence with ``times`` as much information, if the difference stays and luck takes ``luck`` errors off."""
        ahead = Evidence(
            self.difference,
            self.error / math.sqrt(times),
            self.freedom + more_freedom,
            self.information * times,
            self.precision,
        )
        return ahead._evidence(max(abs(ahead.ratio) - luck, 0.0))

    def _kept(self) -> float:
        return self.precision / (self.precision + self.information)

    def _evidence(self, ratio: float) -> float:
        kept, square = self._kept(), ratio**2
        log = (self.freedom + 1) / 2 * math.log((self.freedom + square) / (self.freedom + kept * square))
        return math.sqrt(kept) * math.exp(min(log, 600.0))
