"""The lines of the tables to take along, of a batch of rounds: read with a few queries, whatever their number."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from typing import Any
from uuid import UUID

import numpy as np

from courses.layout.models import Hole, Section
from golfstats.calc.units import YARDS_PER_METRE
from golfstats.ground.clubs.models import Club, DistanceUnit
from players.figures.models import RoundFigures, ShotFigures
from players.figures.named import fixed_specs
from players.files.csv_format import SHOT_COLUMNS
from players.files.outgoing.tables import SHORT, FigureLine, HoleFacts, RoundFacts, RoundLine, ShotLine
from players.golf.analysed import golf_of_rounds
from players.golf.answers import in_shown_unit, shown_unit
from players.golf.benchmarks import versions_of
from players.rounds.fields import posted_shot
from players.rounds.models import PlayedHole, Round, RoundFormat, Shot

PLACES = 4
"""Decimals of a distance: feet on the green, given in yards, are feet again."""


@dataclass(frozen=True)
class Batch:
    """Some rounds with all that their lines are made of. Players, tees, holes and shots are loaded."""

    rounds: Sequence[Round]
    unit: str
    holes: dict[tuple[UUID, int], Hole]
    """By tee set and number."""
    figures: dict[UUID, RoundFigures]
    shots: dict[UUID, ShotFigures]


def load_batch(rounds: Sequence[Round], unit: str) -> Batch:
    """Three queries; those of the shots are not prefetched, as that would prepare a query for each."""
    ids = [round_.id for round_ in rounds]
    holes = Hole.objects.filter(tee_set_id__in={round_.tee_set_id for round_ in rounds})
    figures = RoundFigures.objects.filter(round_id__any_of=ids)
    shots = [shot.id for round_ in rounds for hole in round_.holes.all() for shot in hole.shots.all()]
    of_shots = ShotFigures.objects.filter(shot_id__any_of=shots)
    return Batch(
        rounds,
        unit,
        {(hole.tee_set_id, hole.number): hole for hole in holes},
        {one.round_id: one for one in figures},
        {one.shot_id: one for one in of_shots},
    )


def round_lines(batch: Batch) -> Iterator[RoundLine]:
    for round_ in batch.rounds:
        analysed = batch.figures.get(round_.id)
        played = list(round_.holes.all())
        pars = [_par(batch, round_, hole) for hole in played]
        gained: dict[str, Any] = {
            f"gained_{part}": None if analysed is None else getattr(analysed, part)
            for part in ("total", "tee", "approach", "short_game", "putting")
        }
        beside: dict[str, Any] = {
            name: None if analysed is None else getattr(analysed, name)
            for name in ("holes_covered", "putts", "surface_strokes", "surface_low", "surface_high")
        }
        yield RoundLine(
            **_facts(batch, round_),
            holes_played=len(played),
            score=sum(hole.score for hole in played),
            par=None if None in pars else sum(par for par in pars if par),
            **gained,
            **beside,
        )


def shot_lines(batch: Batch) -> Iterator[ShotLine]:
    return (line for _, line in lines_of_holes(batch) if isinstance(line, ShotLine))


def lines_of_holes(batch: Batch) -> Iterator[tuple[PlayedHole, HoleFacts]]:
    """The shots of each hole. In a round with shots a hole without is told by itself: else half a round came back."""
    for round_ in batch.rounds:
        facts = _facts(batch, round_)
        has_shots = any(hole.shots.all() for hole in round_.holes.all())
        for hole in round_.holes.all():
            of_hole = facts | {
                "hole": hole.number,
                "par": _par(batch, round_, hole),
                "hole_length": _length(batch.holes[round_.tee_set_id, hole.number].length, batch.unit),
                "hole_score": hole.score,
                "picked_up": hole.picked_up,
            }
            if has_shots and not hole.shots.all():
                yield hole, HoleFacts(**of_hole)
            for shot in hole.shots.all():
                yield hole, ShotLine(**of_hole, **_of_shot(batch, shot))


def figure_lines(rounds: Sequence[Round], unit: str) -> Iterator[FigureLine]:
    """Every figure that is observed within single rounds, against the club's benchmark as it is today."""
    golf = golf_of_rounds([round_.id for round_ in rounds], Club.objects.get())
    by_id = {round_.id: round_ for round_ in rounds}
    versions = versions_of(golf.benchmark, golf.loaded)
    for spec in fixed_specs(golf):
        observed = spec.observe(golf.analysed)
        rows, values, counts = observed.by_round
        if spec.statistic == "median":
            values = np.array([np.median(observed.value[observed.round == row]) for row in rows])
        for row, value, n in zip(rows, values, counts, strict=True):
            round_ = by_id[golf.loaded.round_ids[int(row)]]
            course = round_.tee_set.course
            yield FigureLine(
                round=round_.id,
                player_id=round_.player_id,
                player=round_.player.name,
                course_id=course.id,
                course=course.name,
                played_on=round_.played_on,
                key=spec.key,
                value=in_shown_unit(float(value), spec.unit, unit),
                unit=shown_unit(spec.unit, unit),
                n=int(n),
                benchmark=golf.benchmark.key,
                benchmark_version=versions[int(row)],
            )


def _facts(batch: Batch, round_: Round) -> dict[str, Any]:
    course = round_.tee_set.course
    figures = batch.figures.get(round_.id)
    read = {
        "round": round_.id,
        "player": round_.player.name,
        "course": course.name,
        "course_id": course.id,
        "tee": round_.tee_set.name,
        "section": Section(round_.section),
        "format": RoundFormat(round_.format),
        "unit": DistanceUnit(batch.unit),
        "benchmark": figures and figures.benchmark,
        "benchmark_version": figures and (figures.benchmark_version or None),
        "surface_disturbance": figures and figures.surface_disturbance,
        "surface_version": figures and (figures.surface_version or None),
    }
    as_stored = (fact.name for fact in fields(RoundFacts) if fact.name not in read)
    return read | {name: getattr(round_, name) for name in as_stored}


def _of_shot(batch: Batch, shot: Shot) -> dict[str, Any]:
    """In the words of a round as it could be posted, but with every distance in one unit."""
    posted = posted_shot(shot, batch.unit)
    analysed = batch.shots.get(shot.id)
    figures = ("part", "expected_before", "expected_after", "strokes_gained")
    return {
        **{column: posted[name] for column, name in SHOT_COLUMNS.items()},
        "distance": _length(shot.distance, batch.unit),
        "distance_unit": SHORT[batch.unit],
        "shot_id": shot.id,
        "shot": shot.number,
        **{name: analysed and getattr(analysed, name) for name in figures},
    }


def _par(batch: Batch, round_: Round, hole: PlayedHole) -> int | None:
    return batch.holes[round_.tee_set_id, hole.number].par(round_.player.rating_gender)


def _length(yards: float, unit: str) -> float:
    return round(yards / YARDS_PER_METRE if unit == DistanceUnit.METRES else yards, PLACES)
