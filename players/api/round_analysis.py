"""The analysis of a round: every number with what it came from."""

from __future__ import annotations

from typing import Any
from uuid import UUID

import numpy as np
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.api.problems import not_found
from golfstats.calc.strokes.benchmark import Benchmark
from golfstats.calc.vocabulary import UNKNOWN, Lie, Part
from golfstats.clubs.models import Club, DistanceUnit
from players import queries
from players.api import strokes_examples as examples
from players.api.figures import number_words
from players.api.query_string import BENCHMARK, UNIT, StrokesQuery, checked_query
from players.api.strokes_view import StrokesView, benchmark_json
from players.models import Round
from players.queries.round_analysis import (
    PART_RULES,
    RoundAnalysis,
    computed_analysis,
    part_rule,
    stored_analysis,
    stored_benchmark,
)
from players.round_output import from_yards

STATES = {
    "pending": "The worker has not analysed this round yet; ask again in a few seconds.",
    "failed": "The analysis failed: {reason} It can be asked for again.",
    "done": "Analysed.",
}


class RoundAnalysisDetail(StrokesView):
    @extend_schema(
        operation_id="read_round_analysis",
        summary="A round's strokes gained, hole by hole and shot by shot, with what each number came from",
        description=(
            "Without `benchmark` these are the figures that the worker stored against the club's benchmark, "
            "and `analysis` says how far it is. With another benchmark they are computed for this answer."
        ),
        parameters=[BENCHMARK, UNIT],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("An analysis", value=examples.ROUND_ANALYSIS, response_only=True)],
    )
    def get(self, request: Request, round_id: UUID) -> Response:
        query = checked_query(StrokesQuery, request)
        round_ = queries.rounds(self.member).prefetch_related(None).filter(id=round_id).first()
        if round_ is None:
            raise not_found("No round")
        key = query.benchmark or self.club.benchmark
        return Response(analysis_json(round_, self.club, key, self.benchmark(key), self.unit_of(query)))


def analysis_json(round_: Round, club: Club, key: str, benchmark: Benchmark, unit: str) -> dict[str, Any]:
    """The round's analysis against the benchmark of this key; also what the round's page shows."""
    body = {"round": queries.round_head(round_), **_state(round_)}
    if key == club.benchmark and round_.analysis != "done":
        return body | {"benchmark": benchmark_json(benchmark), "total": None, "holes": []}
    if key == stored_benchmark(round_.id):
        analysis = stored_analysis(round_.id, club, benchmark)
    else:
        analysis = computed_analysis(round_.id, club, benchmark)
    return body | _Writer(analysis, unit, club.short_game_yards).answer()


def _state(round_: Round) -> dict[str, str]:
    words = STATES[round_.analysis].format(reason=round_.analysis_reason)
    return {"analysis": round_.analysis, "words": words}


