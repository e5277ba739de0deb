"""A stored round in the words of the API: the inverse of posting."""

from __future__ import annotations

from typing import Any

from courses.models import Section
from golfstats.calc.units import FEET_PER_YARD, YARDS_PER_METRE
from golfstats.clubs.models import DistanceUnit
from players.models import PlayedHole, Round, Shot
from players.round_input import HoleInput, RoundInput, ShotInput

PLACES = 2
"""Decimals of a distance that is given back: a centimetre is finer than anyone paces."""


def as_input(round_: Round, unit: str) -> RoundInput:
    """The round as it could be posted again. Expects player, tee set, course, holes and shots to be loaded."""
    return RoundInput(
        player=round_.player.name,
        course=round_.tee_set.course.name,
        tee=round_.tee_set.name,
        played_on=round_.played_on,
        start_time=round_.start_time,
        section=Section(round_.section),
        unit=DistanceUnit(unit),
        format=round_.format,
        counting=round_.counting,
        competition=round_.competition,
        reason_for_missing_holes=round_.reason_for_missing_holes,
        ball=round_.ball,
        weather=round_.weather,
        temperature_c=round_.temperature_c,
        wind_mph=round_.wind_mph,
        tags=round_.tags,
        note=round_.note,
        holes=[_hole(hole, unit) for hole in sorted(round_.holes.all(), key=lambda hole: hole.number)],
    )


def _hole(hole: PlayedHole, unit: str) -> HoleInput:
    shots = sorted(hole.shots.all(), key=lambda shot: shot.number)
    return HoleInput(
        number=hole.number,
        score=hole.score,
        picked_up=hole.picked_up,
        putts=hole.putts,
        penalties=hole.penalties,
        fairway_hit=hole.fairway_hit,
        green_in_regulation=hole.green_in_regulation,
        shots=[_shot(shot, unit) for shot in shots],
    )


def _shot(shot: Shot, unit: str) -> ShotInput:
    fields: dict[str, Any] = {
        "lie": shot.lie,
        "distance": from_yards(shot.distance, unit, on_green=shot.lie == "green"),
        "holed": shot.holed,
        "club": shot.club_used or None,
        "penalty_strokes": shot.penalty_strokes,
        "target_distance": _length(shot.target_distance, unit),
        "travel": _length(shot.travel, unit),
        "offline": _length(shot.offline, unit),
        "short_sided": shot.short_sided,
        "wind_mph": shot.wind_mph,
        "elevation": _length(shot.elevation, unit),
        "tags": shot.tags,
    }
    for name in (
        "penalty_kind",
        "miss_side",
        "miss_depth",
        "lie_quality",
        "swing",
        "wind",
        "slope",
        "putt_break",
        "fault",
    ):
        fields[name] = getattr(shot, name) or None
    return ShotInput(**fields)


def from_yards(yards: float, unit: str, *, on_green: bool) -> float:
    """A stored distance in the unit of the API: metres, or yards with feet on the green."""
    if unit == DistanceUnit.METRES:
        return round(yards / YARDS_PER_METRE, PLACES)
    return round(yards * FEET_PER_YARD if on_green else yards, PLACES)


def _length(value: float | None, unit: str) -> float | None:
    return None if value is None else from_yards(value, unit, on_green=False)
