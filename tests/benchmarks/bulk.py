"""Work on a whole club: analysing every round again, and fitting what its golf teaches."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date

import numpy as np
import psycopg
from django.db import transaction

from golfstats.calc.putting.likelihood import putts_of
from golfstats.ground.walls.scope import club_scope
from players.conditions.analysis import analyse_rounds
from players.conditions.effect import refit_greens
from players.golf.bare import load_bare
from players.golf.club_fits import refit_club
from players.rounds.models import Round
from tests.benchmarks import databases
from tests.benchmarks.asking import World
from tests.benchmarks.floors import Floor
from tests.benchmarks.measuring import Clock, Measured, pairs, peak_mb
from tests.benchmarks.rows import world_in

PASSES = 50
MEMORY_MB = 400


def reanalyse_club() -> Iterator[Measured]:
    """Every round of five years, against its shots copied out and its figures copied in. Run it alone for its memory."""
    with world_in(databases.GROWN) as (world, floor, clock):
        peaks: list[float] = []

        def analyse() -> None:
            _taken_back(world, _analyse_everything)
            peaks.append(peak_mb())  # the first is before the floor, which holds a club's figures at once

        ours, least = pairs(analyse, lambda: copy_out_and_in(floor), clock, rounds=1)
        yield Measured("reanalyse_club", ours, least, 2.0, more=_held(peaks[0]))


def refits() -> Iterator[Measured]:
    """The club's golfers and what its greens cost, against fifty passes over the putts."""
    with world_in(databases.GROWN) as (world, _, clock):
        with club_scope(world.club.id):
            feet = putts_of(load_bare().record).distance_ft
        for name, fit in (
            ("refit_club", lambda: refit_club(date(2026, 9, 1))),
            ("effect_refit", refit_greens),
        ):
            yield _fit(name, world, fit, feet, clock)


def _fit(name: str, world: World, fit: Callable[[], object], feet: np.ndarray, clock: Clock) -> Measured:
    def passes() -> None:
        for each in range(PASSES):
            np.log1p(np.exp(-feet / (5.0 + each))).sum()

    ours, least = pairs(lambda: _taken_back(world, fit), passes, clock, rounds=1)
    return Measured(name, ours, least, 2.0, more=_held(peak_mb()))


def copy_out_and_in(floor: Floor) -> None:
    """What analysis reads of the shots, and its figures as they are, out and in again."""
    with floor.transaction() as cursor:
        with cursor.copy(
            "COPY (SELECT played_hole_id, number, lie, distance, holed, penalty_strokes FROM players_shot)"
            " TO STDOUT (FORMAT binary)"
        ) as stream:
            for _ in stream:
                pass
        with cursor.copy("COPY (SELECT * FROM players_shotfigures) TO STDOUT (FORMAT binary)") as stream:
            figures = list(stream)
        cursor.execute("CREATE TEMPORARY TABLE floor_figures (LIKE players_shotfigures) ON COMMIT DROP")
        with cursor.copy("COPY floor_figures FROM STDIN (FORMAT binary)") as stream:
            for piece in figures:
                stream.write(piece)
        cursor.execute("DELETE FROM players_shotfigures")
        cursor.execute("INSERT INTO players_shotfigures SELECT * FROM floor_figures")
        raise psycopg.Rollback


def _taken_back(world: World, work: Callable[[], object]) -> None:
    with club_scope(world.club.id), transaction.atomic():
        work()
        transaction.set_rollback(True)


def _analyse_everything() -> None:
    analyse_rounds(list(Round.objects.values_list("id", flat=True)))


def _held(mb: float) -> dict[str, object]:
    return {"peak_mb": round(mb), "held": mb <= MEMORY_MB}


BULK: dict[str, Callable[..., Iterator[Measured]]] = {"reanalyse_club": reanalyse_club, "refit": refits}
