"""Writes what the worker computed of a round: strokes gained of its shots, and their sums by part."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from uuid import UUID

import numpy as np
from django.db import transaction

from golfstats.calc.record import Floats, Ints
from golfstats.calc.strokes.benchmark import Benchmark
from golfstats.calc.strokes.gained import strokes_gained
from golfstats.calc.strokes.parts import PartTotals, parts_of_shots, totals_by_round
from golfstats.calc.vocabulary import UNKNOWN, Part
from golfstats.clubs.bulk import copy_rows
from golfstats.clubs.models import Club
from golfstats.outbox import work
from golfstats.postgres.statistics import refresh_statistics
from players import club_fits, posting
from players.coaching import announcing
from players.conditions import worker as conditions
from players.models import Round, RoundFigures, ShotFigures
from players.queries.benchmarks import benchmark_for
from players.queries.record import LoadedRecord, load_record

MANY_ROUNDS = 100
"""New at once, so many rounds make the planner's statistics useless."""


@transaction.atomic
def analyse_rounds(round_ids: Iterable[UUID]) -> None:
    """Compute and store the figures of the given rounds, in a fixed number of queries. Repeatable."""
    club = Club.objects.get()
    benchmark = benchmark_for(club.benchmark)
    loaded = load_record(rounds=list(round_ids))
    shots = loaded.record.shots
    gained = strokes_gained(loaded.record, benchmark)
    part = parts_of_shots(shots.lie, shots.distance, shots.par, club.short_game_yards)
    _store_shot_figures(loaded, benchmark, gained, part)
    _store_round_figures(loaded, club.benchmark, totals_by_round(loaded.record, gained, part))
    conditions.rounds_analysed(club, loaded.round_ids)
    Round.objects.filter(id__any_of=loaded.round_ids).update(analysis="done", analysis_reason="")
    announcing.rounds_analysed(loaded.round_ids)
    for player_id in loaded.players:
        work.ask(posting.PLAYER_REPORT, str(player_id))
    club_fits.ask_for_refit(club)


@transaction.atomic
def analyse_pending() -> int:
    """Analyse every pending round of the club in scope in one pass, and take that work off the outbox.

    For a bulk of rounds (the demo, an import): one pass over a thousand rounds is far quicker than a
    thousand passes over one. Returns how many rounds it was.
    """
    pending = list(Round.objects.filter(analysis="pending").values_list("id", flat=True))
    if len(pending) >= MANY_ROUNDS:
        refresh_statistics()
    analyse_rounds(pending)
    work.withdraw(posting.ROUND_ANALYSIS, [str(round_id) for round_id in pending])
    return len(pending)


def mark_failed(round_id: UUID, reason: str) -> None:
    Round.objects.filter(id=round_id).update(analysis="failed", analysis_reason=reason[:500])


def _store_shot_figures(loaded: LoadedRecord, benchmark: Benchmark, gained: Floats, part: Ints) -> None:
    shots = loaded.record.shots
    before = benchmark.expected(shots.lie, shots.distance)
    # By definition of strokes gained; exact, so that what is stored adds up.
    after = before - gained - (1 + shots.penalty)
    rows = [
        ShotFigures(
            shot_id=loaded.shot_ids[int(row)],
            part=Part(part[row]).word,
            expected_before=float(before[row]),
            expected_after=float(after[row]),
            strokes_gained=float(gained[row]),
        )
        for row in np.flatnonzero(np.isfinite(gained))
    ]
    ShotFigures.objects.filter(shot_id__any_of=loaded.shot_ids).delete()
    copy_rows(rows)


def _store_round_figures(loaded: LoadedRecord, benchmark_key: str, totals: PartTotals) -> None:
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
            benchmark=benchmark_key,
            score=int(score[row]),
            holes_played=int(played[row]),
            holes_covered=int(totals.holes[row]),
            putts=int(putts[row]) if putts_complete[row] else None,
            **_gained_columns(totals, row),
        )
        for row in range(rounds)
    ]
    columns: Sequence[str] = [
        "benchmark",
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
