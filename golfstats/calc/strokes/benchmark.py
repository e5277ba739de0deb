"""A benchmark: the golfer one is compared with, as expected strokes to hole out by lie and distance."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from scipy.optimize import isotonic_regression

from golfstats.calc.record import Codes, Floats, Ints, Record
from golfstats.calc.strokes.table import professional_provenance, professional_rows
from golfstats.calc.vocabulary import Lie
from golfstats.sentences import Sentence

CURVE_LIES = (Lie.TEE, Lie.FAIRWAY, Lie.ROUGH, Lie.SAND, Lie.RECOVERY, Lie.GREEN)
"""The lies that have a curve of their own."""

SAME_AS: Mapping[Lie, Lie] = MappingProxyType({Lie.FRINGE: Lie.FAIRWAY, Lie.PENALTY: Lie.RECOVERY})
"""A ball played from the fringe counts as from the fairway, one played from a penalty area as a recovery."""

AT_ONCE = 1 << 16
"""So many shots are valued together: their columns stay in the processor's cache, which those of a club do not."""
PLACES_OF_A_LIE = 4096
"""Among which its distances are sorted, an eighth of a yard each. With all lies they just fit into 16 bits."""
_Places = NDArray[np.int16]


@dataclass(frozen=True, eq=False)
class Curve:
    """Expected strokes from one lie: a smooth line through knots that never falls with distance.

    Between knots it is the shape-preserving cubic of Fritsch and Carlson (1980), SciPy's PCHIP.
    Beyond the last knot it goes on straight at the slope of the last interval.
    """

    yards: Floats
    strokes: Floats

    @classmethod
    def through(cls, yards: Floats, strokes: Floats, weights: Floats | None = None) -> Curve:
        """The curve through these points (yards ascending), made monotone and never below one stroke.

        Where points fall with distance they are replaced by the nearest sequence that does not
        (isotonic least squares, with the given weights): in the professional table that moves sand at
        90-120 yards and recovery at 60-160 yards by at most 0.04.
        """
        monotone = isotonic_regression(strokes, weights=weights).x
        return cls(np.asarray(yards, dtype=np.float64), np.maximum(monotone, 1.0))

    @cached_property
    def _interpolant(self) -> PchipInterpolator:
        return PchipInterpolator(self.yards, self.strokes)

    @cached_property
    def _slope_beyond(self) -> float:
        return float((self.strokes[-1] - self.strokes[-2]) / (self.yards[-1] - self.yards[-2]))

    def __call__(self, yards: Floats) -> Floats:
        """Expected strokes at each distance; NaN where the distance is NaN."""
        first, last = self.yards[0], self.yards[-1]
        strokes = np.asarray(self._interpolant(np.clip(yards, first, last)), dtype=np.float64)
        beyond = yards > last  # hardly any shot is
        if np.any(beyond):
            strokes[beyond] += self._slope_beyond * (yards[beyond] - last)
        return strokes


@dataclass(frozen=True, eq=False)
class Benchmark:
    """The golfer one is compared with."""

    key: str
    """What the API calls it: ``professional``, ``handicap:3.4``, ``handicap:+2``, ``club:12``."""
    name: str
    description: str
    """In plain words, for the reader of a figure."""
    provenance: str
    """Where its numbers come from and how sure they are."""
    curves: Mapping[Lie, Curve]
    """One curve for each of :data:`CURVE_LIES`."""

    def expected(self, lie: Codes | Ints, distance: Floats) -> Floats:
        """Average strokes to hole out from each lie (:class:`Lie` codes) and distance (yards).

        Equally long columns in, one value each out: at least 1, and NaN where the lie is unknown or
        the distance is not recorded. A holed ball has no lie: its 0 is the caller's.
        """
        lie_codes = np.asarray(lie, dtype=np.int16)
        yards = np.asarray(distance, dtype=np.float64)
        strokes = np.full(yards.shape, np.nan)
        for start in range(0, len(yards), AT_ONCE):
            some = slice(start, start + AT_ONCE)
            self._fill(strokes[some], lie_codes[some], yards[some])
        return strokes

    def _fill(self, strokes: Floats, lie: _Places, yards: Floats) -> None:
        """From each lie in an order in which like distances follow each other.

        A curve looks for the knots around a distance where those of the one before were, and elsewhere only if it
        has to: so valuing takes half the time.
        """
        places = _places(lie, yards)
        order = np.argsort(places, kind="stable")  # whole numbers this small are sorted by counting
        bounds = np.searchsorted(places, PLACES_OF_A_LIE * np.arange(len(Lie) + 1), sorter=order)
        for each in Lie:
            rows = order[bounds[each] : bounds[each + 1]]
            if len(rows):
                strokes[rows] = self.curves[SAME_AS.get(each, each)](yards[rows])

    @property
    def on_any_course(self) -> Benchmark:
        """The same golfer (the first of several) on a course of which only lies and distances are known."""
        return self

    def expected_in(self, record: Record) -> Floats:
        """Average strokes to hole out from where each shot of the record is played."""
        return self.expected(record.shots.lie, record.shots.distance)


def _places(lie: _Places, yards: Floats) -> _Places:
    """A lie's are next to each other, and in the order of their distances as far as there are places."""
    eighths = np.fmin(8 * yards, PLACES_OF_A_LIE - 1).astype(np.int16)  # NaN comes last
    within = eighths % PLACES_OF_A_LIE
    return lie * PLACES_OF_A_LIE + within


@cache
def professional() -> Benchmark:
    """The published professional table as a benchmark."""
    rows = professional_rows()
    curves = {
        lie: Curve.through(
            np.array([row.yards for row in rows if row.lie == lie]),
            np.array([row.strokes for row in rows if row.lie == lie]),
        )
        for lie in CURVE_LIES
    }
    return Benchmark(
        key="professional",
        name=Sentence("Professional"),
        description=Sentence(
            "What touring professionals average from the same lie and distance in tournaments."
        ),
        provenance=professional_provenance(),
        curves=MappingProxyType(curves),
    )
