"""Posting, reading, correcting and deleting rounds."""

from __future__ import annotations

from typing import Any
from uuid import UUID

import django_filters
from django.conf import settings
from django.http import HttpResponse
from django.urls import reverse
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiExample, OpenApiParameter, extend_schema
from rest_framework import status
from rest_framework.negotiation import DefaultContentNegotiation
from rest_framework.parsers import JSONParser
from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.api import bodies
from golfstats.api.filters import checked_filter
from golfstats.api.paging import PAGE_PARAMETERS
from golfstats.api.problems import Fault, ProblemError, invalid, not_found
from golfstats.api.versions import check_if_match, etag
from golfstats.api.views import ClubView
from players import notation, permissions, posting, queries, round_output
from players.api import examples
from players.api.grammar import NOTATION_GRAMMAR
from players.models import Round
from players.round_input import RoundInput


def read_round(request: Request) -> RoundInput:
    """The posted round, from JSON or from the compact notation (``text/plain``)."""
    body = bodies.raw_body(request, settings.ROUND_BODY_LIMIT)
    media_type = (request.content_type or "").split(";")[0].strip().lower()
    if media_type == "text/plain":
        return round_from_notation(bodies.decoded(body))
    if media_type == "application/json":
        return bodies.checked(RoundInput, bodies.json_body(body))
    raise ProblemError(
        "unsupported-media-type",
        "Send application/json or text/plain (the compact notation)",
        status.HTTP_415_UNSUPPORTED_MEDIA_TYPE,
    )


def round_from_notation(text: str) -> RoundInput:
    try:
        fields = notation.read(text)
    except notation.NotationError as error:
        raise invalid(error.faults, "The text is not in the notation") from None
    return bodies.checked(RoundInput, fields)


class RoundFilter(django_filters.FilterSet):
    player = django_filters.UUIDFilter(field_name="player_id")
    course = django_filters.UUIDFilter(field_name="tee_set__course_id")
    tee = django_filters.UUIDFilter(field_name="tee_set_id")
    played_from = django_filters.DateFilter(field_name="played_on", lookup_expr="gte")
    played_to = django_filters.DateFilter(field_name="played_on", lookup_expr="lte")
    counting = django_filters.BooleanFilter()
    analysis = django_filters.ChoiceFilter(choices=[("pending", ""), ("done", ""), ("failed", "")])

    class Meta:
        model = Round
        fields: list[str] = []


ROUND_BODY = {"application/json": RoundInput, "text/plain": OpenApiTypes.STR}


class RoundList(ClubView):
    parser_classes = [JSONParser, bodies.TextParser]

    @extend_schema(
        operation_id="list_rounds",
        summary="Rounds that you may see, newest first",
        parameters=[
            OpenApiParameter("player", OpenApiTypes.UUID),
            OpenApiParameter("course", OpenApiTypes.UUID),
            OpenApiParameter("tee", OpenApiTypes.UUID),
            OpenApiParameter("played_from", OpenApiTypes.DATE),
            OpenApiParameter("played_to", OpenApiTypes.DATE),
            OpenApiParameter("counting", OpenApiTypes.BOOL),
            OpenApiParameter("analysis", OpenApiTypes.STR, enum=["pending", "done", "failed"]),
            *PAGE_PARAMETERS,
        ],
        responses=OpenApiTypes.OBJECT,
        examples=[OpenApiExample("A page", value=examples.ROUND_PAGE, response_only=True)],
    )
    def get(self, request: Request) -> Response:
        rounds = checked_filter(RoundFilter, request, queries.rounds(self.member))
        return queries.RoundPages().answer(request, rounds, self)

    @extend_schema(
        operation_id="post_round",
        summary="Post a round, shot by shot or by hole scores",
        description=(
            "JSON, or text/plain in the compact notation. Saved as a whole or not at all; a worker analyses it "
            "and `analysis` says how far it is. Send an `Idempotency-Key` to make a repetition harmless. Every "
            "fault is listed with its hole and shot.\n\n" + NOTATION_GRAMMAR
        ),
        request=ROUND_BODY,
        responses={201: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample(
                "JSON", value=examples.ROUND_JSON, request_only=True, media_type="application/json"
            ),
            OpenApiExample("Notation", value=examples.ROUND_TEXT, request_only=True, media_type="text/plain"),
            OpenApiExample("Posted", value=examples.POSTED, response_only=True, status_codes=["201"]),
        ],
    )
    def post(self, request: Request) -> Response:
        round_ = posting.post_round(self.member, read_round(request))
        location = request.build_absolute_uri(reverse("round", args=[round_.id]))
        return Response(
            queries.round_head(round_),
            status.HTTP_201_CREATED,
            headers={"Location": location} | etag(round_.version),
        )


class NotationOrJson(DefaultContentNegotiation):
    """A round is also given as ``text/plain``, which the handler writes itself."""

    def select_renderer(self, request: Request, renderers: Any, format_suffix: str | None = None) -> Any:
        if request.headers.get("Accept", "").startswith("text/plain"):
            return renderers[0], renderers[0].media_type
        return super().select_renderer(request, renderers, format_suffix)


