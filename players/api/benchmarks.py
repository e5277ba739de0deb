"""Whom one can be compared with."""

from __future__ import annotations

from dataclasses import asdict

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from players.api import strokes_examples as examples
from players.api.query_string import NoQuery, checked_query
from players.api.strokes_view import StrokesView, caution
from players.queries.benchmarks import benchmark_choices


class BenchmarkList(StrokesView):
    @extend_schema(
        operation_id="list_benchmarks",
        summary="The golfers one can be compared with, in plain words and with where their numbers come from",
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("Benchmarks", value=examples.BENCHMARKS, response_only=True)],
    )
    def get(self, request: Request) -> Response:
        checked_query(NoQuery, request)
        choices = [asdict(choice) | {"caution": caution()} for choice in benchmark_choices()]
        return Response({"default": self.club.benchmark, "benchmarks": choices})
