"""What a figure means, said beside it on a page: from the one place where the figure is declared.

Figures of the catalogue have their meaning with them. Others are fields of answers, and mean what stands beneath the
field, as in the API document and the GraphQL schema.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.ground.answers import field_meanings
from players.coaching.comparison import Pair
from players.coaching.goals import GoalProgress
from players.coaching.priorities import RankedGroup
from players.coaching.reports.next_round import NextRound
from players.coaching.reports.week import PlayerWeek
from players.coaching.trends import TrendRound
from players.coaching.trials import Trial
from players.conditions.answers.by_green import CostOfGreen
from players.conditions.answers.effects import StrokesBetween
from players.conditions.answers.greens import AroundTheGreen, GreenWorkCost
from players.conditions.answers.rounds import AdjustedPutting
from players.conditions.answers.work_dates import PlannedDay
from players.figures.answers.long_game import ClubGap
from players.figures.answers.misses import MissFigure
from players.figures.answers.putting import FirstPutt, MissedSides, Spreads
from players.figures.answers.rounds import RoundTotal
from players.figures.meanings import meaning_of_key, name_of_key
from players.handicap.answers import Handicap, RecordedScore
from players.plans.answers import ClubChoice, CostlySide, PlannedRound, ShotRead
from players.plans.bag import BagClub
from players.plans.costs.course_costs import GolferCosts
from players.plans.costs.difficulty import HoleDifficulty


@dataclass(frozen=True)
class Meaning:
    """What one figure is called, and what it means."""

    name: str
    words: str


NAMES: Mapping[str, str] = {
    "approach.*.shots": noop("Shots a round"),
    "approach.*.mean_proximity": noop("Left, mean"),
    "club.*.plays_like": noop("In neutral conditions"),
    "club.*.side_degrees": noop("Spread of the direction"),
    "approach.*.green_hit": noop("Green hit"),
    "approach.*.proximity": noop("Left, median"),
    "approach.*.gained": noop("Strokes gained a shot"),
    "club.*.distance": noop("Median"),
    "club.*.distance_spread": noop("Spread"),
    "club.*.side_yards": noop("To the side"),
    "putting.made.*": noop("Holed"),
}
"""Of figures that a page shows of many distances or clubs at once: as the head of their column has it."""

FIELDS: Mapping[str, tuple[str, type, str]] = {
    "bag.along": (noop("Short or long"), BagClub, "along"),
    "compared.difference": (noop("Difference"), Pair, "difference"),
    "goal.chance": (noop("Likely to be met"), GoalProgress, "chance"),
    "greens.adjusted": (noop("Without that"), AdjustedPutting, "adjusted"),
    "greens.around": (noop("Putting rather than chipping"), AroundTheGreen, "strokes_gained"),
    "greens.beyond": (noop("Beyond the others"), CostOfGreen, "beyond_the_others"),
    "greens.by_green": (noop("Strokes lost a visit"), CostOfGreen, "strokes"),
    "greens.cost": (noop("Strokes a round after the work"), StrokesBetween, "strokes"),
    "greens.owed": (noop("Owed to the greens"), AdjustedPutting, "owed"),
    "greens.raw": (noop("As it was"), AdjustedPutting, "raw"),
    "greens.recovery": (noop("Days until the greens were back"), GreenWorkCost, "recovery_days"),
    "greens.weighed": (noop("Weighed by disturbance"), PlannedDay, "disturbed_rounds"),
    "greens.work": (noop("What the work cost so far"), GreenWorkCost, "strokes"),
    "gaps.apart": (noop("Medians apart"), ClubGap, "gap"),
    "gaps.overlap": (noop("Middle halves"), ClubGap, "overlap"),
    "handicap.differential": (noop("Differential"), RecordedScore, "adjusted_differential"),
    "handicap.index": (noop("Handicap index"), Handicap, "index"),
    "holes.bunkers": (noop("Bunkers"), GolferCosts, "bunkers"),
    "holes.pins": (noop("Pins"), GolferCosts, "pins"),
    "holes.tee": (noop("Last 20 yards"), GolferCosts, "tee"),
    "holes.over_par": (noop("Over par"), HoleDifficulty, "over_par"),
    "misses.against": (noop("Against the golfer"), MissFigure, "versus_benchmark_golfer"),
    "next_round": (noop("Next round"), NextRound, "to_par"),
    "plan.chance": (noop("Chance of the target"), PlannedRound, "chance_of_target"),
    "plan.expected": (noop("Expected score"), PlannedRound, "expected"),
    "plan.flags": (noop("Always at the flag"), PlannedRound, "flags_cost"),
    "plan.side": (noop("Sides not to miss on"), CostlySide, "cost"),
    "plan.worse": (noop("What a club costs beside the best"), ClubChoice, "worse"),
    "priorities.chance": (noop("Likely that there is something"), RankedGroup, "chance"),
    "priorities.to_gain": (noop("Strokes a round to gain"), RankedGroup, "to_gain"),
    "putting.direction": (noop("Starting line"), Spreads, "direction"),
    "putting.first": (noop("Putts"), FirstPutt, "expected_putts"),
    "putting.length": (noop("Length"), Spreads, "distance"),
    "putting.low": (noop("Share low"), MissedSides, "share_low"),
    "putting.three": (noop("Three or more"), FirstPutt, "three_putts_or_more"),
    "read.choice": (noop("Choice"), ShotRead, "choice"),
    "read.execution": (noop("Execution"), ShotRead, "execution"),
    "read.greens": (noop("Greens"), ShotRead, "greens"),
    "read.luck": (noop("Luck"), ShotRead, "luck"),
    "round.gained": (noop("Strokes gained"), RoundTotal, "strokes_gained"),
    "trend.level": (noop("Level"), TrendRound, "level"),
    "trial.difference": (noop("Difference"), Trial, "difference"),
    "week.level": (noop("Level"), PlayerWeek, "level"),
}
"""What stands on pages and is no figure of the catalogue: its name, and the field of an answer that it is."""


def meanings(keys: Sequence[str], unit: str) -> list[Meaning]:
    """Of figures by key; ``unit`` is the club's unit of distance. ``KeyError`` for one that nobody knows."""
    return [_meaning(key, unit) for key in keys]


def _meaning(key: str, unit: str) -> Meaning:
    if key in FIELDS:
        name, answer, field = FIELDS[key]
        return Meaning(gettext(name), gettext(field_meanings(answer)[field]))
    name = NAMES[key] if key in NAMES else name_of_key(key)
    return Meaning(gettext(name), meaning_of_key(key, unit))
