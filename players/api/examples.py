"""Invented examples for the API reference."""

from __future__ import annotations

from typing import Any

from players.round_input import RoundInput


def figure(
    value: float | None,
    low: float | None,
    high: float | None,
    n: int,
    unit: str,
    words: str,
    minimum_n: int = 10,
) -> dict[str, Any]:
    """A figure as an answer shows it."""
    return {
        "value": value,
        "low": low,
        "high": high,
        "n": n,
        "minimum_n": minimum_n,
        "unit": unit,
        "enough": value is not None,
        "words": words,
        "shots": None,
    }


ROUND_JSON: dict[str, Any] = {
    "player": "Ines Aldana",
    "course": "Larkmoor Old",
    "tee": "White",
    "played_on": "2026-06-14",
    "start_time": "08:10:00",
    "holes": [
        {
            "number": 1,
            "shots": [
                {"lie": "tee", "distance": 390, "club": "driver"},
                {"lie": "fairway", "distance": 148, "club": "8i", "miss_side": "left"},
                {"lie": "green", "distance": 18, "fault": "read", "miss_side": "low"},
                {"lie": "green", "distance": 2},
            ],
        },
        {"number": 2, "score": 5, "putts": 2},
    ],
}
ROUND_TEXT = """player: Ines Aldana
course: Larkmoor Old
tee: White
date: 2026-06-14
time: 08:10
1 T390(driver) F148(8i,left) G18(low,read) G2
2 =5/2
"""
POSTED: dict[str, Any] = {
    "id": "01980000-0000-7000-8000-000000000001",
    "player": {"id": "01980000-0000-7000-8000-000000000002", "name": "Ines Aldana"},
    "course": {"id": "01980000-0000-7000-8000-000000000003", "name": "Larkmoor Old"},
    "tee": {"id": "01980000-0000-7000-8000-000000000004", "name": "White"},
    "played_on": "2026-06-14",
    "start_time": "08:10:00",
    "section": "18",
    "format": "stroke_play",
    "counting": True,
    "competition": False,
    "analysis": "pending",
    "analysis_reason": "",
    "version": 1,
}
ROUND_PAGE: dict[str, Any] = {
    "next": None,
    "previous": None,
    "results": [POSTED | {"holes": 18, "score": 74}],
}

ROUND_IN_FULL: dict[str, Any] = POSTED | {
    "round": RoundInput.model_validate(ROUND_JSON).model_dump(mode="json")
}
"""A round as it is read: every field, also what was not said of it."""
