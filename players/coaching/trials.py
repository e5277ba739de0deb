"""Trials: does it go better with A than with B? Any tag: the round's ball, the club, tags of rounds or shots."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from golfstats.calc.clubs import one_name
from golfstats.calc.coaching.trials import (
    TrialResult,
    TrialShots,
    TrialWarning,
    Verdict,
    run_trial,
    side_deviation,
)
from golfstats.calc.coaching.words import Better
from golfstats.calc.record import Bools, Floats, Ints
from golfstats.calc.units import Unit
from golfstats.ground.answers import up_to
from golfstats.ground.operations import Asker
from golfstats.ground.words import spoken
from players.coaching.history import histories
from players.coaching.questions import Outcome, TagKind, TrialQuery, TrialUnit
from players.golf.analysed import Golf
from players.golf.answers import Figure, figure, in_unit
from players.people.answers import Named
from players.people.models import Player
from players.rounds.used import balls_used, clubs_used, round_tags_used, shot_tags_used

MOST_NAMES = 40
"""A bag holds 14 clubs; older ones and those on trial are to be found as well."""

_UNIT: dict[Outcome, tuple[Unit, Better]] = {
    Outcome.TRAVEL: (Unit.YARDS, "higher"),
    Outcome.SIDE: (Unit.YARDS, "lower"),
    Outcome.STROKES_GAINED: (Unit.STROKES, "higher"),
}


@dataclass(frozen=True, kw_only=True)
class Trial:
    """One of two tags against the other."""

    player: Named
    tag: TagKind
    """What the two are: balls, or words that rounds or shots were tagged with."""
    a: str
    """The one."""
    b: str
    """The other."""
    outcome: Outcome
    """What is compared."""
    club: str | None
    """Only shots with this club; null is any."""
    first: Figure
    """With A: a plain mean, not adjusted."""
    second: Figure
    """With B: a plain mean, not adjusted."""
    difference: Figure
    """A less B, with distance, lie and course allowed for. An interval that holds zero means: cannot be told yet."""
    p_value: float | None
    """Valid however often one looks."""
    unit_of_trial: TrialUnit
    """Whether shots or whole rounds are compared."""
    verdict: Verdict
    """Which is better, or that it cannot be told."""
    more_shots: int | None
    """Further shots needed to tell; null if it is told, or would take too many."""
    warnings: list[TrialWarning] = up_to(3)
    """What makes the comparison doubtful."""
    words: str


def trials(asker: Asker, players: Sequence[Player], query: TrialQuery) -> list[Trial]:
    unit = query.shown_unit(asker)
    golf = histories(asker, players, query.benchmark, query.since)
    return [_answer(player, run(one, query), query, unit) for player, one in zip(players, golf, strict=True)]


def _answer(player: Player, result: TrialResult, query: TrialQuery, unit: str) -> Trial:
    signed = query.outcome is Outcome.STROKES_GAINED
    return Trial(
        player=Named(player.id, player.name),
        tag=query.tag,
        a=query.a,
        b=query.b,
        outcome=query.outcome,
        club=query.club,
        first=figure(result.first, unit=unit, of="shot", signed=signed),
        second=figure(result.second, unit=unit, of="shot", signed=signed),
        difference=figure(result.difference, unit=unit, of="shot", signed=True),
        p_value=result.p_value,
        unit_of_trial=TrialUnit(result.unit_of_trial),
        verdict=result.verdict,
        more_shots=result.more_shots,
        warnings=list(result.warnings),
        words=spoken(replace(result, difference=in_unit(result.difference, unit)).words(query.a, query.b)),
    )


def run(golf: Golf, asked: TrialQuery) -> TrialResult:
    """A against B over the shots of the one player of ``golf``, in order of play.

    Clubs are compared on the same holes.
    """
    first, second = (_tagged(golf, asked.tag, tag) for tag in (asked.a, asked.b))
    wanted = _with_club(golf, asked.club) if asked.club else np.ones(len(first), dtype=np.bool_)
    chosen = _shots(golf, asked, first, np.flatnonzero((first ^ second) & wanted))
    if asked.outcome is Outcome.SIDE:
        known = chosen.select(np.isfinite(chosen.outcome))
        chosen = replace(known, outcome=side_deviation(known.outcome, known.first))
    return run_trial(chosen, *_UNIT[asked.outcome])


def _shots(golf: Golf, asked: TrialQuery, first: Bools, rows: Ints) -> TrialShots:
    record = golf.analysed.record
    shots, round = record.shots, record.shots.round[rows]
    wind = shots.wind_speed[rows]
    course = record.rounds.course[round]
    number = record.holes.number[shots.hole[rows]]
    return TrialShots(
        outcome=_outcome(golf, asked.outcome)[rows],
        first=first[rows],
        round=round,
        distance=shots.distance[rows],
        lie=shots.lie[rows].astype(np.int64),
        hole=100 * course + number if asked.tag is TagKind.CLUB else None,
        wind=np.where(np.isfinite(wind), wind, record.rounds.wind_speed[round]),
        temperature=record.rounds.temperature[round],
        course=course,
        day=record.rounds.day[round].astype(np.float64),
    )


def names_to_compare(player: Player, kind: TagKind) -> list[str]:
    """What the player's golf names of this kind, so that a trial may ask about it. One query."""
    match kind:
        case TagKind.CLUB:
            return clubs_used([player.id], MOST_NAMES).get(player.id, [])
        case TagKind.BALL:
            return balls_used([player.id], MOST_NAMES).get(player.id, [])
        case TagKind.ROUND:
            return round_tags_used(player.id)
        case TagKind.SHOT:
            return shot_tags_used(player.id)


def _outcome(golf: Golf, outcome: Outcome) -> Floats:
    shots = golf.analysed.record.shots
    if outcome is Outcome.TRAVEL:
        return shots.travel
    return shots.offline if outcome is Outcome.SIDE else golf.analysed.strokes_gained


def _with_club(golf: Golf, club: str) -> Bools:
    clubs, club = golf.loaded.clubs, one_name(club)
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
