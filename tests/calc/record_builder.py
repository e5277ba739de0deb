"""Records from short literals, for tests.

A hole is written as its shots, ``(lie, yards to the hole)`` or ``(lie, yards, {column: value})``::

    record_of([
        hole(4, [("tee", 400), ("fairway", 150), ("green", 6), ("green", 1)]),      # a par
        hole(3, [("tee", 160, {"penalty": 1}), ("penalty", 90), ("green", 4)], number=2),
        hole(5, score=6, putts=2, fairway_hit=True, round=1),                       # no shots recorded
    ])

Where a shot finished is where the next one starts; the last one is holed unless the hole is built
with ``holed=False``. Words may be given for coded columns (``{"miss_side": "left"}``).
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from typing import Any

import numpy as np

from golfstats.calc.observations import AnalysedRecord
from golfstats.calc.record import Holes, Record, Rounds, Shots
from golfstats.calc.vocabulary import (
    UNKNOWN,
    Lie,
    LieQuality,
    MissDepth,
    MissSide,
    Part,
    PenaltyKind,
    PuttBreak,
    PuttFault,
    Slope,
    Swing,
    Wind,
)

FIRST_DAY = 738_000
"""An ordinary day number; round r is played on FIRST_DAY + r unless a round says otherwise."""

WORDS = {
    "penalty_kind": PenaltyKind,
    "miss_side": MissSide,
    "miss_depth": MissDepth,
    "lie_quality": LieQuality,
    "swing": Swing,
    "wind": Wind,
    "slope": Slope,
    "putt_break": PuttBreak,
    "fault": PuttFault,
}
OF_EVERY_SHOT = {"lie", "distance", "lie_after", "distance_after"}
CODES = [one.name for one in fields(Shots) if one.type == "Codes" and one.name not in OF_EVERY_SHOT]
NUMBERS = [one.name for one in fields(Shots) if one.type == "Floats" and one.name not in OF_EVERY_SHOT]


@dataclass
class BuiltHole:
    par: int
    shots: list[tuple]
    round: int
    number: int | None
    holed: bool
    columns: dict[str, Any] = field(default_factory=dict)


def hole(
    par: int,
    shots: list[tuple] = (),
    *,
    round: int = 0,
    number: int | None = None,
    holed: bool = True,
    **columns,
) -> BuiltHole:
    """One hole; ``number`` defaults to the next in its round, ``score`` to the strokes and penalties of the shots.

    Other columns of :class:`Holes` by keyword: score, putts, penalties, fairway_hit, green_in_regulation,
    picked_up, length. ``putts``, flags and the like stay "not noted" unless given.
    """
    return BuiltHole(par, list(shots), round, number, holed, columns)


def record_of(holes: list[BuiltHole], rounds: list[dict[str, Any]] | None = None) -> Record:
    """The record of these holes. ``rounds`` overrides columns of the rounds, e.g. ``[{"day": 738_100}]``."""
    ordered = sorted(holes, key=lambda built: built.round)
    count = max((built.round for built in ordered), default=-1) + 1
    settings = [*(rounds or []), *[{}] * count][: max(count, len(rounds or []))]
    return Record(_rounds(settings), _holes(ordered), _shots(ordered))


def analysed_of(
    record: Record, strokes_gained: list[float] | None = None, *, short_game_yards: float = 50.0
) -> AnalysedRecord:
    """The record with the given strokes gained (0 where none are given; NaN on holes that are not complete).

    Parts: tee = first shots on par 4 and 5; putting = from the green; short game = within ``short_game_yards``.
    """
    shots = record.shots
    gained = np.zeros(len(shots)) if strokes_gained is None else np.asarray(strokes_gained, dtype=float)
    gained = np.where(record.holes.complete[shots.hole], gained, np.nan)
    part = np.full(len(shots), int(Part.APPROACH), dtype=np.int64)
    part[shots.distance <= short_game_yards] = Part.SHORT_GAME
    part[(shots.lie == Lie.TEE) & (shots.par > 3)] = Part.TEE
    part[shots.lie == Lie.GREEN] = Part.PUTTING
    return AnalysedRecord(record, gained, part)


def _rounds(settings: list[dict[str, Any]]) -> Rounds:
    defaults = {
        "player": 0,
        "course": 0,
        "counting": True,
        "competition": False,
        "start_hour": np.nan,
        "temperature": np.nan,
        "wind_speed": np.nan,
    }
    rows = [{"day": FIRST_DAY + index, **defaults, **row} for index, row in enumerate(settings)]
    types = {"player": np.int64, "day": np.int64, "course": np.int64, "counting": bool, "competition": bool}
    names = ["player", "day", *list(defaults)[1:]]
    return Rounds(
        **{name: np.array([row[name] for row in rows], dtype=types.get(name, float)) for name in names}
    )


def _holes(holes: list[BuiltHole]) -> Holes:
    numbers: dict[int, int] = {}
    rows: dict[str, list] = {
        name: []
        for name in (
            "round",
            "number",
            "par",
            "length",
            "score",
            "picked_up",
            "putts",
            "penalties",
            "fairway_hit",
            "green_in_regulation",
            "complete",
        )
    }
    for built in holes:
        number = built.number or numbers.get(built.round, 0) + 1
        numbers[built.round] = number
        strokes = sum(1 + _options(shot).get("penalty", 0) for shot in built.shots)
        row = {
            "round": built.round,
            "number": number,
            "par": built.par,
            "length": built.shots[0][1] if built.shots else {3: 160, 4: 400, 5: 520}[built.par],
            "score": strokes,
            "picked_up": False,
            "putts": UNKNOWN,
            "penalties": UNKNOWN,
            "fairway_hit": UNKNOWN,
            "green_in_regulation": UNKNOWN,
            "complete": bool(built.shots) and built.holed,
            **built.columns,
        }
        for name, column in rows.items():
            column.append(row[name])
    types = {
        "length": np.float64,
        "picked_up": np.bool_,
        "complete": np.bool_,
        "fairway_hit": np.int8,
        "green_in_regulation": np.int8,
    }
    return Holes(**{name: np.array(column, dtype=types.get(name, np.int64)) for name, column in rows.items()})


def _shots(holes: list[BuiltHole]) -> Shots:
    names = [
        "round",
        "hole",
        "number",
        "par",
        "lie",
        "distance",
        "lie_after",
        "distance_after",
        "holed",
        "penalty",
    ]
    rows: dict[str, list] = {name: [] for name in [*names, *CODES, *NUMBERS]}
    for index, built in enumerate(holes):
        for number, shot in enumerate(built.shots, start=1):
            last = number == len(built.shots)
            options = _options(shot)
            row = {
                "round": built.round,
                "hole": index,
                "number": number,
                "par": built.par,
                "lie": Lie.of(shot[0]),
                "distance": shot[1],
                "lie_after": UNKNOWN if last else Lie.of(built.shots[number][0]),
                "distance_after": (0.0 if built.holed else np.nan) if last else built.shots[number][1],
                "holed": last and built.holed,
                "penalty": 0,
                **dict.fromkeys(CODES, UNKNOWN),
                **dict.fromkeys(NUMBERS, np.nan),
                **{name: _code(name, value) for name, value in options.items()},
            }
            for name, column in rows.items():
                column.append(row[name])
    types = dict.fromkeys(("round", "hole", "number", "par", "penalty"), np.int64)
    types |= dict.fromkeys(("lie", "lie_after", *CODES), np.int8) | {"holed": np.bool_}
    return Shots.unknown(
        len(rows["round"]),
        **{name: np.array(column, dtype=types.get(name, np.float64)) for name, column in rows.items()},
    )


def _options(shot: tuple) -> dict[str, Any]:
    return shot[2] if len(shot) > 2 else {}


def _code(name: str, value: Any) -> Any:
    return WORDS[name].of(value) if isinstance(value, str) else value
