"""Trials: does it go better with A than with B? Any tag: the round's ball, the club, tags of rounds or shots."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from uuid import UUID

import numpy as np

from golfstats.calc.coaching.trials import TrialResult, TrialShots, run_trial, side_deviation
from golfstats.calc.coaching.words import Better
from golfstats.calc.record import Bools, Floats
from players.queries.analysed import Golf

SEED = 6


class TagKind(StrEnum):
    """What A and B are."""

    BALL = "ball"
    """The ball of the round."""
    CLUB = "club"
    """The club used."""
    ROUND = "round"
    """A tag of the round."""
    SHOT = "shot"
    """A tag of the shot, such as ``shaft:stiff``."""


class Outcome(StrEnum):
    TRAVEL = "travel"
    SIDE = "side"
    STROKES_GAINED = "strokes_gained"


_UNIT: dict[Outcome, tuple[str, Better]] = {
    Outcome.TRAVEL: ("yd", "higher"),
    Outcome.SIDE: ("yd", "lower"),
    Outcome.STROKES_GAINED: ("strokes", "higher"),
}


@dataclass(frozen=True)
class Trial:
    """What is tried on whom."""

    player: UUID
    tag: TagKind
    first: str
    second: str
    outcome: Outcome
    club: str | None = None
    """Only shots with this club."""


def trial(golf: Golf, asked: Trial) -> TrialResult:
    """A against B over the player's shots in ``golf``; the permutations have a fixed seed."""
    first, second = (_tagged(golf, asked.tag, tag) for tag in (asked.first, asked.second))
    rows = np.flatnonzero((first ^ second) & _wanted(golf, asked))
    shots = golf.analysed.record.shots
    unit, better = _UNIT[asked.outcome]
    chosen = TrialShots(
        outcome=_outcome(golf, asked.outcome)[rows],
        first=first[rows],
        round=shots.round[rows],
        distance=shots.distance[rows],
        lie=shots.lie[rows].astype(np.int64),
    )
    if asked.outcome is Outcome.SIDE:
        known = chosen.select(np.isfinite(chosen.outcome))
        chosen = TrialShots(
            side_deviation(known.outcome, known.first), known.first, known.round, known.distance, known.lie
        )
    return run_trial(chosen, unit, better, np.random.default_rng(SEED))


def _outcome(golf: Golf, outcome: Outcome) -> Floats:
    shots = golf.analysed.record.shots
    if outcome is Outcome.TRAVEL:
        return shots.travel
    return shots.offline if outcome is Outcome.SIDE else golf.analysed.strokes_gained


def _wanted(golf: Golf, asked: Trial) -> Bools:
    rows = golf.rounds_of([asked.player])[golf.analysed.record.shots.round]
    return rows & _with_club(golf, asked.club) if asked.club else rows


def _with_club(golf: Golf, club: str) -> Bools:
    clubs = golf.loaded.clubs
    number = clubs.index(club) if club in clubs else len(clubs)
    rows: Bools = golf.analysed.record.shots.club == number
    return rows


def _tagged(golf: Golf, kind: TagKind, tag: str) -> Bools:
    """Which shots carry the tag."""
    loaded, shots = golf.loaded, golf.analysed.record.shots
    if kind is TagKind.CLUB:
        return _with_club(golf, tag)
    if kind is TagKind.SHOT:
        return np.array([tag in tags for tags in loaded.shot_tags], dtype=np.bool_)
    if kind is TagKind.BALL:
        rounds = np.array([ball.casefold() == tag.casefold() for ball in loaded.balls], dtype=np.bool_)
    else:
        rounds = np.array([tag in tags for tags in loaded.round_tags], dtype=np.bool_)
    return rounds[shots.round] if len(rounds) else np.zeros(0, dtype=np.bool_)
