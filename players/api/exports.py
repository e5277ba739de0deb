"""Everything a person may see, to take along."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.http import StreamingHttpResponse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, OpenApiResponse, extend_schema
from rest_framework.negotiation import DefaultContentNegotiation
from rest_framework.request import Request

from golfstats.api.filters import checked_filter
from golfstats.api.views import ClubView
from players import queries
from players.api import examples
from players.api.rounds import RoundFilter
from players.coaching import exports

FILTERS = [
    OpenApiParameter("player", OpenApiTypes.UUID),
    OpenApiParameter("course", OpenApiTypes.UUID),
    OpenApiParameter("tee", OpenApiTypes.UUID),
    OpenApiParameter("played_from", OpenApiTypes.DATE),
    OpenApiParameter("played_to", OpenApiTypes.DATE),
    OpenApiParameter("counting", OpenApiTypes.BOOL),
    OpenApiParameter("analysis", OpenApiTypes.STR, enum=["pending", "done", "failed"]),
]
CSV = {(200, "text/csv"): OpenApiResponse(OpenApiTypes.STR, description="RFC 4180, UTF-8, with a header")}


class WhateverAccepted(DefaultContentNegotiation):
    """The address says what is sent; only a problem is rendered, as JSON."""

    def select_renderer(self, request: Request, renderers: Any, format_suffix: str | None = None) -> Any:
        return renderers[0], renderers[0].media_type


class Export(ClubView):
    content_negotiation_class = WhateverAccepted
    media_type: str
    file_name: str

    def stream(self, request: Request) -> StreamingHttpResponse:
        rounds = checked_filter(RoundFilter, request, queries.rounds(self.member))
        headers = {"Content-Disposition": f'attachment; filename="{self.file_name}"'}
        return StreamingHttpResponse(self.lines(rounds), content_type=self.media_type, headers=headers)

    def lines(self, rounds: Any) -> Iterator[str] | Iterator[bytes]:
        raise NotImplementedError


class RoundsCsv(Export):
    media_type = "text/csv; charset=utf-8; header=present"
    file_name = "rounds.csv"

    @extend_schema(
        operation_id="export_rounds_csv",
        summary="Rounds as CSV, a line a round with the score of each hole; can be imported again",
        description="A text that a spreadsheet would take for a formula has an apostrophe in front.",
        parameters=FILTERS,
        responses=CSV,
        examples=[
            OpenApiExample(
                "Two columns of many",
                value="player,course\r\nInes Aldana,Larkmoor Old\r\n",
                media_type="text/csv",
            )
        ],
    )
    def get(self, request: Request) -> StreamingHttpResponse:
        return self.stream(request)

    def lines(self, rounds: Any) -> Iterator[str]:
        return exports.rounds_csv(rounds, self.club.id, self.club.distance_unit)


class ShotsCsv(Export):
    media_type = "text/csv; charset=utf-8; header=present"
    file_name = "shots.csv"

    @extend_schema(
        operation_id="export_shots_csv",
        summary="Shots as CSV, a line a shot with its strokes gained; can be imported again",
        description="Distances are in the club's unit, which the column `unit` names (feet on the green with yards).",
        parameters=FILTERS,
        responses=CSV,
        examples=[
            OpenApiExample(
                "Three columns of many",
                value="hole,lie,distance\r\n1,tee,390\r\n",
                media_type="text/csv",
            )
        ],
    )
    def get(self, request: Request) -> StreamingHttpResponse:
        return self.stream(request)

    def lines(self, rounds: Any) -> Iterator[str]:
        return exports.shots_csv(rounds, self.club.id, self.club.distance_unit)


class RoundsJson(Export):
    media_type = "application/json"
    file_name = "rounds.json"

    @extend_schema(
        operation_id="export_rounds_json",
        summary="Rounds as JSON, shot by shot, each as it could be posted again",
        parameters=FILTERS,
        responses={(200, "application/json"): {"type": "array", "items": {"type": "object"}}},
        examples=[OpenApiExample("A round", value=[examples.ROUND_IN_FULL])],
    )
    def get(self, request: Request) -> StreamingHttpResponse:
        return self.stream(request)

    def lines(self, rounds: Any) -> Iterator[bytes]:
        return exports.rounds_json(rounds, self.club.id, self.club.distance_unit)
