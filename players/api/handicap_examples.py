"""Invented examples of handicaps for the API reference; their arithmetic is that of the rules."""

from __future__ import annotations

from typing import Any

from players.handicap.queries import NOTICE

UNOFFICIAL: dict[str, Any] = {"official": False, "notice": NOTICE}
PLAYER = {"id": "01980000-0000-7000-8000-000000000002", "name": "Ines Aldana"}
ROUND_ID = "01980000-0000-7000-8000-000000000001"
INDEX = {"index": "4.0", "shown": "4.0"}

LINE: dict[str, Any] = {
    "round": ROUND_ID,
    "played_on": "2026-06-14",
    "state": "counts",
    "reason": "18 of 18 holes played",
    "holes_played": 18,
    "adjusted_gross_score": 78,
    "course_rating": "71.7",
    "slope_rating": 126,
    "pcc": 0,
    "differential": "5.7",
    "adjusted_differential": "5.7",
    "adjustments": [],
    "estimated": False,
    "in_last_20": True,
    "in_best_8": True,
    "index_before": "4.1",
    "index_after": "4.0",
    "low_index": "3.2",
    "exceptional": "0.0",
    "capped": False,
}
RECORD = UNOFFICIAL | {
    "player": PLAYER,
    **INDEX,
    "low_index": "3.2",
    "scores_in_last_20": 20,
    "computed_at": "2026-06-14T15:20:04Z",
    "trend": [{"on": "2026-06-14", "index": "4.0", "low_index": "3.2", "round": ROUND_ID}],
    "record": [LINE],
    "committee": [
        {
            "on": "2026-04-02",
            "rule": "5.8",
            "text": "caps set aside from 2026-04-02 until further notice",
            "reason": "Back after an operation.",
            "index_before": "3.9",
            "index_after": "3.9",
        }
    ],
    "left_out": [],
}
EXPLANATION = (
    UNOFFICIAL
    | LINE
    | {
        "edition": "2024",
        "course_handicap": 4,
        "par": 72,
        "holes": [
            {
                "number": 1,
                "par": 4,
                "stroke_index": 3,
                "strokes_received": 1,
                "score": 8,
                "maximum": 7,
                "maximum_rule": "3.1b",
                "maximum_why": "net double bogey: par + 2 + 1 received",
                "adjusted": 7,
                "note": "",
            }
        ],
        "steps": [{"rule": "5.1a", "text": "(113 / 126) × (78 − 71.7 − 0)", "value": "5.7"}],
    }
)
TARGETS = UNOFFICIAL | {
    "player": PLAYER,
    **INDEX,
    "section": "18",
    "course_rating": "71.7",
    "slope_rating": 126,
    "targets": [{"lowest": 72, "highest": 72, "index": "3.8", "shown": "3.8", "change": "-0.2"}],
}
ON_COURSE = UNOFFICIAL | {
    "course": {"id": "01980000-0000-7000-8000-000000000003", "name": "Larkmoor Old"},
    "player": PLAYER,
    **INDEX,
    "tees": [
        {
            "tee": {"id": "01980000-0000-7000-8000-000000000004", "name": "White"},
            "sections": [
                {
                    "section": "18",
                    "course_rating": "71.7",
                    "slope_rating": 126,
                    "par": 72,
                    "course_handicap": 4,
                    "playing_handicaps": {"stroke_play": 4},
                }
            ],
        }
    ],
}
NEW_ACTION = {
    "kind": "freeze_index",
    "effective_on": "2026-07-01",
    "value": "4.0",
    "reason": "Injured wrist.",
}
ACTION: dict[str, Any] = {
    "id": "01980000-0000-7000-8000-000000000061",
    **NEW_ACTION,
    "words": "hold the index at a level",
    "rule": "7.1a",
    "expires_on": None,
    "round": None,
    "exceptional": False,
    "player_notified": False,
    "decided_by": "Petra Lindqvist",
    "decided_at": "2026-06-30T17:00:00Z",
    "index_before": "4.0",
    "withdrawn_by": None,
    "withdrawn_at": None,
}
WITHDRAWN = ACTION | {"withdrawn_by": "Petra Lindqvist", "withdrawn_at": "2026-08-01T09:00:00Z"}
