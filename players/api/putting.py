"""A player's putting."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.calc.putting.player import OutcomeFigures
from golfstats.calc.putting.tendencies import SideTest
from golfstats.calc.units import FEET_PER_METRE
from golfstats.clubs.models import DistanceUnit
from players.api import strokes_examples as examples
from players.api.query_string import WINDOW, WindowQuery, checked_query
from players.api.strokes_view import FigureWriter, StrokesView, head
from players.models import Player
from players.queries.analysed import Golf
from players.queries.benchmarks import ClubPuttingPrior, club_putting_prior
from players.queries.putting import BenchmarkPutter, Made, Putting, putting

ALL_PUTTS = "putting.made.0+"
SURE = 0.10
"""A two-sided chance below this is called more than chance."""


class PlayerPutting(StrokesView):
    @extend_schema(
        operation_id="read_player_putting",
        summary="A player's putting: two spreads, make curve, first putts, habits, under-reading and slopes",
        description=(
            "The spreads are partially pooled over the club: few putts give an answer near the club's golfers, "
            "many the player's own. Chances from a distance follow from the spreads."
        ),
        parameters=WINDOW,
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Putting", value=examples.PUTTING, response_only=True)],
    )
    def get(self, request: Request, player_id: UUID) -> Response:
        query = checked_query(WindowQuery, request)
        player = self.visible_player(player_id)
        golf = self.golf([player_id], query)
        prior = club_putting_prior()
        return Response(putting_json(player, golf, prior, FigureWriter(player, query, self.unit_of(query))))


def putting_json(player: Player, golf: Golf, prior: ClubPuttingPrior, write: FigureWriter) -> dict[str, Any]:
    found, unit = putting(golf, prior), write.unit
    return head(player, golf) | {
        "spreads": _spreads_json(found, write),
        "make_curve": [_made_json(made, write, unit) for made in found.make_curve],
        "first_putts": [
            _outcome_json(outcome, row, found.benchmark, write, unit)
            for row, outcome in enumerate(found.first_putts)
        ],
        "habits": [write.named(named) for named in found.habits],
        "under_reading": {
            "read_faults": _side_json(found.under_reading.read_faults, write),
            "breaking_misses": _side_json(found.under_reading.breaking_misses, write),
        },
        "below_against_above_the_hole": {
            "below": write.plain(found.slopes.below, "putt", signed=True),
            "above": write.plain(found.slopes.above, "putt", signed=True),
            "difference": write.plain(found.slopes.difference, "putt", signed=True),
            "words": _slope_words(found),
        },
    }


def _spreads_json(found: Putting, write: FigureWriter) -> dict[str, Any]:
    prior, spreads = found.prior, found.spreads
    pooled = (
        f"Pooled with the club's golfers ({prior.players}, {prior.putts:,} putts), fitted on {prior.fitted_on}."
        if prior.fitted_on
        else "Pooled with the usual golfer: the club's own putting has not been fitted yet."
    )
    shots = {"shots": write.shots_address(ALL_PUTTS)}
    return {
        "direction": write.plain(spreads.direction, "putt") | shots,
        "distance": write.plain(spreads.distance, "putt") | shots,
        "benchmark": {
            "direction": round(found.benchmark.direction_degrees, 2),
            "distance": round(found.benchmark.distance_percent, 1),
            "words": "The two spreads whose expected putts come nearest to the benchmark's.",
        },
        "words": pooled,
    }


def _made_json(made: Made, write: FigureWriter, unit: str) -> dict[str, Any]:
    figure = write.named(made.named)
    if made.named.figure.enough and made.benchmark is not None and made.own_model is not None:
        figure["words"] += f"; the benchmark golfer would hole {made.benchmark:.0%} of these very putts"
    return figure | {
        "from": _feet(made.low_ft, unit),
        "to": _feet(made.high_ft, unit),
        "distance_unit": _unit_name(unit),
        "benchmark": made.benchmark,
        "own_model": made.own_model,
    }


def _outcome_json(
    outcome: OutcomeFigures, row: int, benchmark: BenchmarkPutter, write: FigureWriter, unit: str
) -> dict[str, Any]:
    theirs = benchmark.outcomes
    return {
        "distance": _feet(outcome.distance_ft, unit),
        "distance_unit": _unit_name(unit),
        "expected_putts": write.plain(outcome.expected_putts, "putt"),
        "one_putt": write.plain(outcome.one, "putt"),
        "two_putts": write.plain(outcome.two, "putt"),
        "three_putts_or_more": write.plain(outcome.three_or_more, "putt"),
        "benchmark": {
            "expected_putts": round(float(theirs.expected_putts[row]), 3),
            "one_putt": round(float(theirs.one[row]), 4),
            "two_putts": round(float(theirs.two[row]), 4),
            "three_putts_or_more": round(float(theirs.three_or_more[row]), 4),
        },
    }


def _side_json(test: SideTest, write: FigureWriter) -> dict[str, Any]:
    return {
        "low": test.low,
        "high": test.high,
        "share_low": write.plain(test.share_low, "missed putt")
        | {"shots": write.shots_address("putting.miss.low")},
        "p_value": test.p_value,
        "words": _side_words(test),
    }


def _side_words(test: SideTest) -> str:
    counts = f"{test.low} of {test.low + test.high} misses to one side were low"
    if test.p_value is None:
        return f"{counts}: too few to tell a habit from chance."
    if test.p_value >= SURE:
        return f"{counts}; a coin would do as much (p {test.p_value:.2f})."
    habit = "too little break is played" if test.low > test.high else "too much break is played"
    return f"{counts}: more than chance, {habit} (p {_p(test.p_value)})."


def _p(value: float) -> str:
    return "below 0.001" if value < 0.001 else f"{value:.3f}"


def _slope_words(found: Putting) -> str:
    difference = found.slopes.difference
    if difference.value is None or difference.low is None or difference.high is None:
        return "Too few putts noted uphill and downhill to compare them."
    if difference.low <= 0 <= difference.high:
        return "No clear difference between putts from below and from above the hole."
    side = "below" if difference.value > 0 else "above"
    return f"Better from {side} the hole by {abs(difference.value):.2f} strokes a putt, distance allowed for."


def _feet(feet: float, unit: str) -> float:
    return round(feet / FEET_PER_METRE, 2) if unit == DistanceUnit.METRES else feet


def _unit_name(unit: str) -> str:
    return "m" if unit == DistanceUnit.METRES else "ft"
