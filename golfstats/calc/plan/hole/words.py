"""A few words about a hole, as a golfer says them: ``dogleg right 240, bunker left 230-260, green 28 deep``.

Clauses are separated by commas, semicolons or new lines. Distances are from the tee along the hole, in the
unit that the caller gives as yards each. What may be said:

- ``dogleg left|right 240`` or ``dogleg right 240 35`` (where it turns, and by how many degrees);
- ``bunker|water|trees|out left|right 230-260`` (without distances: the whole length; ``across 180-200``: all over);
- ``bunker|water green left|right|front|back`` (beside the green);
- ``fairway 30 wide``, ``fairway from 120``; ``green 28 deep``, ``green 24 wide``, ``slopes front|back|left|right``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from golfstats.calc.plan.hole.drawing import Surface
from golfstats.sentences import Sentence

HAZARDS = {
    "bunker": Surface.SAND,
    "bunkers": Surface.SAND,
    "sand": Surface.SAND,
    "water": Surface.WATER,
    "trees": Surface.WOODS,
    "woods": Surface.WOODS,
    "out": Surface.OUT,
    "out of bounds": Surface.OUT,
}
_NUMBER = r"(\d{1,3}(?:\.\d+)?)"
_DOGLEG = re.compile(rf"dogleg (left|right) {_NUMBER}(?: {_NUMBER})?")
_HAZARD = re.compile(
    rf"({'|'.join(sorted(HAZARDS, key=len, reverse=True))}) (left|right|across)(?: {_NUMBER} ?[-–] ?{_NUMBER})?"
)
_BESIDE_GREEN = re.compile(
    r"(bunkers?|sand|water) (?:green (left|right|front|back)|(left|right|front|back) of green)"
)
_SIZE = re.compile(rf"(green|fairway) {_NUMBER} (deep|wide)")
_FAIRWAY_FROM = re.compile(rf"fairway from {_NUMBER}")
_SLOPES = re.compile(r"(?:green )?slopes? (front|back|left|right)")
_LIMITS = {("green", "deep"): (8, 70), ("green", "wide"): (8, 70), ("fairway", "wide"): (10, 90)}


class HoleWordsFault(ValueError):  # noqa: N818 - named like the service's other faults
    """A clause that cannot be read; ``clause`` is the number of the clause, from 1."""

    def __init__(self, clause: int, message: str) -> None:
        super().__init__(Sentence("clause {clause}: {message}", clause=clause, message=message))
        self.clause = clause


@dataclass(frozen=True)
class Hazard:
    """A strip beside or across the hole, or a spot beside the green. Yards from the tee along the hole."""

    surface: Surface
    side: str
    """left, right, across; by the green left, right, front, back."""
    start: float | None = None
    end: float | None = None
    by_green: bool = False


@dataclass(frozen=True)
class HoleWords:
    """What was said of a hole; ``None`` where nothing was."""

    dogleg: str | None = None
    bend: float | None = None
    """Yards from the tee to the corner."""
    degrees: float | None = None
    hazards: tuple[Hazard, ...] = ()
    green_deep: float | None = None
    green_wide: float | None = None
    fairway_wide: float | None = None
    fairway_from: float | None = None
    slopes: str | None = None


@dataclass
class _Said:
    values: dict[str, float | str] = field(default_factory=dict)
    hazards: list[Hazard] = field(default_factory=list)


def read_words(text: str, yards: float = 1.0) -> HoleWords:
    """The words of a hole; ``yards`` is how many yards one unit of length is. :class:`HoleWordsFault` if unreadable."""
    said = _Said()
    clauses = [" ".join(clause.lower().split()) for clause in re.split(r"[,;\n]", text)]
    for number, clause in enumerate(clauses, start=1):
        if clause:
            _read_clause(said, number, clause, yards)
    return HoleWords(hazards=tuple(said.hazards), **said.values)  # type: ignore[arg-type]  # by name


def _read_clause(said: _Said, number: int, clause: str, yards: float) -> None:
    if match := _DOGLEG.fullmatch(clause):
        said.values |= {"dogleg": match[1], "bend": float(match[2]) * yards}
        if match[3]:
            said.values["degrees"] = _within(number, float(match[3]), (5, 100), "degrees")
    elif match := _BESIDE_GREEN.fullmatch(clause):
        said.hazards.append(Hazard(HAZARDS[match[1]], match[2] or match[3], by_green=True))
    elif match := _HAZARD.fullmatch(clause):
        said.hazards.append(_strip(number, match, yards))
    elif match := _SIZE.fullmatch(clause):
        what = (match[1], match[3])
        if what not in _LIMITS:
            raise HoleWordsFault(
                number, Sentence("a fairway is so many yards wide, a green so many deep or wide")
            )
        said.values["_".join(what)] = _within(number, float(match[2]) * yards, _LIMITS[what], "yards")
    elif match := _FAIRWAY_FROM.fullmatch(clause):
        said.values["fairway_from"] = float(match[1]) * yards
    elif match := _SLOPES.fullmatch(clause):
        said.values["slopes"] = match[1]
    else:
        raise HoleWordsFault(
            number,
            Sentence(
                "“{clause}” is not understood; for example: dogleg right 240, bunker left 230-260, water right, "
                "out left, water across 180-200, bunker green right, green 28 deep, fairway 30 wide, slopes front",
                clause=clause,
            ),
        )


def _strip(number: int, match: re.Match[str], yards: float) -> Hazard:
    if match[2] == "across" and match[3] is None:
        raise HoleWordsFault(
            number, Sentence("what lies across needs distances, for example water across 180-200")
        )
    if match[3] is None:
        return Hazard(HAZARDS[match[1]], match[2])
    start, end = float(match[3]) * yards, float(match[4]) * yards
    if start >= end:
        raise HoleWordsFault(
            number, Sentence("{match}-{match_} runs backwards", match=match[3], match_=match[4])
        )
    return Hazard(HAZARDS[match[1]], match[2], start, end)


def _within(number: int, value: float, limits: tuple[float, float], unit: str) -> float:
    if not limits[0] <= value <= limits[1]:
        raise HoleWordsFault(
            number,
            Sentence(
                "{value} is not between {limits} and {limits_} {unit}",
                value=f"{value:g}",
                limits=limits[0],
                limits_=limits[1],
                unit=unit,
            ),
        )
    return value
