"""Was it the player or the greens: of a round, of a player's last rounds, and of a squad's."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.utils.translation import gettext
from pydantic import Field

from golfstats.calc.greens import adjusted as calc
from golfstats.calc.greens.effect.posterior import GreensEffect
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.ground.answers import up_to
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import told_again
from players.conditions.effect import stored_effect
from players.conditions.models import RoundNote
from players.conditions.surface import RoundSurface, round_surfaces
from players.golf.answers import Figure, figure
from players.golf.windows import USUAL_ROUNDS, RoundWindow, rounds_in
from players.people.answers import Named
from players.people.models import Player, Squad
from players.people.permissions import squad_places
from players.rounds.answers import RoundHead, round_head
from players.rounds.models import Round


class LastQuery(Query):
    last: int = Field(
        USUAL_ROUNDS, ge=1, le=200, description=f"the last so many rounds; {USUAL_ROUNDS} if left out"
    )


@dataclass(frozen=True)
class WorkBefore:
    """Green work that was still felt that day."""

    id: UUID
    kind: str
    """Key of the kind of work."""
    words: str
    days_before: int
    """Days from its end to the round; 0 while it lasted."""
    holes: list[int] | None
    """Null: all greens."""


@dataclass(frozen=True)
class AdjustedPutting:
    """Putting strokes gained a round, what the disturbed surface accounts for, and without that."""

    raw: Figure
    """Strokes gained putting a round on the greens as they were; never replaced. Zero is the golfer compared
    with, more is better.
    """
    owed: Figure
    """Strokes a round lost to the disturbed surface, by what it costs this club's usual member from the same
    distances; below zero the surface gave some.
    """
    adjusted: Figure
    """Strokes gained putting a round without what the surface took: raw and owed together. Zero is the golfer
    compared with, more is better.
    """


@dataclass(frozen=True, kw_only=True)
class RoundCondition:
    """A round on the greens of its day."""

    note: str
    """The condition note; empty where no green work was felt."""
    disturbance: float
    """Of the surface, from 0 to 1; mean over the holes played."""
    temporary_greens: bool
    """The round was played to temporary greens."""
    work: list[WorkBefore] = up_to(10)
    """Latest first."""
    putting: AdjustedPutting | None
    """Null where no putt is recorded shot by shot, or on temporary greens."""


@dataclass(frozen=True, kw_only=True)
class ConditionOfRound(RoundCondition):
    """A round, and the greens of its day."""

    round: RoundHead
    """Which round."""


@dataclass(frozen=True)
class RoundsCounted:
    """How many rounds an answer is about."""

    rounds: int
    """How many rounds count."""
    left_out: int
    """Rounds without recorded putts, or on temporary greens."""


@dataclass(frozen=True)
class AdjustedRound:
    """One round with and without what the surface accounts for."""

    id: UUID
    played_on: dt.date
    course: UUID
    note: str
    """The condition note; empty where no green work was felt."""
    disturbance: float
    """Of the surface, from 0 to 1; mean over the holes played."""
    temporary_greens: bool
    """The round was played to temporary greens."""
    putting: AdjustedPutting | None
    """Null where no putt is recorded shot by shot, or on temporary greens."""


@dataclass(frozen=True)
class AdjustedGolf:
    """A player's putting over their last rounds, with and without what the surface accounts for."""

    player: Named
    window: RoundsCounted
    putting: AdjustedPutting
    """All the rounds together."""


@dataclass(frozen=True)
class PlayerConditionAdjusted(AdjustedGolf):
    """The same with each round."""

    rounds: list[AdjustedRound] = up_to(20)
    """Newest first."""


@dataclass(frozen=True)
class SquadConditionAdjusted:
    """Putting of each player of a squad, with and without what the surface accounts for."""

    squad: Named
    players: list[AdjustedGolf] = up_to(30)
    """By name."""


@dataclass(frozen=True)
class _OnTheDay:
    surface: RoundSurface
    note: str
    putting: AdjustedPutting | None


def round_conditions(_: Asker, rounds: Sequence[Round], __: Query) -> list[RoundCondition]:
    """As many queries for many rounds as for one."""
    on_the_day = {
        one.surface.round_id: one for one in _on_the_day([row.id for row in rounds], stored_effect().greens)
    }
    return [_round_condition(on_the_day[row.id]) for row in rounds]


def player_adjusted(_: Asker, players: Sequence[Player], query: LastQuery) -> list[PlayerConditionAdjusted]:
    return adjusted([Named(player.id, player.name) for player in players], RoundWindow(query.last))


