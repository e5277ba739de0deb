"""Adjusted hole scores (Rule 3): the maximum of each hole and why, picked-up and missing holes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from golfstats.calc.handicap.playing.strokes import ranks, strokes_on_hole
from golfstats.calc.handicap.scores import HoleScore
from golfstats.sentences import Sentence

Distance = Literal["up_to_5ft_on_green", "5ft_to_20yd", "over_20yd"]
MOST_LIKELY_ADDITION: dict[Distance, tuple[int, int]] = {
    "up_to_5ft_on_green": (1, 1),
    "5ft_to_20yd": (2, 3),
    "over_20yd": (3, 4),
}


@dataclass(frozen=True)
class Maximum:
    score: int
    rule: str
    why: str


@dataclass(frozen=True)
class AdjustedHole:
    """A hole of the adjusted gross score; ``adjusted`` is None where no number is written for it."""

    number: int
    par: int
    stroke_index: int
    strokes_received: int
    score: int | None
    """Strokes as played; None where the ball was not holed."""
    maximum: int
    maximum_rule: str
    maximum_why: str
    adjusted: int | None
    note: str
    """How ``adjusted`` came about, in words; empty where the score as played stands."""


def maximum_score(par: int, strokes_received: int | None) -> Maximum:
    """Rule 3.1. ``strokes_received`` is None for a player without a Handicap Index."""
    if strokes_received is None:
        return Maximum(par + 5, "3.1a", Sentence("par + 5, no index yet"))
    if strokes_received > 3:
        return Maximum(
            par + 5, "3.1b", Sentence("par + 5, as {strokes} strokes are received", strokes=strokes_received)
        )
    if strokes_received < 0:
        why = Sentence("net double bogey: par + 2 - {strokes} given back", strokes=-strokes_received)
    else:
        why = Sentence("net double bogey: par + 2 + {strokes} received", strokes=strokes_received)
    return Maximum(par + 2 + strokes_received, "3.1b", why)


def net_par(par: int, strokes_received: int) -> int:
    return par + strokes_received


def most_likely_range(distance: Distance, strokes_taken: int, net_double_bogey: int) -> tuple[int, int]:
    """Rule 3.3: lowest and highest most likely score from where the ball lies, limited to the maximum.

    ``strokes_taken`` includes penalty strokes.
    """
    low, high = MOST_LIKELY_ADDITION[distance]
    return min(strokes_taken + low, net_double_bogey), min(strokes_taken + high, net_double_bogey)


def strokes_received(holes: Sequence[HoleScore], handicap: int | None, holes_in_round: int) -> list[int]:
    """Strokes on each hole of the card; on a nine by the order of the published indexes."""
    if handicap is None:
        return [0] * len(holes)
    indexes: Sequence[int] = [hole.stroke_index for hole in holes]
    if holes_in_round == 9:
        indexes = ranks(indexes)
    return [strokes_on_hole(handicap, index, holes_in_round) for index in indexes]


@lru_cache(maxsize=8192)  # a career's holes are the same few over and over: a third of a fold's time
def adjust_hole(
    hole: HoleScore, received: int, *, has_index: bool, most_likely_counts: bool = True
) -> AdjustedHole:
    """A hole that was started: the score, at most the maximum. A hole not played has no number."""
    maximum = maximum_score(hole.par, received if has_index else None)
    adjusted, note = _adjusted(hole, maximum.score, most_likely_counts=most_likely_counts)
    return AdjustedHole(
        hole.number,
        hole.par,
        hole.stroke_index,
        received,
        hole.strokes,
        maximum.score,
        maximum.rule,
        maximum.why,
        adjusted,
        note,
    )


def _adjusted(hole: HoleScore, maximum: int, *, most_likely_counts: bool) -> tuple[int | None, str]:
    if hole.strokes is not None:
        if hole.strokes <= maximum:
            return hole.strokes, ""
        return maximum, Sentence("{strokes} reduced to the maximum", strokes=hole.strokes)
    if not hole.picked_up:
        return None, Sentence("not played")
    if hole.most_likely is None or not most_likely_counts:
        return maximum, Sentence("picked up: the maximum")
    if hole.most_likely > maximum:
        return maximum, Sentence(
            "picked up: most likely {strokes}, reduced to the maximum", strokes=hole.most_likely
        )
    return hole.most_likely, Sentence(
        "picked up: most likely score {strokes} (Rule 3.3)", strokes=hole.most_likely
    )
