"""Lengths as a club gives and reads them, stored in yards."""

from __future__ import annotations

from golfstats.calc.units import YARDS_PER_METRE
from golfstats.clubs.models import DistanceUnit


def to_yards(length: float, unit: str) -> float:
    return length * YARDS_PER_METRE if unit == DistanceUnit.METRES else length


def from_yards(yards: float, unit: str) -> float:
    """In the club's unit, to a tenth: finer than any hole is measured."""
    return round(yards / YARDS_PER_METRE if unit == DistanceUnit.METRES else yards, 1)
