"""Green speed from stimpmeter distances rolled both ways."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from golfstats.calc.record import Floats

MOST_BETWEEN_BALLS_FT = 8 / 12
"""Three balls that stop farther apart are rolled again (USGA Stimpmeter booklet, as quoted by others)."""
MOST_BETWEEN_WAYS_FT = 18 / 12
"""Means of the two ways that differ by more make the reading doubtful (same booklet)."""


@dataclass(frozen=True)
class SpeedReading:
    """Green speed in stimpmeter feet, and why it is doubtful (no words when it is not)."""

    speed_ft: float
    doubts: tuple[str, ...]

    @property
    def doubtful(self) -> bool:
        return bool(self.doubts)


def sloped_green_speed(up_ft: float, down_ft: float) -> float:
    """Speed on a slope: 2·up·down ÷ (up + down), feet (Brede, Green Section Record 28(6), 1990)."""
    if min(up_ft, down_ft) <= 0:
        raise ValueError("stimpmeter distances must be above zero")
    return 2 * up_ft * down_ft / (up_ft + down_ft)


def read_speed(one_way_ft: Floats, other_way_ft: Floats) -> SpeedReading:
    """Speed from the balls rolled one way and back (usually three each), with the booklet's two doubts.

    On a level spot the sloped-green formula and the mean agree closely, so the formula serves always.
    """
    one_way, other_way = np.asarray(one_way_ft, float), np.asarray(other_way_ft, float)
    if one_way.size == 0 or other_way.size == 0:
        raise ValueError("balls must be rolled both ways")
    if min(one_way.min(), other_way.min()) <= 0:
        raise ValueError("stimpmeter distances must be above zero")
    first, second = float(one_way.mean()), float(other_way.mean())
    doubts = []
    if max(np.ptp(one_way), np.ptp(other_way)) > MOST_BETWEEN_BALLS_FT + 1e-9:
        doubts.append("balls rolled the same way stopped more than 8 in apart")
    if abs(first - second) > MOST_BETWEEN_WAYS_FT + 1e-9:
        doubts.append("the two ways differ by more than 18 in")
    return SpeedReading(sloped_green_speed(first, second), tuple(doubts))
