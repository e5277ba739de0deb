"""Invented examples of answers to a coach's questions."""

from __future__ import annotations

from functools import partial
from typing import Any

from players.api import examples

PLAYER = {"id": "01980000-0000-7000-8000-000000000002", "name": "Ines Aldana"}
OTHER = {"id": "01980000-0000-7000-8000-000000000005", "name": "Tomas Rehn"}

figure = partial(examples.figure, minimum_n=6)

NAMED = {
    "key": "gained.putting",
    "name": "Strokes gained putting a round",
    "better": "higher",
    "unit": "strokes",
}
NOW = figure(-0.62, -1.05, -0.19, 41, "strokes", "−0.62 strokes (−1.05 to −0.19), 41 rounds")
CHANGE = figure(0.48, -0.1, 1.06, 41, "strokes", "+0.48 strokes (−0.10 to +1.06), 41 rounds")
CHANCE = {"value": 0.87, "words": "87%"}

TRENDS: dict[str, Any] = {
    "player": PLAYER,
    "today": "2026-08-20",
    "benchmark": "professional",
    "trends": [
        NAMED
        | {
            "now": NOW,
            "compared_with": {
                "day": "2026-05-20",
                "change": CHANGE,
                "chance_better": CHANCE,
                "words": "87% likely better than in May",
            },
            "level_shift": None,
            "rounds": [
                {
                    "round": "01980000-0000-7000-8000-000000000001",
                    "played_on": "2026-08-16",
                    "value": -0.4,
                    "n": 18,
                    "level": -0.63,
                    "low": -1.04,
                    "high": -0.22,
                }
            ],
        }
    ],
}
PRIORITIES: dict[str, Any] = {
    "player": PLAYER,
    "benchmark": "Golfer of handicap 2",
    "share": 1.0,
    "rounds": 40,
    "parts": [],
    "bands": [
        {
            "group": "approach.100-125",
            "rank": 1,
            "words": "approaches from 100–125 yards as a golfer of handicap 2: "
            "0.7 fewer strokes a round, index 3.4 → 2.8",
            "shots_a_round": 3.1,
            "gap": figure(
                0.23, 0.1, 0.36, 124, "strokes a shot", "0.230 strokes a shot (0.100 to 0.360), 124 shots"
            ),
            "to_gain": figure(
                0.71, 0.3, 1.12, 124, "strokes a round", "0.71 strokes a round (0.30 to 1.12), 124 shots"
            ),
            "sure": 0.54,
            "chance": {"value": 0.98, "words": "98%"},
            "effect": {
                "share": 1.0,
                "fewer_strokes": figure(
                    0.7, 0.3, 1.1, 124, "strokes a round", "0.70 strokes a round (0.30 to 1.10), n 124"
                ),
                "index_before": 3.4,
                "index_after": figure(2.8, 2.5, 3.1, 124, "index", "2.8 index (2.5 to 3.1), n 124"),
            },
        }
    ],
}
NEW_GOAL = {
    "figure": "approach.50-125.proximity",
    "target": 20,
    "due_on": "2026-10-31",
    "window": {"rounds": 10},
    "note": "Wedges before the club championship",
}
GOAL: dict[str, Any] = {
    "id": "01980000-0000-7000-8000-000000000041",
    "player": PLAYER,
    "figure": {
        "key": "approach.50-125.proximity",
        "name": "Median distance left from 50-125 yards",
        "better": "lower",
        "unit": "ft",
    },
    "target": 20.0,
    "window": {"rounds": 10, "days": None},
    "due_on": "2026-10-31",
    "state": "open",
    "set_by": "Odile Marchetti",
    "set_at": "2026-08-20T09:12:00Z",
    "closed_at": None,
    "value_at_start": 24.5,
    "value_at_close": None,
    "note": "Wedges before the club championship",
    "progress": {
        "now": figure(22.5, 19.0, 27.0, 46, "ft", "22.5 ft (19.0 to 27.0), 46 shots"),
        "expected_rounds": 14,
        "chance": {"value": 0.62, "words": "62%"},
        "words": "open, 72 days left, 62% chance of meeting it",
    },
    "history": [{"day": "2026-08-22", "value": 23.0}],
}
NEW_NOTE = {
    "practised_on": "2026-07-02",
    "text": "Half swings with the wedges, three distances, ten balls each.",
    "figure": "approach.50-125.proximity",
}
PAIR: dict[str, Any] = {
    "first": "Ines Aldana",
    "second": "Tomas Rehn",
    "difference": figure(0.4, -0.1, 0.9, 360, "strokes", "+0.40 strokes (−0.10 to +0.90), n 360"),
    "chance_first_better": {"value": 0.91, "words": "91%"},
    "words": "Ines Aldana: 91% likely better than Tomas Rehn",
}
NOTE: dict[str, Any] = {
    "id": "01980000-0000-7000-8000-000000000051",
    "player": PLAYER,
    "written_by": "Odile Marchetti",
    "written_at": "2026-07-02T16:40:00Z",
    "practised_on": "2026-07-02",
    "text": NEW_NOTE["text"],
    "figure": None,
}
COMPARISON: dict[str, Any] = {
    "players": [PLAYER, OTHER],
    "benchmark": "professional",
    "figures": [NAMED | {"values": [NOW, NOW], "pairs": [PAIR]}],
}
EARLIER_SELF: dict[str, Any] = {
    "player": PLAYER,
    "day": "2026-05-01",
    "figures": [NAMED | {"before": NOW, "since": NOW, "comparison": PAIR}],
}
LEADERS: dict[str, Any] = {
    "squad": {"id": "01980000-0000-7000-8000-000000000021", "name": "First team"},
    "figure": NAMED,
    "standings": [{"rank": 1, "tied": False, "player": PLAYER, "figure": NOW}],
}
TRIAL: dict[str, Any] = {
    "player": PLAYER,
    "tag": "shot",
    "a": "shaft:stiff",
    "b": "shaft:regular",
    "outcome": "travel",
    "club": "7i",
    "first": figure(152.0, 149.0, 155.0, 60, "yd", "152 yd (149 to 155), 60 shots"),
    "second": figure(149.0, 146.0, 152.0, 58, "yd", "149 yd (146 to 152), 58 shots"),
    "difference": figure(2.6, -0.9, 6.1, 118, "yd", "+3 yd (−1 to +6), 118 shots"),
    "p_value": 0.21,
    "unit_of_trial": "shot",
    "verdict": "cannot_tell",
    "more_shots": 190,
    "words": "This trial cannot tell shaft:stiff from shaft:regular. "
    "If the difference is what it looks like, about 190 more shots would.",
}
ATTENTION_ITEM: dict[str, Any] = {
    "player": PLAYER,
    "kind": "level_shift",
    "item": "level_shift:gained.putting:down",
    "reason": "Strokes gained putting a round has become worse by 0.90 strokes",
    "figure": NOW,
    "began": "2026-07-11",
    "dismissed": False,
}
IMPORT: dict[str, Any] = {
    "id": "01980000-0000-7000-8000-000000000061",
    "kind": "scores",
    "state": "checking",
    "rounds": 1000,
    "checked": 400,
    "added": 0,
    "already_there": 0,
    "faults": [],
    "reason": "",
    "started_at": "2026-08-20T09:12:00Z",
    "finished_at": None,
}
DESTINATION: dict[str, Any] = {
    "id": "01980000-0000-7000-8000-000000000071",
    "url": "https://example.org/golf",
    "happenings": ["index_changed", "round_analysed"],
    "active": True,
    "created_at": "2026-08-20T09:12:00Z",
}
DELIVERY: dict[str, Any] = {
    "id": "01980000-0000-7000-8000-000000000081",
    "destination": {"id": DESTINATION["id"], "url": DESTINATION["url"]},
    "happening": "round_analysed",
    "state": "delivered",
    "created_at": "2026-08-20T09:12:00Z",
    "delivered_at": "2026-08-20T09:12:01Z",
    "attempts": [{"at": "2026-08-20T09:12:01+00:00", "status": 204}],
    "body": {"round": "01980000-0000-7000-8000-000000000001"},
}
