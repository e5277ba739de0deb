"""Recommended handicap allowances by format of play (Rules of Handicapping, Appendix C)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class Allowance:
    """Percentages of the Course Handicap.

    ``percents`` has one entry where every player plays off their own Playing Handicap; for a side
    with one handicap it has one entry a player, from the lowest handicap to the highest.
    """

    words: str
    percents: tuple[int, ...]

    @property
    def for_side(self) -> bool:
        return len(self.percents) > 1


ALLOWANCES: Mapping[str, Allowance] = MappingProxyType(
    {
        "stroke_play": Allowance("Individual stroke play", (95,)),
        "stableford": Allowance("Individual Stableford", (95,)),
        "par_bogey": Allowance("Individual par or bogey", (95,)),
        "maximum_score": Allowance("Individual maximum score", (95,)),
        "match_play": Allowance("Individual match play", (100,)),
        "four_ball_stroke_play": Allowance("Four-ball stroke play", (85,)),
        "four_ball_stableford": Allowance("Four-ball Stableford", (85,)),
        "four_ball_par_bogey": Allowance("Four-ball par or bogey", (90,)),
        "four_ball_match_play": Allowance("Four-ball match play", (90,)),
        "foursomes": Allowance("Foursomes", (50, 50)),
        "greensomes": Allowance("Greensomes", (60, 40)),
        "pinehurst": Allowance("Pinehurst or Chapman foursomes", (60, 40)),
        "best_1_of_4_stroke_play": Allowance("Best 1 of 4, stroke play", (75,)),
        "best_2_of_4_stroke_play": Allowance("Best 2 of 4, stroke play", (85,)),
        "best_3_of_4_stroke_play": Allowance("Best 3 of 4, stroke play", (100,)),
        "all_4_of_4_stroke_play": Allowance("All 4 of 4, stroke play", (100,)),
        "best_1_of_4_par_bogey": Allowance("Best 1 of 4, par or bogey", (75,)),
        "best_2_of_4_par_bogey": Allowance("Best 2 of 4, par or bogey", (80,)),
        "best_3_of_4_par_bogey": Allowance("Best 3 of 4, par or bogey", (90,)),
        "all_4_of_4_par_bogey": Allowance("All 4 of 4, par or bogey", (100,)),
        "scramble_4": Allowance("Scramble, four players", (25, 20, 15, 10)),
        "scramble_3": Allowance("Scramble, three players", (30, 20, 10)),
        "scramble_2": Allowance("Scramble, two players", (35, 15)),
        "total_of_2_match_play": Allowance("Total score of two, match play", (100,)),
    }
)
