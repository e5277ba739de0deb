"""Putts that a round took beyond what its first putts usually take here: what the event study explains.

Expected putts by distance are the club's own means in equally filled bins, so nothing rests on the shape of a make
curve. A player who is weak from one range only would look worse on days with many such putts; the deviation of
each player's three ranges from the player's own mean is taken off, shrunk by how much players differ.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from golfstats.calc.greens.effect.putts import EDGES_FT, Putts
from golfstats.calc.record import Floats, Ints, Table

BINS = 24
RANGES_FT = (12.0, 30.0)
"""Where a player's short, middle and long first putts part."""
LEAST_HOLES = 5
"""Rounds with fewer holes putted out on record say too little."""


@dataclass(frozen=True)
class RoundPutts(Table):
    """Rounds with enough holes putted. Equally long columns."""

    round: Ints
    player: Ints
    course: Ints
    day: Ints
    holes: Floats
    surplus: Floats
    """Putts above expectation over 18 holes."""
    speed_ft: Floats
    """Stimpmeter speed of the course that day; NaN where not measured."""


@dataclass(frozen=True)
class HolePutts(Table):
    """Holes putted out. Equally long columns; ``row`` is the place of its round in the rounds."""

    row: Ints
    hole: Ints
    first_ft: Floats
    surplus: Floats


def round_putts(putts: Putts) -> tuple[RoundPutts, HolePutts]:
    """Rounds and holes with what each took beyond expectation; ``ValueError`` where no putt is usable."""
    known = np.isfinite(putts.distance_ft) & (putts.distance_ft > 0)
    putts = putts.select(known)
    of_hole = putts.round * (1 + putts.hole.max(initial=0)) + putts.hole
    count = np.bincount(of_hole).astype(np.float64)
    first = np.flatnonzero(putts.first)
    # A hole without its first putt, or given up on the green, says nothing of how many it takes.
    finished = np.bincount(of_hole, weights=putts.holed) > 0
    first = first[finished[of_hole[first]]]
    if not len(first):
        raise ValueError("no hole was putted out")
    taken, first_ft = count[of_hole[first]], putts.distance_ft[first]
    surplus = taken - _usual(first_ft, taken)
    _, player = np.unique(putts.player[first], return_inverse=True)
    surplus = surplus - _shape(player, first_ft, surplus)

    rounds, at, row = np.unique(putts.round[first], return_index=True, return_inverse=True)
    holes = np.bincount(row).astype(np.float64)
    per_round = RoundPutts(
        round=rounds,
        player=player[at],
        course=putts.course[first][at],
        day=putts.day[first][at],
        holes=holes,
        surplus=np.bincount(row, weights=surplus) / holes * 18,
        speed_ft=putts.speed_ft[first][at],
    )
    per_hole = HolePutts(row, putts.hole[first], first_ft, surplus)
    enough = holes >= LEAST_HOLES
    place = np.cumsum(enough) - 1
    kept = per_hole.select(enough[row])
    return per_round.select(enough), HolePutts(place[kept.row], kept.hole, kept.first_ft, kept.surplus)


def first_putts_by_distance(first_ft: Floats) -> Floats:
    """First putts a round of 18 holes by the distance bins of :data:`EDGES_FT`."""
    inside = (first_ft >= EDGES_FT[0]) & (first_ft < EDGES_FT[-1])
    counts = np.histogram(first_ft[inside], EDGES_FT)[0]
    return np.asarray(counts / max(len(first_ft), 1) * 18, dtype=np.float64)


def _usual(first_ft: Floats, taken: Floats) -> Floats:
    """Mean putts by distance: straight lines between the means of equally filled bins."""
    edges = np.quantile(first_ft, np.linspace(0, 1, BINS + 1)[1:-1])
    of = np.searchsorted(edges, first_ft, side="right")
    filled = np.unique(of)
    counts = np.bincount(of)
    middle = (np.bincount(of, weights=np.log(first_ft)) / np.maximum(counts, 1))[filled]
    mean = (np.bincount(of, weights=taken) / np.maximum(counts, 1))[filled]
    return np.asarray(np.interp(np.log(first_ft), middle, mean))


def _shape(player: Ints, first_ft: Floats, surplus: Floats) -> Floats:
    """Each hole's share of its player's deviation in its range, shrunk towards the player's own mean."""
    ranges = len(RANGES_FT) + 1
    cell = player * ranges + np.digitize(first_ft, RANGES_FT)
    cells = (int(player.max()) + 1) * ranges
    count = np.bincount(cell, minlength=cells).astype(np.float64)
    own = (np.bincount(player, weights=surplus) / np.bincount(player))[player]
    deviation = np.bincount(cell, weights=surplus - own, minlength=cells) / np.maximum(count, 1)
    within = float(np.var(surplus - own))
    seen = count > 0
    between = max(float(np.average(deviation[seen] ** 2 - within / count[seen], weights=count[seen])), 1e-6)
    shrunk = deviation * between / (between + within / np.maximum(count, 1))
    return np.asarray(shrunk[cell], dtype=np.float64)
