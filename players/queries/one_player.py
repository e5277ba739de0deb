"""The golf of one player out of that of several, as if it had been loaded alone.

Several players are read with one set of queries; figures that look at a whole record (a club's full swings,
spreads about a median) must not mix them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar
from uuid import UUID

import numpy as np

from golfstats.calc.record import Bools, Record
from players.queries.analysed import Golf
from players.queries.record import LoadedRecord
from players.queries.windows import RoundWindow

ItemT = TypeVar("ItemT")


def golf_of_one(golf: Golf, player: UUID, window: RoundWindow) -> Golf:
    """The rounds of this player in the window, which ``golf`` has to hold; no rounds where there are none."""
    rounds = golf.rounds_of([player]) & _between(golf, window)
    if window.last is not None:
        rounds &= np.cumsum(rounds[::-1])[::-1] <= window.last  # rows are in order of play
    analysed = golf.analysed.of_rounds(rounds)
    return replace(
        golf, loaded=_loaded(golf.loaded, analysed.record, rounds), analysed=analysed, window=window
    )


def _between(golf: Golf, window: RoundWindow) -> Bools:
    day = golf.analysed.record.rounds.day
    since = 0 if window.since is None else window.since.toordinal()
    until = np.inf if window.until is None else window.until.toordinal()
    between: Bools = (day >= since) & (day <= until)
    return between


def _loaded(loaded: LoadedRecord, own: Record, rounds: Bools) -> LoadedRecord:
    holes, shots = rounds[loaded.record.holes.round], rounds[loaded.record.shots.round]
    return replace(
        loaded,
        record=own,
        round_ids=_those(loaded.round_ids, rounds),
        hole_ids=_those(loaded.hole_ids, holes),
        shot_ids=_those(loaded.shot_ids, shots),
        balls=_those(loaded.balls, rounds),
        round_tags=_those(loaded.round_tags, rounds),
        shot_tags=_those(loaded.shot_tags, shots),
    )


def _those(items: Sequence[ItemT], chosen: Bools) -> list[ItemT]:
    return [items[int(row)] for row in np.flatnonzero(chosen)]
