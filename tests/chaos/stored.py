"""Every figure, index and note that is stored of the club in scope, by whose it is.

The same golf posted elsewhere has other ids, so names stand in their place.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from typing import Any

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models

from courses.greens.models import CourseNote
from players.coaching.models import PlayerReport
from players.conditions.models import RoundNote
from players.figures.models import RoundFigures, ShotFigures
from players.handicap.models import HandicapLine, PlayerHandicap
from players.people.models import Player
from players.rounds.models import Round

UUID = re.compile("[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")
WHEN = {"id", "club", "computed_at", "written_at", "said_on", "fingerprint"}
"""Fields that say when something was worked out, or by which row."""
TOLERANCE = 1e-6
"""The same sums in another order differ in the last bits."""

Stored = dict[str, list[Any]]


def everything() -> Stored:
    names = {str(key): name for key, name in Player.objects.values_list("id", "name")}
    rounds = Round.objects.values_list("id", "player__name", "played_on")
    names |= {str(key): f"{name} {day}" for key, name, day in rounds}
    of_rounds = ["round__player__name", "round__played_on"]
    of_shots = ["shot__played_hole__" + one for one in [*of_rounds, "number"]] + ["shot__number"]
    lists = {
        "rounds": _rows(Round, ["player__name", "played_on"], ["version", "analysis", "warnings"]),
        "figures of rounds": _rows(RoundFigures, of_rounds),
        "figures of shots": _rows(ShotFigures, of_shots, ["part", "expected_before", "strokes_gained"]),
        "notes of rounds": _rows(RoundNote, of_rounds),
        "notes of courses": _rows(CourseNote, ["course__name", "day"]),
        "records": _rows(HandicapLine, ["player__name", "sequence"]),
        "indexes": _rows(PlayerHandicap, ["player__name"]),
        "reports": _rows(PlayerReport, ["player__name"]),
    }
    return {name: json.loads(_named(rows, names)) for name, rows in lists.items()}


def differences(one: Stored, other: Stored) -> list[str]:
    """Where the two are not the same."""
    return list(_differences("", one, other))


def _rows(model: type[models.Model], whose: list[str], fields: list[str] | None = None) -> list[Any]:
    own = fields or [one.name for one in model._meta.concrete_fields if one.name not in WHEN]
    return list(model._default_manager.order_by(*whose).values_list(*whose, *own))


def _named(rows: list[Any], names: dict[str, str]) -> str:
    return UUID.sub(lambda one: names.get(one[0], "an id"), json.dumps(rows, cls=DjangoJSONEncoder))


def _differences(place: str, one: Any, other: Any) -> Iterator[str]:
    if isinstance(one, dict) and isinstance(other, dict) and one.keys() == other.keys():
        for name in one:
            yield from _differences(f"{place}/{name}", one[name], other[name])
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        for number, pair in enumerate(zip(one, other, strict=True)):
            yield from _differences(f"{place}/{number}", *pair)
    elif isinstance(one, float) and isinstance(other, float):
        if not math.isclose(one, other, abs_tol=TOLERANCE):
            yield f"{place}: {one} and {other}"
    elif one != other:
        yield f"{place}: {str(one)[:200]} and {str(other)[:200]}"
