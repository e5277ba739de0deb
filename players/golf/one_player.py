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
from golfstats.calc.strokes.benchmark import Benchmark
from golfstats.calc.strokes.peer import Peers, peers
from golfstats.calc.strokes.selection import UnknownBenchmarkError
from golfstats.ground.operations import Asker
from players.golf.analysed import Golf, golf_of
from players.golf.loading import LoadedRecord
from players.golf.questions import WindowQuery, unknown_benchmark
from players.golf.windows import RoundWindow
from players.people.models import Player

ItemT = TypeVar("ItemT")


def golf_of_each(asker: Asker, players: Sequence[Player], query: WindowQuery) -> list[Golf]:
    """The golf of each of these players in the window asked for, read all at once; refused for an unknown benchmark."""
    return golf_in(asker, players, query.benchmark, query.window())


def golf_in(
    asker: Asker, players: Sequence[Player], benchmark: str | None, window: RoundWindow
) -> list[Golf]:
    read = RoundWindow.between() if asker.asks_more else window
    ids, golf = _loaded_once(asker, [player.id for player in players], benchmark, read)
    return [golf_of_one(golf, player.id, window, ids) for player in players]


def _loaded_once(
    asker: Asker, players: Sequence[UUID], benchmark: str | None, window: RoundWindow
) -> tuple[Sequence[UUID], Golf]:
    """The golf of at least these players: what another answer of the request has loaded serves as well."""
    loaded: list[tuple[Sequence[UUID], Golf]] = asker.once(("golf", benchmark, window), list)
    for ids, golf in loaded:
        if set(players) <= set(ids):
            return ids, golf
    try:
        loaded.append((players, golf_of(players, asker.club, benchmark, window)))
    except UnknownBenchmarkError as error:
        raise unknown_benchmark(error) from None
    return loaded[-1]


def golf_of_one(golf: Golf, player: UUID, window: RoundWindow, asked: Sequence[UUID] = ()) -> Golf:
    """The rounds of this player in the window, which ``golf`` has to hold; no rounds where there are none.

    ``asked`` are the players whose golf it is, those without a round among them.
    """
    rounds = golf.rounds_of([player]) & _between(golf, window)
    if window.last is not None:
        rounds &= np.cumsum(rounds[::-1])[::-1] <= window.last  # rows are in order of play
    analysed = golf.analysed.of_rounds(rounds)
    return replace(
        golf,
        loaded=_loaded(golf.loaded, analysed.record, rounds),
        analysed=analysed,
        benchmark=_measure_of_one(golf, player, rounds, asked),
        window=window,
    )


def _measure_of_one(golf: Golf, player: UUID, rounds: Bools, asked: Sequence[UUID]) -> Benchmark:
    """Where each player is compared with a golfer of their own: this player's."""
    measure = golf.benchmark
    order = [*golf.loaded.players, *sorted(set(asked) - set(golf.loaded.players))]  # as in measure_of
    if not isinstance(measure, Peers) or player not in order:
        return measure
    obstacles = None if measure.obstacles is None else measure.obstacles[rounds]
    own = measure.golfers[order.index(player)]
    return peers([own] * len(measure.golfers), obstacles)


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
        hole_ids=loaded.hole_ids.those(holes),
        shot_ids=loaded.shot_ids.those(shots),
        balls=_those(loaded.balls, rounds),
        tee_sets=_those(loaded.tee_sets, rounds),
        altitude=loaded.altitude[rounds],
        women=loaded.women[rounds],
        round_tags=_those(loaded.round_tags, rounds),
        shot_tags=_those(loaded.shot_tags, shots),
    )


def _those(items: Sequence[ItemT], chosen: Bools) -> list[ItemT]:
    return [items[int(row)] for row in np.flatnonzero(chosen)]
