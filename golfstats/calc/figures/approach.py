"""Shots at the green by distance: how many, how often they hit it, how near they finish, what they gain."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise

import numpy as np

from golfstats.calc.a_round import ROUND
from golfstats.calc.figures.targets import AT_THE_GREEN, at_green, green_hit
from golfstats.calc.observations import AnalysedRecord, FigureSpec, Observations
from golfstats.calc.record import Bools, Shots
from golfstats.calc.strokes.gained import covered_holes
from golfstats.calc.units import FEET_PER_YARD, Unit
from golfstats.sentences import Sentence

DEFAULT_EDGES = (50.0, 75.0, 100.0, 125.0, 150.0, 175.0, 200.0)
"""Yards to the hole."""


@dataclass(frozen=True)
class Band:
    """Shots from ``low`` yards to under ``high`` yards; an infinite ``high`` is "and beyond"."""

    low: float
    high: float

    @property
    def word(self) -> str:
        """``75-100``, or ``200+`` for the last one."""
        return f"{self.low:g}+" if np.isinf(self.high) else f"{self.low:g}-{self.high:g}"

    @classmethod
    def of(cls, word: str) -> Band:
        """The band of a word; ``ValueError`` if it is none."""
        low, dash, high = word.partition("-")
        band = cls(float(low), float(high)) if dash else cls(float(word.removesuffix("+")), np.inf)
        if band.word != word or not 0 <= band.low < band.high:
            raise ValueError(f"{word!r} is not a distance band such as 75-100 or 200+")
        return band


def bands(edges: Sequence[float] = DEFAULT_EDGES) -> list[Band]:
    """Bands between neighbouring edges (yards, rising), the last one open; ``ValueError`` if they do not rise."""
    if not edges or edges[0] < 0 or any(high <= low for low, high in pairwise(edges)):
        raise ValueError("the edges of distance bands must be rising yards from 0 up")
    return [Band(low, high) for low, high in zip(edges, [*edges[1:], np.inf], strict=True)]


def approaches(shots: Shots, band: Band) -> Bools:
    return at_green(shots) & (shots.distance >= band.low) & (shots.distance < band.high)


def approaches_a_round(analysed: AnalysedRecord, band: Band) -> Observations:
    """18 times the number of shots from the band on each hole whose shots are all recorded, picked up or not."""
    record = analysed.record
    count = np.bincount(
        record.shots.hole, weights=approaches(record.shots, band), minlength=len(record.holes)
    )
    return Observations.of_holes(record, ROUND * count, covered_holes(record))


def greens_hit(analysed: AnalysedRecord, band: Band) -> Observations:
    shots = analysed.record.shots
    return Observations.of_shots(analysed.record, green_hit(shots), approaches(shots, band))


def proximity(analysed: AnalysedRecord, band: Band) -> Observations:
    """Feet left, of greens hit and missed alike.

    A shot with a penalty counts as having left the whole way: where it was dropped does not tell where it finished,
    and to leave it out, or to take the drop, would make water a help.
    """
    shots = analysed.record.shots
    penalty = shots.penalty > 0
    left = np.where(penalty, np.fmax(shots.distance, shots.distance_after), shots.distance_after)
    rows = approaches(shots, band) & ~np.isnan(left)
    return Observations.of_shots(analysed.record, FEET_PER_YARD * left, rows)


def gained(analysed: AnalysedRecord, band: Band) -> Observations:
    rows = approaches(analysed.record.shots, band) & ~np.isnan(analysed.strokes_gained)
    return Observations.of_shots(analysed.record, analysed.strokes_gained, rows)


def specs(band: Band) -> list[FigureSpec]:
    key, word = f"approach.{band.word}", band.word
    return [
        FigureSpec(
            f"{key}.shots",
            Sentence("Shots at the green from {band} yards a round", band=word),
            Unit.SHOTS,
            "lower",
            "hole",
            "mean",
            18,
            partial(approaches_a_round, band=band),
            meaning="How often in 18 holes a shot is left to the green from this distance: what "
            f"earlier shots leave, not how well it is played. {AT_THE_GREEN}",
            least=0.0,
            apart=ROUND,
        ),
        FigureSpec(
            f"{key}.green_hit",
            Sentence("Green hit from {band} yards", band=word),
            Unit.SHARE,
            "higher",
            "shot",
            "mean",
            10,
            partial(greens_hit, band=band),
            meaning="Of the shots at the green from this distance, how many finish on it.",
        ),
        FigureSpec(
            f"{key}.proximity",
            Sentence("Median distance left from {band} yards", band=word),
            Unit.FEET,
            "lower",
            "shot",
            "median",
            10,
            partial(proximity, band=band),
            meaning="Half of the shots from this distance finish nearer to the hole than that. "
            "Greens hit and missed count alike; a penalty counts as the whole way left.",
            least=0.0,
        ),
        FigureSpec(
            f"{key}.mean_proximity",
            Sentence("Mean distance left from {band} yards", band=word),
            Unit.FEET,
            "lower",
            "shot",
            "mean",
            10,
            partial(proximity, band=band),
            meaning="How far from the hole shots from this distance finish on average: a few wild "
            "ones move it more than the median.",
            least=0.0,
        ),
        FigureSpec(
            f"{key}.gained",
            Sentence("Strokes gained a shot from {band} yards", band=word),
            Unit.STROKES,
            "higher",
            "shot",
            "mean",
            10,
            partial(gained, band=band),
            meaning="What one shot from this distance gains or loses, wherever it finishes. Zero is "
            "the golfer compared with.",
        ),
    ]