class RoundDetail(ClubView):
    content_negotiation_class = NotationOrJson
    parser_classes = [JSONParser, bodies.TextParser]

    def _round(self, round_id: UUID) -> Round:
        round_ = queries.rounds(self.member).filter(id=round_id).first()
        if round_ is None:
            raise not_found("No round")
        return round_

    def _round_to_change(self, request: Request, round_id: UUID) -> Round:
        """The round, locked, if this person may change it and it is the version he has seen."""
        may_change = permissions.postable_players(self.member).filter(rounds__id=round_id).exists()
        round_ = Round.objects.select_for_update().filter(id=round_id).first() if may_change else None
        if round_ is None:
            raise not_found("No round")
        check_if_match(request, round_.version, "round")
        return round_

    @extend_schema(
        operation_id="read_round",
        summary="A round in full; with Accept: text/plain in the compact notation",
        responses={(200, "application/json"): OpenApiTypes.OBJECT, (200, "text/plain"): OpenApiTypes.STR},
        examples=[OpenApiExample("A round", value=examples.ROUND_IN_FULL)],
    )
    def get(self, request: Request, round_id: UUID) -> HttpResponse:
        round_ = self._round(round_id)
        unit = self.club.distance_unit
        given = round_output.as_input(round_, unit)
        if request.headers.get("Accept", "").startswith("text/plain"):
            text = notation.write(given)
            return HttpResponse(text, content_type="text/plain; charset=utf-8", headers=etag(round_.version))
        body = queries.round_head(round_) | {"round": given.model_dump(mode="json")}
        return Response(body, headers=etag(round_.version))

    @extend_schema(
        operation_id="replace_round",
        summary="Put a corrected round in its place; it is analysed again",
        parameters=[OpenApiParameter("If-Match", OpenApiTypes.STR, OpenApiParameter.HEADER)],
        request=ROUND_BODY,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample(
                "JSON", value=examples.ROUND_JSON, request_only=True, media_type="application/json"
            ),
            OpenApiExample("Replaced", value=examples.POSTED, response_only=True),
        ],
    )
    def put(self, request: Request, round_id: UUID) -> Response:
        round_ = self._round_to_change(request, round_id)
        posting.replace_round(self.member, round_, read_round(request))
        return Response(queries.round_head(round_), headers=etag(round_.version))

    @extend_schema(
        operation_id="correct_round",
        summary="Correct some fields of a round; holes, if given, replace all holes",
        parameters=[OpenApiParameter("If-Match", OpenApiTypes.STR, OpenApiParameter.HEADER)],
        request=OpenApiTypes.OBJECT,
        responses=OpenApiTypes.OBJECT,
        examples=[
            OpenApiExample("The ball", value={"ball": "the new one"}, request_only=True),
            OpenApiExample("Corrected", value=examples.POSTED, response_only=True),
        ],
    )
    def patch(self, request: Request, round_id: UUID) -> Response:
        round_ = self._round_to_change(request, round_id)
        changes = bodies.json_body(bodies.raw_body(request, settings.ROUND_BODY_LIMIT))
        if not isinstance(changes, dict):
            raise invalid([Fault("", "not_an_object", "send the fields to change as a JSON object")])
        unit = changes.get("unit") or self.club.distance_unit
        present = round_output.as_input(self._round(round_id), unit).model_dump(mode="json")
        posting.replace_round(self.member, round_, bodies.checked(RoundInput, present | changes))
        return Response(queries.round_head(round_), headers=etag(round_.version))

    @extend_schema(
        operation_id="delete_round",
        summary="Delete a round; everything that rested on it is computed again",
        parameters=[OpenApiParameter("If-Match", OpenApiTypes.STR, OpenApiParameter.HEADER)],
        responses={204: None},
        examples=[OpenApiExample("Deleted", value=None, response_only=True)],
    )
    def delete(self, request: Request, round_id: UUID) -> Response:
        posting.delete_round(self._round_to_change(request, round_id))
        return Response(status=status.HTTP_204_NO_CONTENT)


class AnalyseAgain(ClubView):
    @extend_schema(
        operation_id="analyse_round_again",
        summary="Ask for a round's analysis once more",
        request=None,
        responses={202: OpenApiTypes.OBJECT},
        examples=[
            OpenApiExample("Asked for", value=examples.POSTED, response_only=True, status_codes=["202"])
        ],
    )
    def post(self, request: Request, round_id: UUID) -> Response:
        may_change = permissions.postable_players(self.member).filter(rounds__id=round_id).exists()
        round_ = Round.objects.filter(id=round_id).first() if may_change else None
        if round_ is None:
            raise not_found("No round")
        posting.analyse_again(round_)
        return Response(queries.round_head(round_), status.HTTP_202_ACCEPTED)
