"""Invented examples for the API reference."""

from __future__ import annotations

from typing import Any

COURSE: dict[str, Any] = {
    "id": "01980000-0000-7000-8000-000000000003",
    "name": "Larkmoor Old",
    "hole_count": 18,
    "grass": "creeping bentgrass",
    "season": "April to October",
}
HOLES = [
    {
        "number": 1,
        "length": 390.0,
        "par_men": 4,
        "par_women": 4,
        "stroke_index_men": 7,
        "stroke_index_women": 7,
    }
]
RATINGS = [
    {"gender": "women", "section": "18", "course_rating": 71.7, "slope_rating": 126, "par": 72},
    {"gender": "women", "section": "front", "course_rating": 35.9, "slope_rating": 124, "par": 36},
]
TEE: dict[str, Any] = {
    "id": "01980000-0000-7000-8000-000000000004",
    "name": "White",
    "length": 6850.0,
    "unit": "yards",
    "holes": HOLES,
    "ratings": RATINGS,
}
COURSE_IN_FULL = COURSE | {"unit": "yards", "tees": [TEE]}
NEW_COURSE = {name: COURSE[name] for name in ("name", "hole_count", "grass", "season")}
PLAYING_CONDITIONS_BODY = {
    "played_on": "2026-06-14",
    "part_of_day": "day",
    "pcc": 1,
    "origin": "the association's notice of 15 June",
}
PLAYING_CONDITIONS = PLAYING_CONDITIONS_BODY | {
    "id": "01980000-0000-7000-8000-000000000041",
    "entered_by": "Odile Marchetti",
    "entered_at": "2026-06-15T07:40:00Z",
}
EVENT_BODY = {"name": "Summer cup", "starts_on": "2026-07-04", "ends_on": "2026-07-05", "competition": True}
EVENT = {"id": "01980000-0000-7000-8000-000000000051"} | EVENT_BODY
GREEN_WORK_BODY: dict[str, Any] = {
    "kind": "coring_medium",
    "starts_on": "2026-08-24",
    "ends_on": "2026-08-25",
    "holes": [],
    "tine_diameter_mm": 12.7,
    "spacing_along_mm": 50,
    "spacing_across_mm": 50,
    "severity": None,
    "temporary_greens": False,
    "status": "confirmed",
    "note": "sand brushed in on the second day",
}
GREEN_WORK = (
    {"id": "01980000-0000-7000-8000-000000000061"}
    | GREEN_WORK_BODY
    | {
        "words": "coring, medium tines",
        "disturbance_at_once": 0.76,
        "usual_recovery_days": 10.5,
        "uid": "01980000-0000-7000-8000-000000000061@golfstats",
        "sequence": 0,
        "entered_by": "Petra Lind",
        "changed_at": "2026-08-20T09:12:00Z",
    }
)
HISTORY = [
    {
        "changed_at": "2026-08-20T09:12:00Z",
        "changed_by": "Petra Lind",
        "action": "created",
        "before": None,
        "after": GREEN_WORK_BODY,
    }
]
READING_BODY: dict[str, Any] = {
    "measured_at": "2026-08-29T06:30:00Z",
    "hole": 7,
    "roll_one_way_ft": [9.2, 9.4, 9.3],
    "roll_other_way_ft": [8.5, 8.7, 8.6],
    "firmness_g": 96,
    "moisture_pct": 24,
    "mowing_height_mm": 3.8,
    "bobble_score": 3,
    "note": "",
}
READING = (
    {"id": "01980000-0000-7000-8000-000000000071"}
    | READING_BODY
    | {"speed_ft": 8.94, "doubtful": False, "doubts": [], "entered_by": "Petra Lind"}
)
FEED = {
    "id": "01980000-0000-7000-8000-000000000081",
    "created_by": "Petra Lind",
    "created_at": "2026-08-20T09:12:00Z",
    "revoked_at": None,
}
FEED_ADDRESS = FEED | {
    "address": "https://golf.example/calendar/01980000-0000-7000-8000-0000000000aa/4Zk….ics"
}
IMPORT: dict[str, Any] = {
    "saved": False,
    "new": [
        {
            "uid": "work-1@club.example",
            "summary": "Hollow tine greens",
            "kind": "coring_medium",
            "starts_on": "2026-08-24",
            "ends_on": "2026-08-25",
        }
    ],
    "changed": [],
    "unchanged": 0,
    "unknown": [{"uid": "work-2@club.example", "summary": "Greens day", "categories": []}],
}
CONDITION: dict[str, Any] = {
    "day": "2026-08-30",
    "disturbance": 0.209,
    "greens": [{"hole": 1, "disturbance": 0.209, "temporary": False}],
    "work": [
        {
            "id": GREEN_WORK["id"],
            "kind": "coring_medium",
            "words": "coring, medium tines",
            "days_since": 5,
            "holes": [],
            "status": "confirmed",
        }
    ],
    "coming": [{"day": "2026-08-30", "disturbance": 0.209}, {"day": "2026-08-31", "disturbance": 0.14}],
    "recovery_days": [{"kind": "coring_medium", "days": 10.5, "from": "usual"}],
}

NOTE: dict[str, Any] = {
    "day": "2026-08-31",
    "text": "Coring, medium tines on all greens 6 days before. At this stage members here lose 0.4 putts a round, "
    "90% interval 0.2 to 0.7, from 41 rounds.",
    "figures": {
        "disturbance": 0.18,
        "cost": {
            "value": 0.42,
            "low": 0.2,
            "high": 0.7,
            "n": 41,
            "minimum_n": 12,
            "unit": "strokes a round",
        },
        "chance_of_any_effect": 0.99,
        "work": [{"kind": "coring_medium", "days_before": 6}],
    },
    "written_at": "2026-09-01T02:31:00Z",
}