class _Writer:
    def __init__(self, analysis: RoundAnalysis, unit: str, short_game_yards: float) -> None:
        self.of = analysis
        self.unit = unit
        self.short_game_yards = short_game_yards

    def answer(self) -> dict[str, Any]:
        holes = self.of.loaded.record.holes
        return {
            "benchmark": benchmark_json(self.of.benchmark),
            "source": "stored by the worker" if self.of.stored else "computed for this answer",
            "total": self._total(),
            "holes": [self._hole(row) for row in range(len(holes))],
        }

    def _total(self) -> dict[str, Any]:
        totals, played = self.of.by_round, len(self.of.loaded.record.holes)
        covered = int(totals.holes[0]) if len(totals.holes) else 0
        body: dict[str, Any] = {"holes_played": played, "holes_covered": covered}
        if covered == 0:
            words = "No strokes gained: no hole has every shot recorded until the ball was holed."
            return body | {"strokes_gained": None, "parts": None, "words": words}
        total = float(totals.total[0])
        return body | {
            "strokes_gained": total,
            "parts": {
                part.word: {
                    "strokes_gained": float(totals.gained[0, part]),
                    "shots": int(totals.shots[0, part]),
                    "rule": PART_RULES[part],
                }
                for part in Part
            },
            "words": (
                f"{_signed(total)} strokes against {self.of.benchmark.name} over {covered} of {played} holes "
                "played; the other holes are not complete."
                if covered < played
                else f"{_signed(total)} strokes against {self.of.benchmark.name} over {played} holes."
            ),
        }

    def _hole(self, row: int) -> dict[str, Any]:
        holes, shots = self.of.loaded.record.holes, self.of.loaded.record.shots
        rows = [int(shot) for shot in np.flatnonzero(shots.hole == row)]
        covered = bool(self.of.by_hole.holes[row])
        body: dict[str, Any] = {
            "number": int(holes.number[row]),
            "par": int(holes.par[row]) if holes.par[row] != UNKNOWN else None,
            "length": from_yards(float(holes.length[row]), self.unit, on_green=False),
            "score": int(holes.score[row]),
            "picked_up": bool(holes.picked_up[row]),
            "covered": covered,
        }
        if not covered:
            return body | {
                "expected_from_tee": None,
                "strokes_gained": None,
                "parts": None,
                "words": "No strokes gained: not every shot is recorded until the ball was holed.",
                "shots": [self._shot(shot) for shot in rows],
            }
        expected, gained = float(self.of.expected_before[rows[0]]), float(self.of.by_hole.total[row])
        return body | {
            "expected_from_tee": expected,
            "strokes_gained": gained,
            "parts": {
                part.word: float(self.of.by_hole.gained[row, part])
                for part in Part
                if self.of.by_hole.shots[row, part]
            },
            "words": f"{expected:.2f} expected from the tee − {holes.score[row]} taken = {_signed(gained)}",
            "shots": [self._shot(shot) for shot in rows],
        }

    def _shot(self, row: int) -> dict[str, Any]:
        shots = self.of.loaded.record.shots
        club = int(shots.club[row])
        gained = float(self.of.strokes_gained[row])
        known = not np.isnan(gained)
        return {
            "id": self.of.loaded.shot_ids[row],
            "number": int(shots.number[row]),
            "lie": Lie(shots.lie[row]).word,
            "distance": self._distance(int(shots.lie[row]), float(shots.distance[row])),
            "distance_unit": self._distance_unit(int(shots.lie[row])),
            "club": self.of.loaded.clubs[club] if club != UNKNOWN else None,
            "holed": bool(shots.holed[row]),
            "penalty_strokes": int(shots.penalty[row]),
            "part": Part(self.of.part[row]).word,
            "part_rule": part_rule(
                int(self.of.part[row]),
                from_tee=bool(shots.lie[row] == Lie.TEE),
                short_game_yards=self.short_game_yards,
            ),
            "expected_before": float(self.of.expected_before[row]) if known else None,
            "expected_after": float(self.of.expected_after[row]) if known else None,
            "strokes_gained": gained if known else None,
            "words": self._shot_words(row) if known else None,
        }

    def _shot_words(self, row: int) -> str:
        shots = self.of.loaded.record.shots
        before, after = float(self.of.expected_before[row]), float(self.of.expected_after[row])
        penalty = int(shots.penalty[row])
        start = f"{before:.2f} expected {self._place(int(shots.lie[row]), float(shots.distance[row]))}"
        if shots.holed[row]:
            finish = "0 (holed)"
        else:
            where = self._place(int(shots.lie_after[row]), float(shots.distance_after[row]))
            finish = f"{after:.2f} expected {where}"
        cost = f" − {penalty} penalty" if penalty else ""
        return f"{start} − {finish} − 1 stroke{cost} = {_signed(float(self.of.strokes_gained[row]))}"

    def _place(self, lie: int, yards: float) -> str:
        distance = f"{self._distance(lie, yards):g} {self._distance_unit(lie)}"
        return f"from {distance} on the green" if lie == Lie.GREEN else f"from {distance}, {Lie(lie).word}"

    def _distance(self, lie: int, yards: float) -> float:
        return from_yards(yards, self.unit, on_green=lie == Lie.GREEN)

    def _distance_unit(self, lie: int) -> str:
        if self.unit == DistanceUnit.METRES:
            return "m"
        return "ft" if lie == Lie.GREEN else "yd"


def _signed(value: float) -> str:
    return number_words(value, "strokes", signed=True)
