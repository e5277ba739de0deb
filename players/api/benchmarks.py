"""Whom one can be compared with."""

from __future__ import annotations

from typing import Any

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from players.api import strokes_examples as examples
from players.api.query_string import NoQuery, checked_query
from players.api.strokes_view import StrokesView, benchmark_json
from players.queries.benchmarks import BenchmarkChoice, benchmark_choices


class BenchmarkList(StrokesView):
    @extend_schema(
        operation_id="list_benchmarks",
        summary="The golfers one can be compared with, in plain words and with where their numbers come from",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Benchmarks", value=examples.BENCHMARKS, response_only=True)],
    )
    def get(self, request: Request) -> Response:
        checked_query(NoQuery, request)
        return Response(
            {
                "default": self.club.benchmark,
                "benchmarks": [_choice_json(choice) for choice in benchmark_choices()],
            }
        )


def _choice_json(choice: BenchmarkChoice) -> dict[str, Any]:
    body = benchmark_json(choice.benchmark)
    if choice.any_handicap:
        body |= {
            "key": "handicap:<h>",
            "name": "Golfer of a handicap",
            "description": "Any handicap from +5 to 54, for example handicap:12.4 or handicap:+2. "
            + choice.benchmark.description,
        }
    return body | {"shots": choice.shots, "fitted_on": choice.fitted_on}
