"""How the cost of green work can run over the days that follow it, before any putt is seen.

Time is counted in standard days: days since the work × 21 ÷ the kind's usual healing days, so that kinds can be
told together. The cost of a work so many standard days ago, in strokes a round of 18 holes, is

    severity × (usual curve + share of the course) + deviation of the kind,

each of them free to take any shape, of either sign, around a default: falling as (1 - s/21)², or a plateau that
ends some day, or neither (a rough process). What is known of a kind or of a course without rounds is therefore
never surer than the kinds and courses differ.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from golfstats.calc.greens.surface.disturbance import Work, days_since
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.calc.record import Floats, Ints

STANDARD_DAYS = 21.0
LAST_DAY = 44.0
"""Standard days after which nothing is left, and nothing is looked for: twice the usual healing and a little more."""
SHORTEST_HEALING_DAYS = 2.0
"""What heals within the day is still looked for on the next two."""
KNOTS = np.array([0, 1, 2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 21, 24, 28, 34], dtype=np.float64)
"""Standard days at which the usual curve is free; straight between them, and to nothing at the last day."""
KIND_KNOTS = np.array([0, 5, 11, 21], dtype=np.float64)
"""The same of a kind's deviation."""
DECAY_SD, PLATEAU_SD, ROUGH_MEMORY = 5.0, 2.5, 12.0
"""Strokes a round, and standard days: prior spreads wide enough for anything seen on greens. Our judgement."""
PLATEAU_ENDS = np.array([5, 8, 11, 14, 18, 23, 32], dtype=np.float64)
KIND_SD_SOFT, CORING_SD_HARD, OTHER_SD_HARD, KIND_MEMORY = 0.4, 0.6, 1.5, 20.0
"""Kinds differ from "severity × usual" by strokes: so much for the softest, so much more at severity 1 between kinds of
coring, and so much more between coring and other work, whose severities are on one scale by guess only. Our
judgement: speed changes of half a foot to a foot come even from rolling, and nobody has measured their putts."""
LATE_SD, LATE_FROM, LATE_WHOLLY = 0.5, 6.0, 10.0
"""Strokes a round, and standard days: doubt of what is left later in the healing that stays whatever the putts say. It
and a short swing of the season or of form look alike, and where these peaked with the work the intervals of the second
and third week held the truth in .83 to .86 of those given. Our judgement."""
COURSE_SD = 1.0
"""Courses differ from one another by strokes on the first days after work of severity 1. Our judgement."""


@dataclass(frozen=True)
class Coefficients:
    """What the cost of work is made of: the usual curve at its knots, then every kind's, then every course's."""

    kinds: tuple[str, ...]
    courses: tuple[str, ...]

    @property
    def size(self) -> int:
        return len(KNOTS) + len(KIND_KNOTS) * len(self.kinds) + len(self.courses)

    def of_kind(self, kind: str) -> slice:
        start = len(KNOTS) + len(KIND_KNOTS) * self.kinds.index(kind)
        return slice(start, start + len(KIND_KNOTS))

    def of_course(self, course: str) -> int:
        return len(KNOTS) + len(KIND_KNOTS) * len(self.kinds) + self.courses.index(course)

    def prior_covariance(self, rough_sd: float) -> Floats:
        """Of all coefficients, whose means are zero; ``rough_sd`` in strokes."""
        covariance = np.zeros((self.size, self.size))
        usual = slice(0, len(KNOTS))
        covariance[usual, usual] = _usual_covariance(rough_sd)
        for kind in self.kinds:
            covariance[self.of_kind(kind), self.of_kind(kind)] = _kind_covariance(kind)
        for course in self.courses:
            covariance[self.of_course(course), self.of_course(course)] = COURSE_SD**2
        return covariance

    def late_doubt(self) -> Floats:
        """Covariance that the doubt of the later days (:data:`LATE_SD`) adds to any posterior of the coefficients."""
        late = np.zeros(self.size)
        late[: len(KNOTS)] = np.clip((KNOTS - LATE_FROM) / (LATE_WHOLLY - LATE_FROM), 0, 1) * _fading(KNOTS)
        return np.asarray(LATE_SD**2 * np.outer(late, late), dtype=np.float64)

    def after(self, days: Floats, kind: str, severity: float, course: str) -> Floats:
        """Loadings of the cost so many days after work of a kind on all greens of a course, days × size."""
        standard = np.asarray(days, dtype=np.float64) * standard_rate(kind)
        loadings = np.zeros((len(standard), self.size))
        loadings[:, : len(KNOTS)] = severity * hats(standard, KNOTS)
        loadings[:, self.of_kind(kind)] = _of_usual(kind, severity) * hats(standard, KIND_KNOTS)
        loadings[:, self.of_course(course)] = severity * np.clip(1 - standard / LAST_DAY, 0, 1)
        return loadings

    def of_greens(self, works: Sequence[Work], day: Ints, hole: Ints, course: str) -> Floats:
        """Loadings of what works cost on greens of one course, queries × size: costs of several works add up."""
        since = days_since(works, day, hole)
        loadings = np.zeros((len(since), self.size))
        for column, work in enumerate(works):
            felt = np.flatnonzero(since[:, column] * standard_rate(work.kind) < LAST_DAY)
            if len(felt):
                loadings[felt] += self.after(since[felt, column], work.kind, work.strength, course)
        return loadings