def squad_adjusted(asker: Asker, squads: Sequence[Squad], query: LastQuery) -> list[SquadConditionAdjusted]:
    places: dict[UUID, list[Named]] = defaultdict(list)
    rows = squad_places(asker.member).filter(squad__in=squads).order_by("player__name", "player_id")
    for squad_id, player_id, name in rows.values_list("squad_id", "player_id", "player__name"):
        places[squad_id].append(Named(player_id, name))
    everybody = {player.id: player for own in places.values() for player in own}
    golf = {one.player.id: one for one in adjusted(list(everybody.values()), RoundWindow(query.last))}
    return [
        SquadConditionAdjusted(
            Named(squad.id, squad.name), [_without_rounds(golf[one.id]) for one in places[squad.id]]
        )
        for squad in squads
    ]


def adjusted(players: Sequence[Named], window: RoundWindow) -> list[PlayerConditionAdjusted]:
    """The putting of each player over their rounds of a window. As many queries for many as for one."""
    effect = stored_effect().greens
    by_player: dict[UUID, list[_OnTheDay]] = defaultdict(list)
    for one in _on_the_day(rounds_in([player.id for player in players], window), effect):
        by_player[one.surface.player_id].append(one)
    return [_adjusted(player, by_player[player.id], effect) for player in players]


def _without_rounds(golf: PlayerConditionAdjusted) -> AdjustedGolf:
    return AdjustedGolf(golf.player, golf.window, golf.putting)


def _adjusted(player: Named, rounds: Sequence[_OnTheDay], effect: GreensEffect) -> PlayerConditionAdjusted:
    putting = [one.surface.putting for one in rounds if one.surface.putting is not None]
    return PlayerConditionAdjusted(
        player,
        RoundsCounted(len(rounds), sum(one.putting is None for one in rounds)),
        _putting(calc.adjust_window(effect, putting)),
        rounds=[_adjusted_round(one) for one in reversed(rounds)],
    )


def _on_the_day(round_ids: Iterable[UUID], effect: GreensEffect) -> list[_OnTheDay]:
    """These rounds in order of play, with their notes and their putting with and without the surface."""
    surfaces = round_surfaces(round_ids, effect)
    ids = [surface.round_id for surface in surfaces]
    notes = told_notes(ids)
    return [
        _OnTheDay(
            surface,
            notes.get(surface.round_id, ""),
            None if surface.putting is None else _putting(calc.adjust_round(effect, surface.putting)),
        )
        for surface in surfaces
    ]


def _putting(putting: calc.AdjustedPutting) -> AdjustedPutting:
    return AdjustedPutting(
        figure(putting.raw, of="round", signed=True),
        figure(putting.owed, of="round"),
        figure(putting.adjusted, of="round", signed=True),
    )


def _round_condition(one: _OnTheDay) -> RoundCondition:
    surface = one.surface
    return RoundCondition(
        note=one.note,
        disturbance=round(surface.disturbance, 3),
        temporary_greens=surface.temporary,
        work=[
            WorkBefore(
                work.id,
                work.kind,
                gettext(work_types()[work.kind].words),
                max((surface.played_on - work.ends_on).days, 0),
                work.holes,
            )
            for work in surface.felt
        ],
        putting=one.putting,
    )


def _adjusted_round(one: _OnTheDay) -> AdjustedRound:
    surface = one.surface
    return AdjustedRound(
        surface.round_id,
        surface.played_on,
        surface.course_id,
        one.note,
        round(surface.disturbance, 3),
        surface.temporary,
        one.putting,
    )


def conditions_of_rounds(asker: Asker, rounds: Sequence[Round], query: Query) -> list[ConditionOfRound]:
    return [
        ConditionOfRound(round=round_head(round_), **vars(condition))
        for round_, condition in zip(rounds, round_conditions(asker, rounds, query), strict=True)
    ]


def condition_notes(_: Asker, rounds: Sequence[Round], __: Query) -> list[str | None]:
    """What the worker wrote of each round; None of one that it has nothing to say of."""
    notes = told_notes([round_.id for round_ in rounds])
    return [notes.get(round_.id) for round_ in rounds]


def told_notes(rounds: Iterable[UUID]) -> dict[UUID, str]:
    """Those of rounds that have one, in the reader's language. One query."""
    stored = RoundNote.objects.filter(round_id__any_of=list(rounds)).values_list(
        "round_id", "text", "sentence"
    )
    return {round_: told_again(text, sentence) for round_, text, sentence in stored}
