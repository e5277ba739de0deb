"""Writes what the worker computed of a round: strokes gained of its shots, and their sums by part."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

import numpy as np
from django.db import transaction

from golfstats.calc.record import Bools, Floats, Ints
from golfstats.calc.strokes.benchmark import Benchmark
from golfstats.calc.strokes.gained import strokes_gained
from golfstats.calc.strokes.parts import PartTotals, parts_of_shots, totals_by_round
from golfstats.calc.vocabulary import UNKNOWN, Part
from golfstats.ground.clubs.models import Club
from golfstats.ground.walls.bulk import insert_columns
from players.figures import announcing
from players.figures.models import RoundFigures, ShotFigures
from players.golf.benchmarks import measure_of, versions_of
from players.golf.loading import LoadedRecord, load_record
from players.rounds.models import Round

_PART_WORDS = {int(part): part.word for part in Part}


@dataclass(frozen=True, eq=False)
class Analysed:
    """What an analysis has read and worked out, for what rests on it."""

    loaded: LoadedRecord
    gained: Floats
    """Strokes gained of each shot; NaN where unknown."""
    kept: Bools
    """Which rounds' figures are stored: the others were changed meanwhile."""


@transaction.atomic
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
    Round.objects.filter(id__any_of=unchanged).update(analysis="done", analysis_reason="")
    announcing.rounds_analysed(unchanged)
    return Analysed(loaded, gained, kept)


def mark_failed(round_id: UUID, reason: str) -> None:
    Round.objects.filter(id=round_id).update(analysis="failed", analysis_reason=reason[:500])


def _versions(round_ids: Iterable[UUID]) -> dict[UUID, int]:
    """The rounds that exist, and which version of each is about to be read."""
    return dict(Round.objects.filter(id__any_of=list(round_ids)).values_list("id", "version"))


def _lock_unchanged(versions: Mapping[UUID, int]) -> list[UUID]:
    """Which rounds are still what was read; nobody changes them before this transaction ends.

    In the order of players, as pieces of many rounds are: two who analyse the same rounds never both wait.
    """
    held = Round.objects.filter(id__any_of=list(versions)).select_for_update(no_key=True)
    rounds = held.order_by("player_id", "id")
    return [key for key, version in rounds.values_list("id", "version") if versions[key] == version]


def _store_shot_figures(
    loaded: LoadedRecord, kept: Bools, benchmark: Benchmark, gained: Floats, part: Ints
) -> None:
    shots = loaded.record.shots
    before = benchmark.expected_in(loaded.record)
    # By definition of strokes gained; exact, so that what is stored adds up.
    after = before - gained - (1 + shots.penalty)
    replaced = loaded.shot_ids.those(kept[shots.round])
    ShotFigures.objects.filter(shot_id__any_of=replaced.keys()).delete()
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
    rows = [
        RoundFigures(
            round_id=loaded.round_ids[row],
            benchmark=benchmark[0],
            benchmark_version=benchmark[1][row],
            version=versions[loaded.round_ids[row]],
            score=int(score[row]),
            holes_played=int(played[row]),
            holes_covered=int(totals.holes[row]),
            putts=int(putts[row]) if putts_complete[row] else None,
            **_gained_columns(totals, row),
        )
        for row in map(int, np.flatnonzero(kept))
    ]
    columns: Sequence[str] = [
        "benchmark",
        "benchmark_version",
        "version",
        "score",
        "holes_played",
        "holes_covered",
        "putts",
        "total",
        "tee",
        "approach",
        "short_game",
        "putting",
    ]
    RoundFigures.objects.bulk_create(
        rows, update_conflicts=True, unique_fields=["club", "round"], update_fields=[*columns, "computed_at"]
    )


def _gained_columns(totals: PartTotals, row: int) -> dict[str, float | None]:
    columns: dict[str, float | None] = dict.fromkeys(["total", *Part.words()])
    if totals.holes[row] > 0:
        columns["total"] = float(totals.total[row])
        columns.update((part.word, float(totals.gained[row, part])) for part in Part)
    return columns
