"""Invented examples of conditions for the API reference."""

from __future__ import annotations

from functools import partial
from typing import Any

from players.api import examples
from players.api.examples import POSTED

figure = partial(examples.figure, minimum_n=12)

ROUND = "strokes a round"
OWED = figure(1.1, 0.5, 1.8, 41, ROUND, "1.10 strokes a round (0.50 to 1.80), 41 rounds")
PUTTING = {
    "raw": figure(-1.6, -1.6, -1.6, 1, ROUND, "−1.60 strokes a round (−1.60 to −1.60), 1 round", minimum_n=1),
    "owed": OWED,
    "adjusted": figure(-0.5, -1.1, 0.2, 41, ROUND, "−0.50 strokes a round (−1.10 to +0.20), 41 rounds"),
}
WORK = {
    "id": "01980000-0000-7000-8000-000000000061",
    "kind": "coring_medium",
    "words": "coring, medium tines",
    "days_before": 2,
    "holes": [],
}
NOTE = (
    "Coring, medium tines on all greens 2 days before. At this stage members here lose 1.0 putts a round, "
    "90% interval 0.5 to 1.6, from 41 rounds. Putting in this round: 1.6 strokes lost, mostly the greens: "
    "the greens account for 1.1 of it lost, 90% interval 0.5 to 1.8."
)
ROUND_CONDITION: dict[str, Any] = {
    "round": POSTED,
    "note": NOTE,
    "disturbance": 0.589,
    "temporary_greens": False,
    "work": [WORK],
    "putting": PUTTING,
}
WINDOW_PUTTING = {
    "raw": figure(
        -0.42, -0.9, 0.06, 20, ROUND, "−0.42 strokes a round (−0.90 to +0.06), 20 rounds", minimum_n=2
    ),
    "owed": figure(0.21, 0.1, 0.35, 41, ROUND, "0.21 strokes a round (0.10 to 0.35), 41 rounds"),
    "adjusted": figure(
        -0.21, -0.7, 0.28, 20, ROUND, "−0.21 strokes a round (−0.70 to +0.28), 20 rounds", minimum_n=2
    ),
}
WINDOW = {
    "player": POSTED["player"],
    "window": {"rounds": 20, "left_out": 0},
    "putting": WINDOW_PUTTING,
}
PLAYER_ADJUSTED = WINDOW | {
    "rounds": [
        {
            "id": POSTED["id"],
            "played_on": "2026-08-27",
            "course": POSTED["course"]["id"],
            "note": NOTE,
            "disturbance": 0.589,
            "temporary_greens": False,
            "putting": PUTTING,
        }
    ]
}
SQUAD_ADJUSTED = {
    "squad": {"id": "01980000-0000-7000-8000-000000000021", "name": "First team"},
    "players": [WINDOW],
}
EFFECT = {"rounds": 41, "days": 18, "enough": True, "chance_of_any_effect": 0.99, "claimed": True}
STROKES = figure(1.6, 0.9, 2.4, 41, ROUND, "+1.60 strokes a round (+0.90 to +2.40), 41 rounds")
CONDITION_EFFECT: dict[str, Any] = (
    {"fitted_at": "2026-09-01T02:31:00Z", "putts": 24610}
    | EFFECT
    | {
        "at_full_disturbance": STROKES,
        "kinds": [
            {"kind": "coring_medium", "words": "coring, medium tines", "by": "its own putts"}
            | EFFECT
            | {
                "recovery_days": figure(11.2, 8.1, 15.4, 41, "days", "11 days (8 to 15), 41 rounds"),
                "strokes_a_round": [{"days_after": 0, "strokes": STROKES}],
            }
        ],
    }
)
CONTEXT_EFFECTS = {
    "fitted_at": "2026-09-01T02:31:00Z",
    "results": [
        {
            "key": "first_visit",
            "words": "first visit to a course",
            "strokes": figure(
                0.8, 0.1, 1.5, 34, ROUND, "+0.80 strokes a round (+0.10 to +1.50), 34 rounds", minimum_n=10
            ),
        }
    ],
}
WORK_COST: dict[str, Any] = {
    "work": {
        "id": WORK["id"],
        "kind": "coring_medium",
        "words": "coring, medium tines",
        "starts_on": "2026-08-24",
        "ends_on": "2026-08-25",
    },
    "rounds": 58,
    "by": "putts after this kind of work",
    "strokes": figure(31.0, 17.0, 47.0, 41, "strokes", "+31.00 strokes (+17.00 to +47.00), 41 rounds"),
    "first_day": STROKES,
    "recovery_days": figure(11.2, 8.1, 15.4, 41, "days", "11 days (8 to 15), 41 rounds"),
    "back": {
        "on": "2026-09-05",
        "earliest": "2026-09-02",
        "latest": "2026-09-09",
        "from": "this club's putts",
    },
}
PLAN: dict[str, Any] = {
    "kind": "coring_medium",
    "words": "coring, medium tines",
    "days": 2,
    "recovery_days": 11.2,
    "recovery_from": "this club's putts",
    "dates": [
        {
            "starts_on": "2027-03-15",
            "back_on": "2027-03-28",
            "expected_rounds": 41.5,
            "disturbed_rounds": 17.3,
            "events": ["Spring medal"],
        }
    ],
}
AROUND_THE_GREEN = {
    "what": "putting minus chipping from off the green, within 20 yd of the hole, while the green is disturbed",
    "strokes_gained": figure(
        None, None, None, 12, "strokes a shot", "too few: 12 of at least 30 shots", minimum_n=30
    ),
}
EXPECTED_PUTTS: dict[str, Any] = {
    "day": "2026-08-26",
    "benchmark": {"key": "professional", "name": "Tour professional"},
    "results": [
        {
            "distance_ft": 20.0,
            "usual": 1.87,
            "today": figure(1.93, 1.9, 1.97, 41, "putts", "1.93 putts (1.90 to 1.97), 41 rounds"),
        }
    ],
}
