"""Surface disturbance of a green on a day: 0 undisturbed … 1 just cored.

While work lasts the disturbance is its severity. Afterwards it falls as (1 - days since ÷ recovery days)²
and is 0 from the recovery day on. The curve is quick at first and flat at the end, like green cover after
hollow coring: 27–38% at once, 85–90% on day 7 (HortTechnology, October 2022). Works that overlap combine
as 1 - Π(1 - d): each disturbs what the others left sound.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from golfstats.calc.greens.surface.work_types import work_types
from golfstats.calc.record import Bools, Floats, Ints


@dataclass(frozen=True)
class Work:
    """Work on one course's greens from the start day to the end day (``date.toordinal()``), both included."""

    kind: str
    start: int
    end: int
    holes: frozenset[int] | None = None
    """Hole numbers worked on; ``None`` means every green."""
    severity: float | None = None
    """0 … 1; the kind's default where ``None``."""

    def __post_init__(self) -> None:
        if self.kind not in work_types():
            raise ValueError(f"unknown kind of green work: {self.kind}")
        if self.end < self.start:
            raise ValueError("work cannot end before it starts")
        if self.severity is not None and not 0 <= self.severity <= 1:
            raise ValueError("severity must be from 0 to 1")

    @property
    def strength(self) -> float:
        return work_types()[self.kind].severity if self.severity is None else self.severity


Recovery = Mapping[str, float]
"""Recovery days by kind of work, where the club's own data have replaced the default."""


def recovery_days(kind: str, recovery: Recovery | None = None) -> float:
    """The club's recovery days for a kind of work, or the default."""
    default = work_types()[kind].recovery_days
    return default if recovery is None else recovery.get(kind, default)


def share_left(days_since: Floats, recovery: Floats | float) -> Floats:
    """Share of the disturbance that is left: 1 up to the last day of work, 0 from the recovery day on.

    Negative ``days_since`` are days during the work. Before the work starts is the caller's business.
    """
    healed = np.clip(days_since / np.maximum(recovery, 1e-9), 0.0, 1.0)
    left: Floats = (1.0 - healed) ** 2
    return left


def combined(parts: Floats) -> Floats:
    """Disturbances of several works (last axis) combined: 1 - Π(1 - d)."""
    together: Floats = 1.0 - np.prod(1.0 - parts, axis=-1)
    return together


def days_since(works: Sequence[Work], day: Ints, hole: Ints) -> Floats:
    """Days since the end of each work, queries × works; 0 during it, ∞ before it or on other greens."""
    day, hole = np.broadcast_arrays(np.asarray(day), np.asarray(hole))
    since = np.full((day.size, len(works)), np.inf)
    for column, work in enumerate(works):
        touched: Bools = day >= work.start
        if work.holes is not None:
            touched = touched & np.isin(hole, list(work.holes))
        since[touched, column] = np.maximum(day[touched] - work.end, 0)
    return since


def surface_disturbance(
    works: Sequence[Work], day: Ints, hole: Ints, recovery: Recovery | None = None
) -> Floats:
    """Surface disturbance 0 … 1 of one course's greens for many (day, hole) queries."""
    strength = np.array([work.strength for work in works])
    recovery_of = np.array([recovery_days(work.kind, recovery) for work in works])
    return combined(strength * share_left(days_since(works, day, hole), recovery_of))
