"""A peer as a benchmark: for each player the golfer of their own handicap and rating gender, on the course they played.

A golfer of a handicap expects more strokes on a course of higher course and slope rating than its length
explains: rating + 1.04 × handicap × slope / 113 + 2.4 (the simplified expected score of the German and Danish golf
unions). What that comes to beyond the golfer's strokes by length is what obstacles cost. It lies along the way: each
yard beyond :data:`~golfstats.calc.strokes.reference_course.SAME_FOR_ALL_YARDS` carries the same share
(our assumption), so it is shared by the shots of the long game and none of it by the short game and putts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from golfstats.calc.record import Floats, Record
from golfstats.calc.strokes.benchmark import Benchmark
from golfstats.calc.strokes.handicap_golfer import BEST_HANDICAP, HIGHEST_HANDICAP, handicap_golfer
from golfstats.calc.strokes.reference_course import SAME_FOR_ALL_YARDS, Gender
from golfstats.calc.vocabulary import Lie
from golfstats.sentences import Sentence, joined

WITHOUT_HANDICAP: MappingProxyType[Gender, float] = MappingProxyType({"men": 20.0, "women": 24.0})
"""Who has no handicap yet is compared with the bogey golfer of the course rating system."""


def peer_handicap(handicap: float | None, gender: Gender) -> float:
    """The handicap of a player's peer: theirs to the whole stroke, so that the measure does not waver with it."""
    if handicap is None:
        return WITHOUT_HANDICAP[gender]
    return float(np.clip(np.round(handicap), BEST_HANDICAP, HIGHEST_HANDICAP)) + 0.0


def is_another_peer(before: float | None, after: float | None, gender: Gender) -> bool:
    """Whether a player's peer is another golfer after their index has moved."""
    return peer_handicap(before, gender) != peer_handicap(after, gender)


@dataclass(frozen=True)
class RatedTees:
    """Tees as rated for one gender, over nine or eighteen holes."""

    course_rating: float
    slope_rating: float
    lengths: Floats
    """Yards, one a hole."""

    def expected_score(self, handicap: float) -> float:
        share = len(self.lengths) / 18
        return self.course_rating + share * (1.04 * handicap * self.slope_rating / 113 + 2.4)


def strokes_a_yard(golfer: Benchmark, handicap: float, tees: RatedTees) -> float:
    """What obstacles cost the golfer beyond the length, for each yard beyond the first fifty of every hole."""
    from_tees = golfer.expected(np.full(len(tees.lengths), Lie.TEE), tees.lengths)
    beyond = np.maximum(tees.lengths - SAME_FOR_ALL_YARDS, 0.0)
    extra = tees.expected_score(handicap) - float(from_tees.sum())
    return extra / float(beyond.sum()) if beyond.sum() > 0 else 0.0


@dataclass(frozen=True, eq=False)
class Peers(Benchmark):
    """A peer for each player of a record. Asked about a position alone, it answers for the first of them."""

    golfers: Sequence[Benchmark] = ()
    """One for each player number."""
    obstacles: Floats | None = None
    """:func:`strokes_a_yard` in each round of the record; None: the courses' ratings are not known."""

    @property
    def on_any_course(self) -> Benchmark:
        return self.golfers[0]

    def expected_in(self, record: Record) -> Floats:
        shots = record.shots
        player = record.rounds.player[shots.round]
        strokes = np.full(len(shots), np.nan)
        for number in np.unique(player):
            rows = player == number
            strokes[rows] = self.golfers[int(number)].expected(shots.lie[rows], shots.distance[rows])
        if self.obstacles is None:
            return strokes
        beyond = np.maximum(shots.distance - SAME_FOR_ALL_YARDS, 0.0)
        return np.maximum(strokes + self.obstacles[shots.round] * beyond, 1.0)


def peers(golfers: Sequence[Benchmark], obstacles: Floats | None = None) -> Peers:
    """The benchmark of players who are each compared with a golfer of their own (at least one)."""
    first = golfers[0]
    alike = all(golfer.key == first.key for golfer in golfers)
    who = first.description
    if not alike:
        who = Sentence(
            "For each player a golfer of the same rating gender and, as a peer, of the same handicap."
        )
    as_rated = Sentence("The course is played as it is rated for them.")
    return Peers(
        key=first.key if alike else "peer",
        name=first.name if alike else Sentence("Peers"),
        description=who if obstacles is None else joined(" ", [who, as_rated]),
        provenance=first.provenance,
        curves=first.curves,
        golfers=tuple(golfers),
        obstacles=obstacles,
    )


def peer(handicap: float | None, gender: Gender) -> Benchmark:
    """A player's peer on a course rated as its length says."""
    return handicap_golfer(peer_handicap(handicap, gender), gender)