def standard_rate(kind: str) -> float:
    """Standard days in a day after work of this kind."""
    return STANDARD_DAYS / max(work_types()[kind].recovery_days, SHORTEST_HEALING_DAYS)


def is_coring(kind: str) -> bool:
    """Kinds of coring are alike enough to speak for one another."""
    return kind.startswith("coring")


def default_decay(standard: Floats) -> Floats:
    """Share of the disturbance that is usually left: see :mod:`golfstats.calc.greens.surface.disturbance`."""
    left: Floats = np.clip(1 - standard / STANDARD_DAYS, 0, 1) ** 2
    return left


def hats(standard: Floats, knots: Floats) -> Floats:
    """Weights of the knots at each standard day by straight lines between them, days × knots."""
    ends = np.append(knots, LAST_DAY)
    before = np.clip(np.searchsorted(ends, standard, side="right") - 1, 0, len(knots) - 1)
    on_the_way = np.clip((standard - ends[before]) / (ends[before + 1] - ends[before]), 0.0, 1.0)
    row, weights = np.arange(len(standard)), np.zeros((len(standard), len(ends)))
    weights[row, before] = 1.0 - on_the_way
    weights[row, before + 1] = on_the_way
    return weights[:, :-1]


def _of_usual(kind: str, severity: float) -> float:
    """Severity over the kind's own; a kind that should not disturb at all counts whole."""
    own = work_types()[kind].severity
    return severity / own if own > 0 else 1.0


def _usual_covariance(rough_sd: float) -> Floats:
    decay = default_decay(KNOTS)
    plateaus = (KNOTS[:, None] < PLATEAU_ENDS).astype(np.float64)
    fading = _fading(KNOTS)
    rough = np.exp(-np.abs(KNOTS[:, None] - KNOTS) / ROUGH_MEMORY) * np.outer(fading, fading)
    covariance: Floats = (
        DECAY_SD**2 * np.outer(decay, decay) + PLATEAU_SD**2 * plateaus @ plateaus.T + rough_sd**2 * rough
    )
    return covariance


def _fading(standard: Floats) -> Floats:
    """1 until the default has healed, then down to nothing: else late weeks of the season would join the effect."""
    fading: Floats = np.clip((LAST_DAY - standard) / (LAST_DAY - STANDARD_DAYS), 0, 1)
    return fading


def _kind_covariance(kind: str) -> Floats:
    hard = CORING_SD_HARD if is_coring(kind) else OTHER_SD_HARD
    sd = (KIND_SD_SOFT + hard * work_types()[kind].severity) * (1 - KIND_KNOTS / LAST_DAY)
    memory = np.exp(-np.abs(KIND_KNOTS[:, None] - KIND_KNOTS) / KIND_MEMORY)
    covariance: Floats = np.outer(sd, sd) * memory
    return covariance
