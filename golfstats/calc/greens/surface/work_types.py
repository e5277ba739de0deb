"""Kinds of green work: how hard each disturbs the surface, how long it heals, and where that is known from.

Severity is the surface disturbance on the day of the work, 0 … 1. No publication measures it, so the
severities are our judgement, on the scale "1 = greens just cored with half-inch tines or larger"; a club
replaces them. Recovery days are the middle of the published or usual range; ``source`` and ``confidence``
speak for that range and for the area.
"""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from functools import cache
from importlib import resources

FULL_CORING_AREA_PERCENT = 8.7
"""Area affected by half-inch tines at 1.5 in spacing: severity 1."""


@dataclass(frozen=True)
class WorkType:
    """One kind of green work with its defaults."""

    kind: str
    words: str
    description: str
    severity: float
    recovery_days: float
    recovery_days_range: tuple[float, float]
    area_percent_range: tuple[float, float] | None
    """Share of the surface affected, percent; covered rather than removed for sand and seed."""
    source: str
    confidence: str


@cache
def work_types() -> dict[str, WorkType]:
    """Every known kind of work by its key."""
    text = resources.files(__package__).joinpath("work_types.csv").read_text(encoding="utf-8")
    return {row["kind"]: _work_type(row) for row in csv.DictReader(text.splitlines())}


def _work_type(row: dict[str, str]) -> WorkType:
    area = (
        (float(row["area_percent_min"]), float(row["area_percent_max"])) if row["area_percent_min"] else None
    )
    return WorkType(
        kind=row["kind"],
        words=row["words"],
        description=row["description"],
        severity=float(row["severity"]),
        recovery_days=float(row["recovery_days"]),
        recovery_days_range=(float(row["recovery_days_min"]), float(row["recovery_days_max"])),
        area_percent_range=area,
        source=row["source"],
        confidence=row["confidence"],
    )


def coring_area_percent(diameter: float, spacing: float, spacing_across: float | None = None) -> float:
    """Percent of the surface affected by tines: π(d/2)² ÷ (spacing along × spacing across).

    All lengths in one unit; ``spacing_across`` equals ``spacing`` where it is not given. With the outside
    diameter it is the area disturbed, with the bore the area removed. ``ValueError`` for lengths that are
    not positive and for holes that would overlap.
    """
    across = spacing if spacing_across is None else spacing_across
    if min(diameter, spacing, across) <= 0:
        raise ValueError("diameter and spacing must be above zero")
    if diameter > min(spacing, across):
        raise ValueError("tines this wide would overlap at this spacing")
    return 100 * math.pi * (diameter / 2) ** 2 / (spacing * across)


def coring_severity(area_percent: float) -> float:
    """Surface disturbance of a fresh coring from the area it affects.

    The share of ball tracks that meet a row of holes goes as diameter ÷ spacing, which is the square root
    of the area; 1 from half-inch tines at 1.5 in spacing on. Our reasoning, no source.
    """
    if area_percent < 0:
        raise ValueError("area must not be negative")
    return min(1.0, math.sqrt(area_percent / FULL_CORING_AREA_PERCENT))
