"""Handicaps by the published Rules of Handicapping (2024, and 2020 for earlier rounds), exactly.

Scores (:mod:`.scores`) and committee actions (:mod:`.index.committee`) go into :func:`build_record`; a
:class:`HandicapRecord` comes out. :func:`explain` puts a line of it into words, :func:`targets` says
what the next score would do, :func:`handicaps_on` gives course and playing handicaps.
"""

from golfstats.calc.handicap.index.committee import (
    Action,
    AdjustScores,
    DisregardScores,
    FreezeIndex,
    OverrideCap,
    OverrideExceptional,
    PenaltyScore,
    RemoveTableAdjustment,
    ResetLowIndex,
    SetInitialIndex,
    WithdrawIndex,
)
from golfstats.calc.handicap.playing.playing_handicap import Handicaps, handicaps_on
from golfstats.calc.handicap.record.explain import UNOFFICIAL, Step, explain, explain_action
from golfstats.calc.handicap.record.fold import build_record
from golfstats.calc.handicap.record.lines import (
    ActionLine,
    Adjustment,
    HandicapRecord,
    IndexPoint,
    ScoreLine,
)
from golfstats.calc.handicap.record.targets import Target, next_index, targets
from golfstats.calc.handicap.rounding import shown
from golfstats.calc.handicap.rules.settings import PRESETS, PUBLISHED, Edition, HandicapRules
from golfstats.calc.handicap.scores import HoleScore, Ratings, Score

__all__ = [
    "PRESETS",
    "PUBLISHED",
    "UNOFFICIAL",
    "Action",
    "ActionLine",
    "AdjustScores",
    "Adjustment",
    "DisregardScores",
    "Edition",
    "FreezeIndex",
    "HandicapRecord",
    "HandicapRules",
    "Handicaps",
    "HoleScore",
    "IndexPoint",
    "OverrideCap",
    "OverrideExceptional",
    "PenaltyScore",
    "Ratings",
    "RemoveTableAdjustment",
    "ResetLowIndex",
    "Score",
    "ScoreLine",
    "SetInitialIndex",
    "Step",
    "Target",
    "WithdrawIndex",
    "build_record",
    "explain",
    "explain_action",
    "handicaps_on",
    "next_index",
    "shown",
    "targets",
]
