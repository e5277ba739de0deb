"""Invented examples of the answers about strokes, for the API reference. Long lists are cut short."""

from __future__ import annotations

from typing import Any

from players.api.examples import POSTED, figure

ROUND_ID = "01980000-0000-7000-8000-000000000001"
PLAYER = {"id": "01980000-0000-7000-8000-000000000002", "name": "Ines Aldana"}
SHOTS_OF = f"/api/v1/players/{PLAYER['id']}/shots?figure="

BENCHMARK: dict[str, Any] = {
    "key": "professional",
    "name": "Professional",
    "description": "What touring professionals average from the same lie and distance in tournaments.",
    "provenance": "Professional benchmark after M. Broadie, Interfaces 42(2), 2012, and Every Shot Counts, 2014. …",
    "caution": (
        "125 of the 149 values of the professional table off the green are from memory and not checked "
        "against the paper; this benchmark rests on them."
    ),
}
HEAD: dict[str, Any] = {
    "player": PLAYER,
    "window": {
        "rounds": 20,
        "first": "2026-03-07",
        "last": "2026-06-14",
        "words": "The last 20 rounds, 2026-03-07 to 2026-06-14",
    },
    "benchmark": BENCHMARK,
}


def _named(key: str, name: str, better: str, figure: dict[str, Any]) -> dict[str, Any]:
    return {"key": key, "name": name, "better": better, **figure, "shots": SHOTS_OF + key}


GAINED_PUTTING = _named(
    "gained.putting",
    "Strokes gained putting a round",
    "higher",
    figure(-1.56, -2.49, -0.64, 288, "strokes", "−1.56 strokes (−2.49 to −0.64), 288 holes", 18),
)
GAINED_APPROACH = _named(
    "gained.approach",
    "Strokes gained on approach a round",
    "higher",
    figure(-2.81, -3.65, -1.98, 288, "strokes", "−2.81 strokes (−3.65 to −1.98), 288 holes", 18),
)
FAIRWAYS = _named(
    "fairways.hit",
    "Fairways hit",
    "higher",
    figure(0.64, 0.58, 0.69, 222, "share", "64% (58% to 69%), 222 holes"),
)
PROXIMITY = _named(
    "approach.100-125.proximity",
    "Median distance left from 100-125 yards",
    "lower",
    figure(30.0, 25.0, 36.0, 33, "ft", "30.0 ft (25.0 to 36.0), 33 shots"),
)

BENCHMARKS: dict[str, Any] = {
    "default": "professional",
    "benchmarks": [
        BENCHMARK | {"shots": None, "fitted_on": None},
        BENCHMARK
        | {
            "key": "club:12",
            "name": "This club's golfers near handicap 12",
            "description": (
                "What this club's golfers near handicap 12 average from the same lie and distance, from 21,480 "
                "shots up to 2026-06-15."
            ),
            "provenance": "Fitted from 21,480 of this club's shots on 2026-06-15. …",
            "shots": 21480,
            "fitted_on": "2026-06-15",
        },
    ],
}

ROUND_ANALYSIS: dict[str, Any] = {
    "round": POSTED | {"analysis": "done"},
    "analysis": "done",
    "words": "Analysed.",
    "benchmark": BENCHMARK,
    "source": "stored by the worker",
    "total": {
        "holes_played": 18,
        "holes_covered": 1,
        "strokes_gained": -1.03,
        "parts": {
            "tee": {"strokes_gained": -0.19, "shots": 1, "rule": "tee shots on par 4 and 5"},
            "approach": {
                "strokes_gained": -0.84,
                "shots": 1,
                "rule": "tee shots on par 3, and shots from beyond the short game",
            },
        },
        "words": "−1.03 strokes against Professional over 1 of 18 holes played; the other holes are not complete.",
    },
    "holes": [
        {
            "number": 1,
            "par": 4,
            "length": 388.0,
            "score": 5,
            "picked_up": False,
            "covered": True,
            "expected_from_tee": 3.97,
            "strokes_gained": -1.03,
            "parts": {"tee": -0.19, "approach": -0.01, "short_game": -0.69, "putting": -0.13},
            "words": "3.97 expected from the tee − 5 taken = −1.03",
            "shots": [
                {
                    "id": "01980000-0000-7000-8000-000000000009",
                    "number": 1,
                    "lie": "tee",
                    "distance": 388.0,
                    "distance_unit": "yd",
                    "club": "driver",
                    "holed": False,
                    "penalty_strokes": 0,
                    "part": "tee",
                    "part_rule": "a tee shot on a par 4 or 5",
                    "expected_before": 3.97,
                    "expected_after": 3.17,
                    "strokes_gained": -0.19,
                    "words": "3.97 expected from 388 yd, tee − 3.17 expected from 144 yd, rough − 1 stroke = −0.19",
                }
            ],
        }
    ],
}

