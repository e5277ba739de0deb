"""Parts of the game, and strokes gained added up by part for each hole and each round."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from golfstats.calc.record import Bools, Codes, Floats, Ints, Record
from golfstats.calc.strokes.gained import covered_holes, estimated_holes
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
    estimated: Ints
    """How many of those end in an estimate, because the ball was picked up."""

    @property
    def total(self) -> Floats:
        """Strokes gained over all parts, one value a row."""
        return np.asarray(self.gained.sum(axis=1))


def whole_holes(record: Record, strokes_gained: Floats) -> Bools:
    """Covered holes all of whose shots have a value: those that sums may be made of."""
    unvalued = np.bincount(record.shots.hole[np.isnan(strokes_gained)], minlength=len(record.holes))
    return np.asarray(covered_holes(record) & (unvalued == 0))


def totals_by_hole(record: Record, strokes_gained: Floats, part: Ints) -> PartTotals:
    """Sums for every row of ``record.holes``."""
    return _totals(record, np.arange(len(record.holes)), len(record.holes), strokes_gained, part)


def totals_by_round(record: Record, strokes_gained: Floats, part: Ints) -> PartTotals:
    """Sums for every row of ``record.rounds``, with the number of holes each covers."""
    return _totals(record, record.holes.round, len(record.rounds), strokes_gained, part)


def _totals(record: Record, row_of_hole: Ints, rows: int, gained: Floats, part: Ints) -> PartTotals:
    whole = whole_holes(record, gained)
    counted = whole[record.shots.hole]
    cell = row_of_hole[record.shots.hole[counted]] * len(Part) + part[counted]
    cells = rows * len(Part)
    sums = np.bincount(cell, weights=gained[counted], minlength=cells).reshape(rows, len(Part))
    shots = np.bincount(cell, minlength=cells).reshape(rows, len(Part))
    holes = np.bincount(row_of_hole[whole], minlength=rows)
    estimated = np.bincount(row_of_hole[whole & estimated_holes(record)], minlength=rows)
    return PartTotals(np.where(holes[:, None] > 0, sums, np.nan), shots, holes, estimated)
