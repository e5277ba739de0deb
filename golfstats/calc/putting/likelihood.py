"""How likely a player's putts are under every pair of spreads on a grid.

A putt tells twice: whether it dropped, and where it finished if not. Both are counted in cells (a
distance before and an outcome), and the logarithm of every cell's chance is tabulated once over the
grid of spreads, so that a player's log-likelihood is one product of counts and table.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from golfstats.calc.putting.leave import leave_probabilities
from golfstats.calc.putting.make_model import log_make_and_miss
from golfstats.calc.record import Bools, Floats, Ints, Record, Table
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Lie

LOG_DIRECTION = np.log(np.radians(np.geomspace(0.4, 8.0, 26)))
LOG_DISTANCE = np.log(np.geomspace(0.03, 0.5, 24))
"""Grid of the two spreads as logarithms (radians, and a fraction of the roll)."""

NODES_FT = np.geomspace(0.5, 120.0, 61)
"""Distances of the table. A putt between two counts for both, in proportion."""
LEAVE_EDGES_FT = np.array([0, 1.5, 2.5, 3.5, 4.5, 5.5, 6.5, 7.5, 8.5, 10.5, 12.5, 15.5, 20.5, 30.5, np.inf])
"""Cells of the distance left. Golfers write down whole feet, so the edges are halves."""
MADE, LEAVE_UNKNOWN, FIRST_LEAVE = 0, 1, 2
OUTCOMES = FIRST_LEAVE + len(LEAVE_EDGES_FT) - 1

STRAY_SHARE = 0.001
"""Share of putts taken to be stray (a slip of the pen, a flinch): they end anywhere. Without it one
wrong number would outweigh a season; with it the distance spread reads less than 1% too small."""


@dataclass(frozen=True)
class Putts(Table):
    """Putts of one or more players. Equally long columns."""

    player: Ints
    distance_ft: Floats
    holed: Bools
    leave_ft: Floats
    """Distance left; 0 when holed, NaN when not recorded."""
    round: Ints
    hole: Ints
    """Number of the hole as played, each its own; putts of one hole are in order of play."""


def putts_of(record: Record) -> Putts:
    """The strokes made on the green with a known distance, each under the number of its player."""
    shots = record.shots
    putts = np.flatnonzero((shots.lie == Lie.GREEN) & (shots.distance > 0))
    return Putts(
        player=record.rounds.player[shots.round[putts]],
        distance_ft=shots.distance[putts] * FEET_PER_YARD,
        holed=shots.holed[putts],
        leave_ft=shots.distance_after[putts] * FEET_PER_YARD,
        round=shots.round[putts],
        hole=shots.hole[putts],
    )


def log_likelihood(putts: Putts) -> Floats:
    """Log-likelihood of each player's putts over the grid.

    ``putts.player`` numbers the players from 0. Shape: players, direction spreads, distance spreads.
    """
    players = int(putts.player.max(initial=-1)) + 1
    if players == 0:
        return np.empty((0, len(LOG_DIRECTION), len(LOG_DISTANCE)))
    position = np.interp(np.log(putts.distance_ft), np.log(NODES_FT), np.arange(len(NODES_FT)))
    lower = np.minimum(position.astype(np.int64), len(NODES_FT) - 2)
    share = position - lower
    cell = (putts.player * len(NODES_FT) + lower) * OUTCOMES + _outcome(putts)
    cells = players * len(NODES_FT) * OUTCOMES
    counts = np.bincount(cell, 1 - share, cells) + np.bincount(cell + OUTCOMES, share, cells)
    table = log_cell_table()
    values: Floats = counts.reshape(players, -1) @ table
    return values.reshape(players, len(LOG_DIRECTION), len(LOG_DISTANCE))


def _outcome(putts: Putts) -> Ints:
    leave = np.nan_to_num(putts.leave_ft, nan=0.0)
    missed = FIRST_LEAVE + np.searchsorted(LEAVE_EDGES_FT, leave, side="right") - 1
    missed = np.where(np.isnan(putts.leave_ft), LEAVE_UNKNOWN, missed)
    return np.where(putts.holed, MADE, missed)


@cache
def log_cell_table() -> Floats:
    """Log chance of every cell for every pair of spreads: (distance x outcome) rows, grid columns.

    Takes a second, once a process.
    """
    columns = [
        _cell_chances(direction_sd, distance_sd)
        for direction_sd in np.exp(LOG_DIRECTION)
        for distance_sd in np.exp(LOG_DISTANCE)
    ]
    table: Floats = np.log(np.stack(columns, axis=-1))
    return table


def _cell_chances(direction_sd: float, distance_sd: float) -> Floats:
    log_make, log_miss = log_make_and_miss(NODES_FT, direction_sd, distance_sd)
    chances = np.empty((len(NODES_FT), OUTCOMES))
    chances[:, MADE] = np.exp(log_make)
    chances[:, LEAVE_UNKNOWN] = np.exp(log_miss)
    chances[:, FIRST_LEAVE:] = leave_probabilities(NODES_FT, LEAVE_EDGES_FT, direction_sd, distance_sd)
    ends = OUTCOMES - FIRST_LEAVE + 1  # holed, or in one of the cells of the distance left
    stray = np.full(OUTCOMES, STRAY_SHARE / ends)
    stray[LEAVE_UNKNOWN] = STRAY_SHARE * (ends - 1) / ends
    return np.ravel((1 - STRAY_SHARE) * chances + stray)
