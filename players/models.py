"""Every table of players: Django finds them here."""

from players.coaching.models import AttentionDismissal, Forecast, Goal, PlayerReport, PracticeNote
from players.conditions.models import ConditionEffect, HealingForecast, RoundNote
from players.figures.models import RoundFigures, ShotFigures
from players.files.models import Import, ImportKind, ImportState
from players.golf.models import ClubBenchmark
from players.handicap.models import CommitteeAction, HandicapLine, PlayerHandicap
from players.months.models import MonthReport, ReportState
from players.people.models import Consent, GolfRead, Player, RememberedAnswer, Squad, SquadCoach, SquadPlayer
from players.plans.models import HoleMap, PlanAfterwards, PlanHole, RoundPlan
from players.record.models import ExportState, RecordExport
from players.rounds.models import BagWord, GolfMark, PlayedHole, Round, RoundFormat, RoundInPlay, Shot

__all__ = [
    "AttentionDismissal",
    "BagWord",
    "ClubBenchmark",
    "CommitteeAction",
    "ConditionEffect",
    "Consent",
    "ExportState",
    "Forecast",
    "Goal",
    "GolfMark",
    "GolfRead",
    "HandicapLine",
    "HealingForecast",
    "HoleMap",
    "Import",
    "ImportKind",
    "ImportState",
    "MonthReport",
    "PlanAfterwards",
    "PlanHole",
    "PlayedHole",
    "Player",
    "PlayerHandicap",
    "PlayerReport",
    "PracticeNote",
    "RecordExport",
    "RememberedAnswer",
    "ReportState",
    "Round",
    "RoundFigures",
    "RoundFormat",
    "RoundInPlay",
    "RoundNote",
    "RoundPlan",
    "Shot",
    "ShotFigures",
    "Squad",
    "SquadCoach",
    "SquadPlayer",
]
