"""A player's larger answers: typed at the top; what is below is REST's own document, names and all."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from typing import Any
from uuid import UUID

import strawberry
from strawberry.scalars import JSON

from golfstats.calc.figures.catalogue import UnknownFigureError
from golfstats.graphql.paging import Page, page_of_list
from players.api.behind import row_json
from players.api.coach_view import unknown_figure
from players.graphql.figures import Figure
from players.graphql.rounds import Named
from players.queries.analysed import Golf
from players.queries.figures import Behind, behind


@strawberry.type
class AnswerWindow:
    rounds: int
    first: dt.date | None
    last: dt.date | None
    words: str


@strawberry.type(description="Whom an answer compares with.")
class UsedBenchmark:
    key: str
    name: str
    description: str
    provenance: str
    caution: str


@strawberry.type
class PlayerAnswer:
    player: Named
    window: AnswerWindow
    benchmark: UsedBenchmark


@strawberry.type(description="As GET /api/v1/players/<id>/summary.")
class PlayerSummary(PlayerAnswer):
    words: str
    strokes_gained: JSON
    scoring: JSON
    rounds: JSON


@strawberry.type(description="As GET /api/v1/players/<id>/putting.")
class PlayerPutting(PlayerAnswer):
    spreads: JSON
    make_curve: JSON
    first_putts: JSON
    habits: JSON
    under_reading: JSON
    below_against_above_the_hole: JSON


@strawberry.type(description="As GET /api/v1/players/<id>/approach.")
class PlayerApproach(PlayerAnswer):
    bands: JSON


@strawberry.type(description="As GET /api/v1/players/<id>/misses.")
class PlayerMisses(PlayerAnswer):
    benchmark_golfer: str
    squad: str
    green: JSON
    fairway: JSON


@strawberry.type(description="As GET /api/v1/players/<id>/distances.")
class PlayerDistances(PlayerAnswer):
    caution: str
    clubs: JSON
    gaps: JSON


@strawberry.type
class ObservedHole:
    number: int
    par: int | None
    score: int
    putts: int | None


@strawberry.type
class ObservedShot:
    id: UUID
    number: int
    lie: str
    distance: float
    distance_unit: str
    club: str | None
    holed: bool
    penalty_strokes: int
    finish_lie: str | None
    finish_distance: float | None
    finish_unit: str
    part: str
    strokes_gained: float | None


@strawberry.type(description="A shot, hole or round behind a figure, and what it contributes.")
class Observation:
    value: float
    round: UUID
    played_on: dt.date
    course: str
    hole: ObservedHole | None
    shot: ObservedShot | None


@strawberry.type
class FigureOfRound:
    round: UUID
    played_on: dt.date
    course: str
    value: float
    n: int


@strawberry.type(description="One of two tags against the other; see GET /api/v1/players/<id>/trials.")
class Trial:
    tag: str
    a: str
    b: str
    outcome: str
    club: str | None
    first: Figure
    second: Figure
    difference: Figure
    p_value: float | None
    unit_of_trial: str
    verdict: str
    more_shots: int | None
    words: str


def observations_page(golf: Golf, figure: str, page: Page, unit: str) -> dict[str, Any]:
    """One page of the observations behind the figure of this key, newest round first."""
    try:
        found = behind(golf, figure)
    except UnknownFigureError as error:
        raise unknown_figure(error, "/figure") from None
    cursors = _cursors(golf, found)
    told = page_of_list(cursors, str, page)
    rows = {cursor: row for row, cursor in enumerate(cursors)}
    for edge in told["edges"]:
        edge["node"] = row_json(golf, found.named.spec, found.observations, rows[edge["node"]], unit)
    return told


def _cursors(golf: Golf, found: Behind) -> list[str]:
    """Each observation by its round and its place in it, which stay while other rounds are added."""
    seen: Counter[int] = Counter()
    cursors = []
    for row in found.observations.round.tolist():
        seen[row] += 1
        cursors.append(f"{golf.loaded.round_ids[row]} {seen[row]}")
    return cursors
