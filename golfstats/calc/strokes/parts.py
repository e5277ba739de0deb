"""Parts of the game, and strokes gained added up by part for each hole and each round."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from golfstats.calc.record import Bools, Codes, Floats, Ints, Record
from golfstats.calc.vocabulary import Lie, Part

SHORT_GAME_YARDS = 100.0
"""Broadie (2012): the long game starts more than 100 yards from the hole."""


def parts_of_shots(
    lie: Codes | Ints, distance: Floats, par: Ints, short_game_yards: float = SHORT_GAME_YARDS
) -> Ints:
    """The :class:`Part` of each shot, from the lie and distance (yards) it is played from.

    Putting is every shot from the green (the fringe is not the green). Tee is a tee shot on a par 4
    or 5. A tee shot on a par 3 is an approach however short the hole is, also inside the short-game
    distance. Short game is any other shot from ``short_game_yards`` or nearer, approach the rest.
    """
    from_tee = lie == Lie.TEE
    return np.select(
        [lie == Lie.GREEN, from_tee & (par > 3), ~from_tee & (distance <= short_game_yards)],
        [Part.PUTTING, Part.TEE, Part.SHORT_GAME],
        default=Part.APPROACH,
    ).astype(np.int64)


@dataclass(frozen=True)
class PartTotals:
    """Strokes gained by part; one row a hole or a round, one column a :class:`Part`."""

    gained: Floats
    """0 where the part had no shot; NaN in the whole row where no hole is covered."""
    shots: Ints
    """Number of shots behind each sum."""
    holes: Ints
    """Number of covered holes in each row."""

    @property
    def total(self) -> Floats:
        """Strokes gained over all parts, one value a row."""
        return np.asarray(self.gained.sum(axis=1))


def totals_by_hole(record: Record, strokes_gained: Floats, part: Ints) -> PartTotals:
    """Sums for every row of ``record.holes``."""
    covered = ~np.isnan(strokes_gained)
    return _totals(record.shots.hole, len(record.holes), record.shots.hole, covered, strokes_gained, part)


def totals_by_round(record: Record, strokes_gained: Floats, part: Ints) -> PartTotals:
    """Sums for every row of ``record.rounds``, with the number of holes each covers."""
    covered = ~np.isnan(strokes_gained)
    return _totals(record.shots.round, len(record.rounds), record.shots.hole, covered, strokes_gained, part)


def _totals(row: Ints, rows: int, hole: Ints, covered: Bools, gained: Floats, part: Ints) -> PartTotals:
    cell = row[covered] * len(Part) + part[covered]
    cells = rows * len(Part)
    sums = np.bincount(cell, weights=gained[covered], minlength=cells).reshape(rows, len(Part))
    counts = np.bincount(cell, minlength=cells).reshape(rows, len(Part))
    _, first_shots = np.unique(hole[covered], return_index=True)
    holes = np.bincount(row[covered][first_shots], minlength=rows)
    return PartTotals(np.where(holes[:, None] > 0, sums, np.nan), counts, holes)
