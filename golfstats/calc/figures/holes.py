"""What is known about each hole: what the player noted, else what the shots say where they are complete."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from golfstats.calc.figures.targets import at_fairway, fairway_hit
from golfstats.calc.record import Bools, Codes, Ints, Record, Shots
from golfstats.calc.strokes.gained import covered_holes
from golfstats.calc.vocabulary import UNKNOWN, Lie


@dataclass(frozen=True)
class HoleFacts:
    """One value a hole; UNKNOWN where it was neither noted nor can be derived."""

    putts: Ints
    """Strokes from the green. UNKNOWN where the ball was picked up."""
    penalties: Ints
    fairway_hit: Codes
    """1 or 0 on par 4 and 5."""
    green_in_regulation: Codes


def hole_facts(record: Record) -> HoleFacts:
    """Putts, penalties, fairway and green of every hole of the record.

    A green is in regulation when the ball is on it, or holed, in par
    minus two strokes or fewer, penalties counted (common practice). A hole whose ball was picked up later than that
    counts as missed.
    """
    holes, shots = record.holes, record.shots
    fairway = _noted_or(holes.fairway_hit, _tee_shot_on_fairway(record))
    putts = _noted_or(holes.putts, _total(record, shots.lie == Lie.GREEN, holes.complete))
    green = _noted_or(holes.green_in_regulation, _reached_in_regulation(record))
    return HoleFacts(
        putts=np.where(holes.picked_up, UNKNOWN, putts),
        penalties=_noted_or(
            holes.penalties, _total(record, shots.penalty, holes.complete | covered_holes(record))
        ),
        fairway_hit=np.where(holes.par > 3, fairway, UNKNOWN).astype(np.int8),
        green_in_regulation=green.astype(np.int8),
    )


def strokes_through(shots: Shots) -> Ints:
    """Strokes and penalties on the hole up to and with each shot (shots in order of play)."""
    strokes = np.cumsum(1 + shots.penalty)
    if not len(strokes):
        return strokes
    first = np.searchsorted(shots.hole, shots.hole)
    return strokes - strokes[first] + (1 + shots.penalty)[first]


def _noted_or(noted: Ints | Codes, derived: Ints) -> Ints:
    return np.where(noted == UNKNOWN, derived, noted).astype(np.int64)


def _total(record: Record, each: Ints | Bools, known: Bools) -> Ints:
    """Sum over the shots of each hole; UNKNOWN where it is not known."""
    sums = np.bincount(record.shots.hole, weights=each, minlength=len(record.holes)).astype(np.int64)
    return np.where(known, sums, UNKNOWN)


def _reached_in_regulation(record: Record) -> Ints:
    shots = record.shots
    on_green = (shots.lie_after == Lie.GREEN) | shots.holed
    in_time = on_green & (strokes_through(shots) <= shots.par - 2)
    reached = np.bincount(shots.hole, weights=in_time, minlength=len(record.holes)) > 0
    taken = np.bincount(shots.hole, weights=1 + shots.penalty, minlength=len(record.holes))
    too_late = record.holes.complete | (covered_holes(record) & (taken > record.holes.par - 2))
    return np.where(reached, 1, np.where(too_late, 0, UNKNOWN))


def _tee_shot_on_fairway(record: Record) -> Ints:
    shots = record.shots
    tee_shots = at_fairway(shots)
    hit = np.full(len(record.holes), UNKNOWN, dtype=np.int64)
    hit[shots.hole[tee_shots]] = fairway_hit(shots)[tee_shots]
    return hit
