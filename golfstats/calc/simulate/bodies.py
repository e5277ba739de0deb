"""Rounds of a season as plain values, field by field as a player would enter them.

Words instead of codes, feet on the green and yards elsewhere, nothing for what was not written down.
The field names are those of a posted round.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from golfstats.calc import vocabulary as words
from golfstats.calc.record import Holes, Shots
from golfstats.calc.simulate.golfer import CLUBS
from golfstats.calc.simulate.season import PlannedRound, Season
from golfstats.calc.units import FEET_PER_YARD

WORDS: dict[str, type[words.Word]] = {
    "penalty_kind": words.PenaltyKind,
    "miss_side": words.MissSide,
    "miss_depth": words.MissDepth,
    "lie_quality": words.LieQuality,
    "swing": words.Swing,
    "wind": words.Wind,
    "slope": words.Slope,
    "putt_break": words.PuttBreak,
    "fault": words.PuttFault,
}
NUMBERS = {
    "target_distance": "target",
    "travel": "travel",
    "offline": "offline",
    "wind_mph": "wind_speed",
    "elevation": "elevation",
}
"""Field of a posted shot, and the column that holds it."""


def round_bodies(season: Season) -> Iterator[dict[str, object]]:
    """Every round of the season in order, as it would be posted."""
    record = season.written
    hole_ends = np.searchsorted(record.holes.round, np.arange(len(season.rounds) + 1))
    shot_ends = np.searchsorted(record.shots.hole, np.arange(len(record.holes) + 1))
    for row, planned in enumerate(season.rounds):
        holes = [
            _hole(record.holes, hole, record.shots, range(shot_ends[hole], shot_ends[hole + 1]))
            for hole in range(hole_ends[row], hole_ends[row + 1])
        ]
        yield {**_heading(planned), "holes": holes}


def _heading(planned: PlannedRound) -> dict[str, object]:
    return {
        "player": planned.player,
        "course": planned.course,
        "tee": planned.tee,
        "played_on": planned.played_on.isoformat(),
        "start_time": planned.start_time.isoformat("minutes"),
        "section": planned.section,
        "unit": "yards",
        "format": planned.format,
        "counting": planned.counting,
        "competition": planned.competition,
        "reason_for_missing_holes": planned.reason_for_missing_holes,
        "ball": planned.ball,
        "temperature_c": planned.temperature_c,
        "wind_mph": planned.wind_mph,
        "note": planned.note,
    }


def _hole(holes: Holes, row: int, shots: Shots, own: range) -> dict[str, object]:
    body: dict[str, object] = {"number": int(holes.number[row]), "score": int(holes.score[row])}
    if holes.picked_up[row]:
        body["picked_up"] = True
    if own:
        body["shots"] = [_shot(shots, shot) for shot in own]
        return body
    for field, column in (("putts", holes.putts), ("penalties", holes.penalties)):
        if column[row] != words.UNKNOWN:
            body[field] = int(column[row])
    for field, code in (
        ("fairway_hit", holes.fairway_hit),
        ("green_in_regulation", holes.green_in_regulation),
    ):
        if code[row] != words.UNKNOWN:
            body[field] = bool(code[row])
    return body


def _shot(shots: Shots, row: int) -> dict[str, object]:
    lie = words.Lie(int(shots.lie[row]))
    distance = float(shots.distance[row])
    body: dict[str, object] = {
        "lie": lie.word,
        "distance": round(distance * FEET_PER_YARD, 1) if lie == words.Lie.GREEN else distance,
        "holed": bool(shots.holed[row]),
    }
    if shots.club[row] != words.UNKNOWN:
        body["club"] = CLUBS[shots.club[row]][0]
    if shots.penalty[row]:
        body["penalty_strokes"] = int(shots.penalty[row])
    if shots.short_sided[row] != words.UNKNOWN:
        body["short_sided"] = bool(shots.short_sided[row])
    for field, kind in WORDS.items():
        code = int(getattr(shots, field)[row])
        if code != words.UNKNOWN:
            body[field] = kind(code).word
    for field, column in NUMBERS.items():
        number = float(getattr(shots, column)[row])
        if not np.isnan(number):
            body[field] = number
    return body
