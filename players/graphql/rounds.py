"""Rounds, with holes, shots and what the worker made of them."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import UUID

import strawberry
from strawberry.scalars import JSON

from golfstats.graphql.context import Info
from golfstats.graphql.paging import Order
from golfstats.graphql.rows import ClubType, Family, Row, row_of, rows_of
from players import models, notation
from players.api.conditions import condition_json
from players.conditions.queries import round_conditions
from players.graphql.figures import AdjustedPutting
from players.queries import of_rounds
from players.queries.rounds import round_line
from players.round_input import RoundInput
from players.round_output import as_input

NEWEST = Order(("-played_on", "-id"))
Parent = strawberry.Parent[Row]


@strawberry.type(description="A player, course or tee by name.")
class Named:
    id: UUID
    name: str


@strawberry.type(
    description="Strokes gained of a shot against the club's benchmark, as the worker stored them."
)
class ShotFigures(ClubType):
    model = models.ShotFigures
    part: str
    expected_before: float
    expected_after: float
    strokes_gained: float


@strawberry.type
class Shot(ClubType):
    model = models.Shot
    id: UUID
    number: int
    lie: str
    distance: float = strawberry.field(
        description="To the hole before the shot: yards (feet on the green), or metres."
    )
    holed: bool
    club: str | None
    penalty_strokes: int
    penalty_kind: str | None
    target_distance: float | None
    travel: float | None
    offline: float | None
    miss_side: str | None
    miss_depth: str | None
    short_sided: bool | None
    lie_quality: str | None
    swing: str | None
    wind: str | None
    wind_mph: float | None
    elevation: float | None
    slope: str | None
    putt_break: str | None
    fault: str | None
    tags: list[str]
    figures: ShotFigures | None


@strawberry.type
class PlayedHole(ClubType):
    model = models.PlayedHole
    number: int
    score: int
    picked_up: bool
    putts: int | None
    penalties: int | None
    fairway_hit: bool | None
    green_in_regulation: bool | None
    shots: list[Shot]


@strawberry.type(
    description="Strokes gained of a round by part, and what the surface is estimated to account for."
)
class RoundFigures(ClubType):
    model = models.RoundFigures
    benchmark: str
    holes_covered: int = strawberry.field(
        description="Holes with every shot recorded: those that count here."
    )
    total: float | None
    tee: float | None
    approach: float | None
    short_game: float | None
    putting: float | None
    putts: int | None
    surface_disturbance: float | None
    surface_strokes: float | None
    surface_low: float | None
    surface_high: float | None


@strawberry.type
class WorkBefore:
    id: UUID
    kind: str
    words: str
    days_before: int
    holes: list[int]


@strawberry.type(description="Was it the player or the greens.")
class RoundCondition:
    note: str
    disturbance: float = strawberry.field(
        description="Mean over the holes played: 0 undisturbed, 1 just cored."
    )
    temporary_greens: bool
    work: list[WorkBefore] = strawberry.field(description="Work that was still felt.")
    putting: AdjustedPutting | None


@strawberry.type
class Round(ClubType):
    model = models.Round
    id: UUID
    player: Named
    course: Named
    tee: Named
    played_on: dt.date
    start_time: dt.time | None
    section: str
    format: str
    counting: bool
    competition: bool
    analysis: str = strawberry.field(description="pending, done or failed.")
    analysis_reason: str
    version: int
    holes_played: int
    score: int

    @strawberry.field(graphql_type=list[PlayedHole], description="With every shot, in the club's unit.")
    @staticmethod
    def holes(round: Parent, info: Info) -> Any:
        family = round.family
        return family.once("holes", lambda: _holes(family, info.context.club.distance_unit))[round.id]

    @strawberry.field(
        graphql_type=JSON,
        description="Everything of it in the words of posting: `round` of GET /api/v1/rounds/<id>.",
    )
    @staticmethod
    def document(round: Parent, info: Info) -> Any:
        return _as_posted(round, info).model_dump(mode="json")

    @strawberry.field(description="The round in the compact notation.")
    @staticmethod
    def notation(round: Parent, info: Info) -> str:
        return notation.write(_as_posted(round, info))

    @strawberry.field(graphql_type=RoundFigures | None, description="Null until the worker is done.")
    @staticmethod
    def figures(round: Parent) -> Any:
        family = round.family
        return family.once("figures", lambda: _figures(family)).get(round.id)

    @strawberry.field(
        graphql_type=RoundCondition | None, description="The greens of that day, and putting without them."
    )
    @staticmethod
    def condition(round: Parent) -> Any:
        family = round.family
        found = family.once("condition", lambda: round_conditions(family.ids)).get(round.id)
        return None if found is None else condition_json(found)

    @strawberry.field(description="What the greens' state had to do with it, in words.")
    @staticmethod
    def condition_note(round: Parent) -> str | None:
        family = round.family
        return family.once("notes", lambda: of_rounds.condition_notes(family.ids)).get(round.id)


def round_row_line(round_: models.Round) -> dict[str, Any]:
    line = round_line(round_)
    return line | {"holes_played": line["holes"]}


def _holes(family: Family, unit: str) -> dict[UUID, list[Row]]:
    return {round_.id: _holes_of(round_, unit) for round_ in _with_shots(family)}


def _with_shots(family: Family) -> list[models.Round]:
    rounds = family.models(models.Round)
    family.once("shots", lambda: of_rounds.load_shots(rounds))
    return rounds


def _as_posted(round: Row, info: Info) -> RoundInput:
    _with_shots(round.family)
    assert isinstance(round.model, models.Round)  # noqa: S101 - a type of its own refuses other rows
    return as_input(round.model, info.context.club.distance_unit)


def _holes_of(round_: models.Round, unit: str) -> list[Row]:
    """The holes in the words of posting, each row with its own part of them."""
    lines = {hole["number"]: hole for hole in as_input(round_, unit).model_dump(mode="json")["holes"]}
    holes = sorted(round_.holes.all(), key=lambda hole: hole.number)
    return rows_of(holes, lambda hole: lines[hole.number] | {"shots": _shots_of(hole, lines[hole.number])})


def _shots_of(hole: models.PlayedHole, line: dict[str, Any]) -> list[Row]:
    shots = sorted(hole.shots.all(), key=lambda shot: shot.number)
    return rows_of(shots, lambda shot: _shot_line(shot, line["shots"][shot.number - 1]))


def _shot_line(shot: models.Shot, line: dict[str, Any]) -> dict[str, Any]:
    stored = next(iter(shot.figures.all()), None)
    figures = None if stored is None else row_of(stored, vars)
    return line | {"id": shot.id, "number": shot.number, "figures": figures}


def _figures(family: Family) -> dict[UUID, Row]:
    found = rows_of(of_rounds.stored_figures(family.ids), vars)
    return {row.line["round_id"]: row for row in found}
