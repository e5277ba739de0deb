"""Writes what the worker computed of a round: strokes gained of its shots, and their sums by part."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from uuid import UUID

import numpy as np
from django.db import transaction
from django.utils import timezone

from golfstats.calc.record import Bools, Floats, Ints
from golfstats.calc.strokes.benchmark import Benchmark
from golfstats.calc.strokes.gained import strokes_gained
from golfstats.calc.strokes.parts import PartTotals, parts_of_shots, totals_by_round
from golfstats.calc.vocabulary import UNKNOWN, Part
from golfstats.ground.clubs.models import Club
from golfstats.ground.statements import prepared_cursor
from golfstats.ground.walls.bulk import delete_those, insert_columns
from golfstats.ground.walls.kept import ANY_KEYS, KeptStatement
from golfstats.ground.walls.scope import current_club_id
from players.figures import announcing
from players.figures.models import RoundFigures, ShotFigures
from players.golf.benchmarks import measure_of, versions_of
from players.golf.loading import LoadedRecord, load_record
from players.rounds.models import Round

_VERSIONS = KeptStatement(lambda: Round.objects.filter(id__any_of=ANY_KEYS).values_list("id", "version"))
_VERSIONS_HELD = KeptStatement(
    lambda: (
        Round.objects.filter(id__any_of=ANY_KEYS)
        .select_for_update(no_key=True)
        .order_by("player_id", "id")
        .values_list("id", "version")
    )
)
_PART_WORDS = {int(part): part.word for part in Part}


@dataclass(frozen=True, eq=False)
class Analysed:
    """What an analysis has read and worked out, for what rests on it."""

    loaded: LoadedRecord
    gained: Floats
    """Strokes gained of each shot; NaN where unknown."""
    kept: Bools
    """Which rounds' figures are stored: the others were changed meanwhile."""


@transaction.atomic(savepoint=False)
def store_figures(club: Club, round_ids: Iterable[UUID]) -> Analysed | None:
    """Compute and store the figures of the given rounds, in a fixed number of queries. Repeatable. None if there are
    none.

    A round that is edited or deleted while this computes keeps its old figures and stays pending: whoever
    changed it has asked for its analysis.
    """
    versions = _versions(round_ids)
    if not versions:
        return None
    loaded = load_record(rounds=versions)
    benchmark = measure_of(club.benchmark, loaded.players, loaded)
    shots = loaded.record.shots
    gained = strokes_gained(loaded.record, benchmark)
    part = parts_of_shots(shots.lie, shots.distance, shots.par, club.short_game_yards)
    unchanged = _lock_unchanged(versions)
    still = set(unchanged)
    kept = np.array([round_id in still for round_id in loaded.round_ids], dtype=np.bool_)
    _store_shot_figures(loaded, kept, benchmark, gained, part)
    totals = totals_by_round(loaded.record, gained, part)
    measured = versions_of(benchmark, loaded)
    _store_round_figures(loaded, versions, kept, (club.benchmark, measured), totals)
    _mark_done(unchanged)
    announcing.rounds_analysed(unchanged)
    return Analysed(loaded, gained, kept)


def _mark_done(round_ids: Sequence[UUID]) -> None:
    with prepared_cursor() as cursor:
        cursor.execute(
            """
            UPDATE players_round SET analysis = 'done', analysis_reason = ''
            WHERE club_id = %s AND id = ANY(%s::uuid[])
            """,
            [current_club_id(), round_ids],
        )


def mark_failed(round_id: UUID, reason: str) -> None:
    Round.objects.filter(id=round_id).update(analysis="failed", analysis_reason=reason[:500])


def _versions(round_ids: Iterable[UUID]) -> dict[UUID, int]:
    """The rounds that exist, and which version of each is about to be read."""
    return dict(_VERSIONS.found(keys=list(round_ids)))


def _lock_unchanged(versions: Mapping[UUID, int]) -> list[UUID]:
    """Which rounds are still what was read; nobody changes them before this transaction ends.

    In the order of players, as pieces of many rounds are: two who analyse the same rounds never both wait.
    """
    held = _VERSIONS_HELD.found(keys=list(versions))
    return [key for key, version in held if versions[key] == version]


def _store_shot_figures(
    loaded: LoadedRecord, kept: Bools, benchmark: Benchmark, gained: Floats, part: Ints
) -> None:
    shots = loaded.record.shots
    before = benchmark.expected_in(loaded.record)
    # By definition of strokes gained; exact, so that what is stored adds up.
    after = before - gained - (1 + shots.penalty)
    delete_those(ShotFigures, "shot_id", loaded.shot_ids.those(kept[shots.round]).keys())
    rows = np.flatnonzero(np.isfinite(gained) & kept[shots.round])
    if not len(rows):
        return
    columns = {
        "shot_id": loaded.shot_ids.those(rows),
        "part": [_PART_WORDS[one] for one in part[rows].tolist()],
        "expected_before": before[rows].tolist(),
        "expected_after": after[rows].tolist(),
        "strokes_gained": gained[rows].tolist(),
    }
    insert_columns(ShotFigures, columns)


def _store_round_figures(
    loaded: LoadedRecord,
    versions: Mapping[UUID, int],
    kept: Bools,
    benchmark: tuple[str, Sequence[str]],
    totals: PartTotals,
) -> None:
    """``benchmark`` is its key, and its version for each round."""
    holes = loaded.record.holes
    rounds = len(loaded.round_ids)
    played = np.bincount(holes.round, minlength=rounds)
    score = np.bincount(holes.round, weights=holes.score, minlength=rounds)
    putts_known = holes.putts != UNKNOWN
    putts = np.bincount(holes.round[putts_known], weights=holes.putts[putts_known], minlength=rounds)
    putts_complete = np.bincount(holes.round, weights=putts_known, minlength=rounds) == played
    rows = np.flatnonzero(kept)
    if not len(rows):
        return
    ids = [loaded.round_ids[row] for row in rows.tolist()]
    covered = totals.holes > 0
    columns: dict[str, Sequence[Any]] = {
        "round_id": ids,
        "benchmark": [benchmark[0]] * len(ids),
        "benchmark_version": [benchmark[1][row] for row in rows.tolist()],
        "version": [versions[round_id] for round_id in ids],
        "score": score[rows].astype(np.int64).tolist(),
        "holes_played": played[rows].tolist(),
        "holes_covered": totals.holes[rows].tolist(),
        "putts": _known(putts.astype(np.int64), putts_complete, rows),
        "total": _known(totals.total, covered, rows),
        **{part.word: _known(totals.gained[:, part], covered, rows) for part in Part},
        "computed_at": [timezone.now()] * len(ids),
    }
    insert_columns(RoundFigures, columns, in_place_of="round_id")


def _known(values: Floats | Ints, known: Bools, rows: Ints) -> list[float | None]:
    """Of these rows; None where the value is not known."""
    pairs = zip(values[rows].tolist(), known[rows].tolist(), strict=True)
    return [value if is_known else None for value, is_known in pairs]
