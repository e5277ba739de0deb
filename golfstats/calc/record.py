"""One player's (or one club's) golf as arrays: rounds, the holes played in them, the shots on those.

Three tables of equally long columns. ``Holes.round`` and ``Shots.round`` are row numbers in
``Rounds``; ``Shots.hole`` is a row number in ``Holes``. Rows are in order of play. Distances
and lengths are yards. A number that was not recorded is NaN, a word that was not recorded is
:data:`~golfstats.calc.vocabulary.UNKNOWN`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

from golfstats.calc.vocabulary import UNKNOWN

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Codes = NDArray[np.int8]
Bools = NDArray[np.bool_]


_NOT_KNOWN: Mapping[str, tuple[Any, Any]] = {
    "Floats": (np.nan, np.float64),
    "Ints": (0, np.int64),
    "Codes": (UNKNOWN, np.int8),
    "Bools": (False, np.bool_),
}
"""By the kind of a column: what stands where nothing is known, and its type."""


@dataclass(frozen=True)
class Table:
    """Base of the column tables: length, row selection, column-by-column stacking."""

    def __len__(self) -> int:
        first = fields(self)[0].name
        return len(getattr(self, first))

    @classmethod
    def unknown(cls, rows: int, **known: Any) -> Self:
        """So many rows of which only these columns are known; a count that is not known is 0, a yes or no is no.

        Columns that are not known take no memory, and cannot be written to.
        """
        values = {f.name: np.array(*_NOT_KNOWN[str(f.type)]) for f in fields(cls)}
        columns = {name: np.broadcast_to(value, rows) for name, value in values.items() if name not in known}
        return cls(**columns, **known)

    def select(self, rows: Bools | Ints) -> Self:
        """The same columns at the given rows (a mask or row numbers)."""
        columns = {f.name: getattr(self, f.name)[rows] for f in fields(self)}
        return type(self)(**columns)


@dataclass(frozen=True)
class Rounds(Table):
    """Rounds in order of play. One row a round."""

    player: Ints
    """Number of the player (all 0 in one player's record)."""
    day: Ints
    """Date of play as a day number (``date.toordinal()``)."""
    course: Ints
    """Number of the course; the meaning is the caller's."""
    counting: Bools
    """Counts for handicap."""
    competition: Bools
    start_hour: Floats
    """Local start time in hours; NaN if not recorded."""
    temperature: Floats
    """Degrees Celsius; NaN if not recorded."""
    wind_speed: Floats
    """Miles an hour over the round; NaN if not recorded."""


@dataclass(frozen=True)
class Holes(Table):
    """Holes as played. One row a hole that was started."""

    round: Ints
    number: Ints
    par: Ints
    length: Floats
    score: Ints
    """Strokes with penalties; the most likely score where the ball was picked up."""
    picked_up: Bools
    putts: Ints
    """Strokes from the green; UNKNOWN where nobody noted them."""
    penalties: Ints
    """Penalty strokes; UNKNOWN where nobody noted them."""
    fairway_hit: Codes
    """1 hit, 0 missed, UNKNOWN not noted or a par 3."""
    green_in_regulation: Codes
    """1 on the green in par minus two or fewer, 0 not, UNKNOWN not noted."""
    complete: Bools
    """Every shot is recorded, from the tee until the ball was holed."""


@dataclass(frozen=True)
class Shots(Table):
    """Shots in order of play. One row a stroke made at the ball; penalty strokes are a column."""

    round: Ints
    hole: Ints
    number: Ints
    """1, 2, 3 … within the hole."""
    par: Ints
    lie: Codes
    distance: Floats
    """To the hole before the shot."""
    lie_after: Codes
    """Lie of the next shot; UNKNOWN after holing out or where the hole was given up."""
    distance_after: Floats
    """To the hole where the next shot is played from; 0 once holed, NaN where given up."""
    holed: Bools
    penalty: Ints
    """Penalty strokes that this shot incurred."""
    penalty_kind: Codes
    club: Codes
    """Number of the club in the bag; UNKNOWN if not recorded."""
    target: Floats
    """Intended distance of the shot; NaN means the hole was the target."""
    travel: Floats
    """Measured length of the shot; NaN if not measured."""
    offline: Floats
    """Measured yards from the target line to the finish, right positive; NaN if not measured."""
    miss_side: Codes
    miss_depth: Codes
    short_sided: Codes
    """1 short-sided, 0 not, UNKNOWN not noted."""
    lie_quality: Codes
    swing: Codes
    wind: Codes
    wind_speed: Floats
    """Miles an hour; NaN if not recorded."""
    elevation: Floats
    """Yards by which the target lies above the ball; NaN if not recorded."""
    slope: Codes
    putt_break: Codes
    fault: Codes


@dataclass(frozen=True)
class Record:
    """The golf of one player or one club."""

    rounds: Rounds
    holes: Holes
    shots: Shots

    def of_rounds(self, kept: Bools) -> Record:
        """The record of some rounds alone (a mask over the rounds), with rows renumbered."""
        hole_kept = kept[self.holes.round]
        holes, shots = self.holes.select(hole_kept), self.shots.select(kept[self.shots.round])
        new_round, new_hole = np.cumsum(kept) - 1, np.cumsum(hole_kept) - 1
        return Record(
            self.rounds.select(kept),
            replace(holes, round=new_round[holes.round]),
            replace(shots, round=new_round[shots.round], hole=new_hole[shots.hole]),
        )
