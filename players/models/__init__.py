"""Who played, what they did, what it means."""

from players.models.coaching import AttentionDismissal, Goal, PracticeNote
from players.models.figures import (
    Analysis,
    ClubBenchmark,
    ConditionEffect,
    PlayerReport,
    RoundFigures,
    RoundNote,
    ShotFigures,
)
from players.models.handicap import CommitteeAction, HandicapLine, PlayerHandicap
from players.models.imports import Import, ImportKind, ImportState
from players.models.people import Player, Squad, SquadCoach, SquadPlayer
from players.models.rounds import PlayedHole, Round, RoundFormat, Shot

__all__ = [
    "Analysis",
    "AttentionDismissal",
    "ClubBenchmark",
    "CommitteeAction",
    "ConditionEffect",
    "Goal",
    "HandicapLine",
    "Import",
    "ImportKind",
    "ImportState",
    "PlayedHole",
    "Player",
    "PlayerHandicap",
    "PlayerReport",
    "PracticeNote",
    "Round",
    "RoundFigures",
    "RoundFormat",
    "RoundNote",
    "Shot",
    "ShotFigures",
    "Squad",
    "SquadCoach",
    "SquadPlayer",
]
