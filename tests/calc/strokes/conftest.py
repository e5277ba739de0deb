"""Records of golf for these tests, written hole by hole."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import pytest

from golfstats.calc.record import Holes, Record, Rounds, Shots
from golfstats.calc.vocabulary import Lie

Stroke = tuple[Lie, float, int]
"""Lie, yards to the hole, penalty strokes incurred."""


def record_of(rounds: Sequence[Sequence[tuple[int, Sequence[Stroke], bool | int]]]) -> Record:
    """A record from rounds of holes; a hole is its par, its strokes and whether they are complete.

    A number instead says that the ball was picked up, and is the most likely score.
    """
    holes = [(r, par, strokes, done) for r, played in enumerate(rounds) for par, strokes, done in played]
    shots = [
        (r, hole, number, par, *stroke)
        for hole, (r, par, strokes, _) in enumerate(holes)
        for number, stroke in enumerate(strokes, 1)
    ]
    row, hole, number, par, lie, distance, penalty = (
        (np.array(column) for column in zip(*shots, strict=True)) if shots else (np.zeros(0, int),) * 7
    )
    n, m, k = len(shots), len(holes), len(rounds)
    last = np.append(hole[1:] != hole[:-1], True)[:n]
    complete = np.array([done is True for *_, done in holes], dtype=bool)
    picked_up = np.array([not isinstance(done, bool) for *_, done in holes], dtype=bool)
    taken = [len(s) + sum(stroke[2] for stroke in s) for _, _, s, _ in holes]
    score = [
        strokes if isinstance(done, bool) else done for strokes, (*_, done) in zip(taken, holes, strict=True)
    ]
    holed = last & complete[hole]
    return Record(
        rounds=Rounds(
            player=np.zeros(k, int), day=np.arange(k), course=np.zeros(k, int), counting=np.ones(k, bool),
            competition=np.zeros(k, bool), start_hour=np.full(k, np.nan), temperature=np.full(k, np.nan),
            wind_speed=np.full(k, np.nan),
        ),
        holes=Holes(
            round=np.array([r for r, *_ in holes], int), number=np.arange(1, m + 1),
            par=np.array([p for _, p, *_ in holes], int),
            length=np.array([s[0][1] if s else np.nan for _, _, s, _ in holes]),
            score=np.array(score, int), picked_up=picked_up, putts=np.full(m, -1), penalties=np.full(m, -1),
            fairway_hit=np.full(m, -1, np.int8), green_in_regulation=np.full(m, -1, np.int8), complete=complete,
        ),
        shots=Shots.unknown(
            n,
            round=row, hole=hole, number=number, par=par, lie=lie.astype(np.int8), distance=distance.astype(float),
            lie_after=np.where(last, -1, np.append(lie[1:], -1)[:n]).astype(np.int8),
            distance_after=np.where(last, np.where(holed, 0.0, np.nan), np.append(distance[1:], 0)[:n]),
            holed=holed, penalty=penalty,
        ),
    )  # fmt: skip


@pytest.fixture(scope="session")
def make_record() -> Callable[[Sequence[Sequence[tuple[int, Sequence[Stroke], bool]]]], Record]:
    return record_of