SUMMARY: dict[str, Any] = HEAD | {
    "words": (
        "−7.87 strokes a round against Professional: most gained (or least lost) putting (−1.56), "
        "most lost on approach (−2.81)."
    ),
    "strokes_gained": {"approach": GAINED_APPROACH, "putting": GAINED_PUTTING},
    "scoring": [FAIRWAYS],
    "rounds": [
        {
            "round": ROUND_ID,
            "played_on": "2026-06-14",
            "course": "Larkmoor Old",
            "score": 76,
            "to_par": 4,
            "holes_played": 18,
            "holes_covered": 18,
            "strokes_gained": {
                "total": -5.78,
                "tee": -2.64,
                "approach": 1.29,
                "short_game": -2.74,
                "putting": -1.69,
            },
        }
    ],
}

FIGURES: dict[str, Any] = HEAD | {"figures": [GAINED_PUTTING, FAIRWAYS]}

FIGURE: dict[str, Any] = HEAD | {
    "figure": PROXIMITY,
    "rounds": [
        {"round": ROUND_ID, "played_on": "2026-06-14", "course": "Larkmoor Old", "value": 30.5, "n": 2}
    ],
}

SHOTS: dict[str, Any] = HEAD | {
    "figure": PROXIMITY,
    "per": "shot",
    "count": 33,
    "next": f"https://golf.example{SHOTS_OF}approach.100-125.proximity&offset=1&page_size=1",
    "previous": None,
    "results": [
        {
            "value": 16.0,
            "round": ROUND_ID,
            "played_on": "2026-06-14",
            "course": "Larkmoor Old",
            "hole": {"number": 10, "par": 4, "score": 4, "putts": 2},
            "shot": {
                "id": "01980000-0000-7000-8000-000000000010",
                "number": 2,
                "lie": "fairway",
                "distance": 107.0,
                "distance_unit": "yd",
                "club": "gap-wedge",
                "holed": False,
                "penalty_strokes": 0,
                "finish_lie": "green",
                "finish_distance": 16.0,
                "finish_unit": "ft",
                "part": "approach",
                "strokes_gained": 0.03,
            },
        }
    ],
}

APPROACH: dict[str, Any] = HEAD | {
    "bands": [
        {
            "band": "100-125",
            "from_yards": 100.0,
            "to_yards": 125.0,
            "figures": {
                "proximity": PROXIMITY
                | {
                    "change": figure(-2.1, -9.0, 4.8, 18, "ft", "−2.1 ft (−9.0 to +4.8), 18 rounds", 6),
                    "chance_better": 0.7,
                    "trend": "−2.1 ft (−9.0 to +4.8), 18 rounds; 70% likely to have got better",
                }
            },
        }
    ]
}

MISSES: dict[str, Any] = HEAD | {
    "benchmark_golfer": "A simulated golfer of handicap +2 over 200 rounds of an invented par-72 course; …",
    "squad": "5 others of the player's squads, at most 20 rounds of each",
    "green": {
        "words": "43% of greens missed; a miss costs 0.46 strokes; the benchmark golfer's costs 0.38.",
        "figures": {
            "cost": _named(
                "misses.green.cost",
                "Strokes a missed green costs",
                "lower",
                figure(0.46, 0.41, 0.5, 125, "strokes", "0.46 strokes (0.41 to 0.50), 125 shots"),
            )
            | {
                "benchmark_golfer": figure(
                    0.38, 0.36, 0.39, 955, "strokes", "0.38 strokes (0.36 to 0.39), 955 shots"
                ),
                "versus_benchmark_golfer": figure(
                    0.08, 0.04, 0.13, 125, "strokes", "+0.08 strokes (+0.04 to +0.13), 125 shots"
                ),
                "squad": figure(0.51, 0.49, 0.53, 651, "strokes", "0.51 strokes (0.49 to 0.53), 651 shots"),
                "versus_squad": figure(
                    -0.05, -0.1, 0.0, 125, "strokes", "−0.05 strokes (−0.10 to 0.00), 125 shots"
                ),
            }
        },
    },
    "fairway": {
        "words": "Too few missed fairways with every shot recorded to say what one costs.",
        "figures": {},
    },
}

