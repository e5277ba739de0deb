"""Strokes gained of rounds and shots as the worker stored them: against the club's own benchmark."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated
from uuid import UUID

from golfstats.calc.vocabulary import Part
from golfstats.ground.answers import OneOf
from golfstats.ground.operations import Asker, Query
from players.figures import models
from players.rounds.models import Round

PartWord = Annotated[str, OneOf(Part)]


@dataclass(frozen=True)
class RoundFigures:
    """Strokes gained of a round by part, and what the surface is estimated to account for."""

    benchmark: str
    holes_covered: int
    """Holes with every shot recorded: those that count here."""
    total: float | None
    tee: float | None
    approach: float | None
    short_game: float | None
    putting: float | None
    putts: int | None
    surface_disturbance: float | None
    """Mean over the holes played: 0 undisturbed, 1 just cored."""
    surface_strokes: float | None
    surface_low: float | None
    surface_high: float | None


@dataclass(frozen=True)
class ShotFigures:
    """Strokes gained of a shot against the club's benchmark, as the worker stored them."""

    shot: UUID
    hole: int
    number: int
    part: PartWord
    expected_before: float
    expected_after: float
    strokes_gained: float


def round_figures(_: Asker, rounds: Sequence[Round], __: Query) -> list[RoundFigures | None]:
    """None until the worker is done."""
    stored = models.RoundFigures.objects.filter(round_id__any_of=[round_.id for round_ in rounds])
    names = RoundFigures.__dataclass_fields__
    by_round = {row.round_id: RoundFigures(**{name: getattr(row, name) for name in names}) for row in stored}
    return [by_round.get(round_.id) for round_ in rounds]


def shot_figures(_: Asker, rounds: Sequence[Round], __: Query) -> list[list[ShotFigures]]:
    """One query, whatever the number of rounds."""
    stored = models.ShotFigures.objects.filter(
        shot__played_hole__round_id__any_of=[round_.id for round_ in rounds]
    )
    by_round: dict[UUID, list[ShotFigures]] = defaultdict(list)
    rows = stored.select_related("shot__played_hole").order_by("shot__played_hole__number", "shot__number")
    for row in rows:
        hole = row.shot.played_hole
        by_round[hole.round_id].append(
            ShotFigures(
                row.shot_id,
                hole.number,
                row.shot.number,
                row.part,
                row.expected_before,
                row.expected_after,
                row.strokes_gained,
            )
        )
    return [by_round[round_.id] for round_ in rounds]
