"""From just off a disturbed green, putt or chip? The club's own shots answer, when there are enough."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from golfstats.calc.figure import Figure, difference_like_with_like
from golfstats.calc.greens.effect.posterior import MINIMUM_DISTURBANCE
from golfstats.calc.greens.surface.disturbance import Recovery, Work, recovery_days, surface_disturbance
from golfstats.calc.record import Bools, Floats, Ints, Table
from golfstats.calc.units import Unit
from golfstats.calc.vocabulary import Lie

LONGEST_YARDS = 20.0
"""Farthest from the hole that still counts as just off the green, with a lie of fringe, fairway or rough."""
NEAR_LIES = (Lie.FRINGE, Lie.FAIRWAY, Lie.ROUGH)
MINIMUM_SHOTS = 30
"""Of each way, below which it is "too few"."""
BANDS_YARDS = np.array([0.0, 5.0, 8.0, 12.0, LONGEST_YARDS])
UNIT = Unit.STROKES_A_SHOT


@dataclass(frozen=True)
class NearShots(Table):
    """Shots from off the green. Equally long columns."""

    player: Ints
    round: Ints
    lie: Ints
    distance: Floats
    """Yards to the hole."""
    putted: Bools
    """Played with the putter."""
    strokes_gained: Floats
    disturbance: Floats
    """Surface disturbance of that hole's green that day."""


def disturbed_days(works: Sequence[Work], recovery: Recovery) -> Ints:
    """Days (``date.toordinal()``) on which some green may be disturbed enough, the earliest first.

    Shots of other days change nothing in the answer.
    """
    if not works:
        return np.zeros(0, dtype=np.int64)
    felt = [np.arange(one.start, one.end + math.ceil(recovery_days(one.kind, recovery)) + 1) for one in works]
    days = np.unique(np.concatenate(felt))
    # No green has more of it than one on which all of the work was done.
    on_every_green = [replace(one, holes=None) for one in works]
    disturbance = surface_disturbance(on_every_green, days, np.zeros_like(days), recovery)
    return np.asarray(days[disturbance >= MINIMUM_DISTURBANCE], dtype=np.int64)


def putting_against_chipping(shots: NearShots) -> Figure:
    """Mean strokes gained of putting minus chipping on disturbed greens; positive favours the putter.

    Like is compared with like: within player's own shots, from the same lie and band of distance (least squares
    with those as levels), so that good chippers and easy shots do not decide. The interval lets shots of one player
    go together. ``n`` counts the shots that had something to be compared with.
    """
    shots = shots.select(
        np.isin(shots.lie, NEAR_LIES)
        & (shots.distance <= LONGEST_YARDS)
        & (shots.disturbance >= MINIMUM_DISTURBANCE)
        & np.isfinite(shots.strokes_gained)
    )
    shots = shots.select(_comparable(shots))
    putted = int(np.sum(shots.putted))
    players = len(np.unique(shots.player))
    if min(putted, len(shots) - putted) < MINIMUM_SHOTS or players < 3:
        return Figure.too_few(min(putted, len(shots) - putted), MINIMUM_SHOTS, UNIT)
    levels = np.column_stack([_levels(shots.player), _levels(_place(shots))])
    difference, half = difference_like_with_like(
        shots.strokes_gained, shots.putted.astype(np.float64), levels, shots.player
    )
    return Figure(difference, difference - half, difference + half, len(shots), MINIMUM_SHOTS, UNIT)


def _place(shots: NearShots) -> Ints:
    """Number of the lie and band of distance."""
    place: Ints = shots.lie * len(BANDS_YARDS) + np.digitize(shots.distance, BANDS_YARDS)
    return place


def _comparable(shots: NearShots) -> Bools:
    """Shots from a lie and band of distance where both ways were played."""
    place = _place(shots)
    both = np.intersect1d(place[shots.putted], place[~shots.putted])
    return np.asarray(np.isin(place, both), dtype=np.bool_)


def _levels(group: Ints) -> Floats:
    return np.asarray(group[:, None] == np.unique(group)[None, :], dtype=np.float64)