DISTANCES: dict[str, Any] = HEAD | {
    "caution": (
        "Rules of thumb for wind, height and temperature; published figures differ by about half, so the "
        "correction may be 50% too small or too large."
    ),
    "clubs": [
        {
            "club": "7-iron",
            "distance": figure(157.0, 152.0, 160.0, 48, "yd", "157 yd (152 to 160), 48 shots", 8),
            "lower_quarter": figure(147.0, 141.0, 151.0, 48, "yd", "147 yd (141 to 151), 48 shots", 8),
            "upper_quarter": figure(167.0, 162.0, 171.0, 48, "yd", "167 yd (162 to 171), 48 shots", 8),
            "plays_like": figure(158.0, 152.0, 162.0, 48, "yd", "158 yd (152 to 162), 48 shots", 8),
            "plays_like_range": [157.2, 158.9],
            "conditions_known": 31,
            "measured": 12,
            "full_swings": "marked by the player",
            "words": "7-iron: 157 yd, half of the full swings from 147 to 167.",
        }
    ],
    "gaps": [
        {
            "longer": "7-iron",
            "shorter": "8-iron",
            "gap": figure(11.0, 6.0, 17.0, 48, "yd", "11 yd (6 to 17), 48 shots", 8),
            "overlap": figure(7.0, -1.0, 13.0, 48, "yd", "+7 yd (−1 to +13), 48 shots", 8),
            "words": "The middle halves of 7-iron and 8-iron overlap by 7 yd.",
        }
    ],
}

PUTTING: dict[str, Any] = HEAD | {
    "spreads": {
        "direction": figure(1.23, 1.1, 1.38, 523, "degrees", "1.2° (1.1° to 1.4°), 523 putts", 20),
        "distance": figure(9.8, 8.9, 10.7, 523, "percent", "9.8% (8.9% to 10.7%), 523 putts", 20),
        "benchmark": {
            "direction": 1.0,
            "distance": 8.2,
            "words": "The two spreads whose expected putts come nearest to the benchmark's.",
        },
        "words": "Pooled with the club's golfers (12, 14,210 putts), fitted on 2026-06-15.",
    },
    "make_curve": [
        _named(
            "putting.made.5-8",
            "Putts holed from 5 to 8 feet",
            "higher",
            figure(
                0.6,
                0.48,
                0.71,
                53,
                "share",
                "60% (48% to 71%), 53 shots; the benchmark golfer would hole 68% of these very putts",
            ),
        )
        | {"from": 5.0, "to": 8.0, "distance_unit": "ft", "benchmark": 0.68, "own_model": 0.59}
    ],
    "first_putts": [
        {
            "distance": 15.0,
            "distance_unit": "ft",
            "expected_putts": figure(
                1.86, 1.83, 1.89, 523, "putts", "1.86 putts (1.83 to 1.89), 523 putts", 20
            ),
            "one_putt": figure(0.17, 0.15, 0.19, 523, "share", "17% (15% to 19%), 523 putts", 20),
            "two_putts": figure(0.81, 0.8, 0.81, 523, "share", "81% (80% to 81%), 523 putts", 20),
            "three_putts_or_more": figure(0.03, 0.02, 0.04, 523, "share", "3% (2% to 4%), 523 putts", 20),
            "benchmark": {
                "expected_putts": 1.782,
                "one_putt": 0.2264,
                "two_putts": 0.7657,
                "three_putts_or_more": 0.0079,
            },
        }
    ],
    "habits": [GAINED_PUTTING],
    "under_reading": {
        "read_faults": {
            "low": 45,
            "high": 18,
            "share_low": figure(0.71, 0.61, 0.8, 63, "share", "71% (61% to 80%), 63 missed putts"),
            "p_value": 0.0009,
            "words": (
                "45 of 63 misses to one side were low: more than chance, too little break is played "
                "(p below 0.001)."
            ),
        }
    },
    "below_against_above_the_hole": {
        "difference": figure(
            -0.04, -0.11, 0.03, 287, "strokes", "−0.04 strokes (−0.11 to +0.03), 287 putts", 40
        ),
        "words": "No clear difference between putts from below and from above the hole.",
    },
}

SQUAD_TABLE: dict[str, Any] = {
    "squad": {"id": "01980000-0000-7000-8000-000000000020", "name": "First team"},
    "benchmark": BENCHMARK,
    "source": "stored by the worker",
    "rounds_waiting": 0,
    "players": [
        {
            "player": PLAYER,
            "handicap_index": "4.2",
            "rounds": 19,
            "strokes_gained": {
                "putting": figure(
                    -1.56, -2.49, -0.64, 288, "strokes", "−1.56 strokes (−2.49 to −0.64), 288 holes", 18
                )
                | {"shots": SHOTS_OF + "gained.putting"}
            },
        }
    ],
}
