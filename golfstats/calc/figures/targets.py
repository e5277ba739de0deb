"""Which shots were played at a green or a fairway, and whether they hit it."""

from __future__ import annotations

import numpy as np

from golfstats.calc.record import Bools, Shots
from golfstats.calc.vocabulary import UNKNOWN, Lie

GREENSIDE_YARDS = 50.0
"""Nearer than this a shot is played beside the green: the sand game of Broadie 2012 (from memory), and the
distance of the first default band of approaches. It does not depend on where a club's short game begins,
which may be 100 yards out."""

GREEN_REACH_YARDS = 250.0
"""From farther away nobody can say whether the green was aimed at, unless the player noted a target
or it is the tee shot of a par 3 (common practice, no source)."""

TARGET_MARGIN_YARDS = 20.0
"""A noted target this near the hole's distance is the green (about half the depth of a large one)."""

AT_THE_GREEN = (
    f"At the green are tee shots of par 3 and what is played from within {GREEN_REACH_YARDS:.0f} yards, but not from "
    "recovery or fringe; where a target was noted, it has to be the hole, give or take "
    f"{TARGET_MARGIN_YARDS:.0f} yards."
)
"""For who works a figure out again: :func:`at_green` in words."""


def at_green(shots: Shots) -> Bools:
    """Shots aimed at the green and whose finish is known, from anywhere but the green and its fringe.

    Left out: tee shots of par 4 and 5, lay-ups (a noted target short of the hole), shots from recovery
    and from out of reach without a noted target.
    """
    noted = ~np.isnan(shots.target)
    at_hole = noted & (np.abs(shots.target - shots.distance) <= TARGET_MARGIN_YARDS)
    tee = shots.lie == Lie.TEE
    reachable = (shots.distance <= GREEN_REACH_YARDS) & (shots.lie != Lie.RECOVERY)
    likely = ~noted & (reachable | tee)
    off_green = ~np.isin(shots.lie, [Lie.GREEN, Lie.FRINGE])
    aimed: Bools = (at_hole | likely) & off_green & ~(tee & (shots.par > 3)) & finish_known(shots)
    return aimed


def greenside(shots: Shots) -> Bools:
    """Shots from beside the green: neither putts nor tee shots, from under 50 yards."""
    near: Bools = ~np.isin(shots.lie, [Lie.GREEN, Lie.TEE]) & (shots.distance < GREENSIDE_YARDS)
    return near


def at_fairway(shots: Shots) -> Bools:
    """First shots on par 4 and 5 whose finish is known."""
    aimed: Bools = (shots.number == 1) & (shots.par > 3) & finish_known(shots)
    return aimed


def green_hit(shots: Shots) -> Bools:
    """The shot needed no penalty and finished on the green or in the hole."""
    hit: Bools = ((shots.lie_after == Lie.GREEN) | shots.holed) & (shots.penalty == 0)
    return hit


def fairway_hit(shots: Shots) -> Bools:
    """The shot needed no penalty and finished on fairway, fringe or green, or in the hole."""
    short_grass = np.isin(shots.lie_after, [Lie.FAIRWAY, Lie.FRINGE, Lie.GREEN])
    hit: Bools = (short_grass | shots.holed) & (shots.penalty == 0)
    return hit


def finish_known(shots: Shots) -> Bools:
    known: Bools = (shots.lie_after != UNKNOWN) | shots.holed
    return known
