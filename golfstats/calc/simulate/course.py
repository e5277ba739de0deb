"""An invented course: for every hole, a corridor from the tee to a round green.

Assumptions:

- Every hole is straight; doglegs are played along their line and have no corner.
- From the middle outwards lie the fairway, the rough, and on each side what is beyond: trees, a
  penalty area, or out of bounds. The fairway starts 100 yards from the tee and ends at the green.
- The green is a circle with a fringe; round it lie sand, rough, short grass and on some holes water,
  met with given chances and not drawn as shapes.
- The green tilts one way, so that a putt from below the hole runs uphill.
- All of it is invented; the sizes are common practice, no source.

Distances are yards.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import IntEnum

import numpy as np

from golfstats.calc.record import Codes, Floats, Ints, Table
from golfstats.calc.strokes.reference_course import Gender, from_mens_yards


class Beyond(IntEnum):
    """What lies beyond the rough on one side."""

    TREES = 0
    PENALTY_AREA = 1
    OUT_OF_BOUNDS = 2


@dataclass(frozen=True)
class Course(Table):
    """The holes of a course from one tee set, in order. One row a hole."""

    par: Ints
    length: Floats
    fairway: Floats
    """Half the width of the fairway."""
    corridor: Floats
    """From the middle of the hole to the end of the rough on either side."""
    left: Codes
    right: Codes
    """What lies beyond the corridor (:class:`Beyond`)."""
    green: Floats
    """Radius of the green."""
    bunkers: Floats
    """Chance that a ball missing the green by little lies in sand."""
    water: Floats
    """Chance that a ball missing the green by little lies in a penalty area."""
    tilt: Floats
    """Direction in which the green falls, radians from the line of play; NaN if it is level."""
    elevation: Floats
    """Height of the green above the tee."""


CALIBRATION_PARS = (4, 5, 4, 3, 4, 4, 3, 5, 4, 4, 4, 3, 5, 4, 4, 3, 5, 4)
CALIBRATION_LENGTHS = (
    402, 530, 376, 170, 422, 356, 191, 546, 412,
    433, 366, 155, 520, 397, 417, 201, 536, 412,
)  # fmt: skip
"""Par 72, 6,842 yards for men and 5,742 for women, as long as the reference course of the benchmarks; the calibration
takes its course rating as 72.0 and its slope rating as 113 for both."""


def lay_out(pars: list[int], lengths: list[float], rng: np.random.Generator) -> Course:
    """Draw the corridors, greens and hazards of a course whose pars and lengths are given."""
    holes = len(pars)
    if holes != len(lengths):
        raise ValueError(f"{holes} pars but {len(lengths)} lengths")
    fairway = rng.uniform(14.0, 19.0, holes)
    level = rng.random(holes) < 0.15
    return Course(
        par=np.array(pars, dtype=np.int64),
        length=np.array(lengths, dtype=np.float64),
        fairway=fairway,
        corridor=fairway + rng.uniform(14.0, 24.0, holes),
        left=_sides(holes, rng),
        right=_sides(holes, rng),
        green=rng.uniform(12.0, 16.0, holes),
        bunkers=rng.uniform(0.10, 0.40, holes),
        water=np.where(rng.random(holes) < 0.2, rng.uniform(0.025, 0.075, holes), 0.0),
        tilt=np.where(level, np.nan, rng.uniform(-np.pi, np.pi, holes)),
        elevation=np.round(rng.normal(0.0, 4.0, holes)),
    )


def _sides(holes: int, rng: np.random.Generator) -> Codes:
    return rng.choice([int(side) for side in Beyond], size=holes, p=[0.93, 0.05, 0.02]).astype(np.int8)


def from_other_tees(course: Course, lengths: list[float]) -> Course:
    """The same holes from another tee set: only the lengths differ."""
    if len(lengths) != len(course):
        raise ValueError(f"{len(course)} holes but {len(lengths)} lengths")
    return replace(course, length=np.array(lengths, dtype=np.float64))


def calibration_course(gender: Gender = "men") -> Course:
    """The course on which the simulated golfers are calibrated, from the tees of one gender. Always the same.

    The benchmarks have a reference course of their own: :mod:`golfstats.calc.strokes.reference_course`. From the
    women's tees each hole is as long for a woman as it is for a man from the men's.
    """
    lengths = [float(length) for length in CALIBRATION_LENGTHS]
    course = lay_out(list(CALIBRATION_PARS), lengths, np.random.default_rng(72))
    return replace(course, length=from_mens_yards(course.length, np.array(gender == "women")))
