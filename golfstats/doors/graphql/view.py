"""The endpoint ``/graphql``."""

from __future__ import annotations

import time
from collections.abc import Sequence
from typing import Any

import strawberry
from django.conf import settings
from django.db import Error, transaction
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.utils import timezone
from graphql import GraphQLError
from pydantic import BaseModel, ConfigDict, Field
from rest_framework.renderers import BaseRenderer
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView
from strawberry.schema.exceptions import CannotGetOperationTypeError, InvalidOperationTypeError
from strawberry.types.graphql import OperationType

from golfstats.doors.graphql.context import Context
from golfstats.doors.graphql.documents import documents
from golfstats.doors.graphql.errors import cause_of, shown
from golfstats.doors.rest.http import bodies
from golfstats.doors.rest.http.throttles import wait as seconds_left
from golfstats.doors.rest.parameters import query_of
from golfstats.doors.rest.renderers import GraphQLRenderer, JSONRenderer
from golfstats.doors.rest.views import ClubView
from golfstats.ground import inputs
from golfstats.ground.clubs.models import Club
from golfstats.ground.counts import lately
from golfstats.ground.faults import ProblemError, Refusal
from golfstats.ground.ids import new_id
from golfstats.ground.operations import Asker, Query
from golfstats.ground.postgres.trouble import is_outage, passes
from golfstats.ground.words import dates_as
from players.people.readers import write_down_readers

MUTATION = "mutation"
MINUTE = 60
NOT_EXECUTED = 400
BODY_LIMIT = 512 * 1024
"""Room for a round of the largest kind inside a JSON string, and the document around it."""


class GraphQLBody(BaseModel):
    model_config = ConfigDict(extra="forbid", populate_by_name=True)

    query: str | None = None
    document_id: str | None = Field(default=None, alias="documentId")
    variables: dict[str, object] | None = None
    operation_name: str | None = Field(default=None, alias="operationName")
    extensions: dict[str, object] | None = None


class GraphQLEndpoint(ClubView):
    """One document a request, by POST. Signed in and in a club's scope like every endpoint of REST.

    GraphQL tells of errors in an answer of status 200, for which nobody rolls back; here any error does. So
    a mutation that fails, or whose answer fails, leaves nothing behind, nor do the others beside it.
    """

    graphql: strawberry.Schema | None = None
    """Given in urls.py: only the root knows every app."""

    _spent = 0.0
    """Seconds of work in this request."""

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        try:
            return super().dispatch(request, *args, **kwargs)
        finally:
            # Outside the transaction: what was spent stays spent when it is rolled back.
            if self._spent:
                lately(_work_of(self.club), MINUTE, by=round(1000 * self._spent))

    def admit(self) -> None:
        """What an answer takes is known afterwards; a club that took its share of a minute waits for the next."""
        allowed = settings.GRAPHQL["CLUB_SECONDS"]
        if lately(_work_of(self.club), MINUTE) < 1000 * allowed:
            return
        wait = {"Retry-After": str(int(seconds_left(MINUTE)) + 1)}
        detail = f"Answers to a club may take {allowed} seconds of work a minute."
        title = "Members of your club have asked for too much work"
        raise ProblemError("club-budget", title, Refusal.TOO_OFTEN, detail, headers=wait)

    def post(self, request: Request) -> Response:
        body = inputs.checked(GraphQLBody, bodies.json_body(bodies.raw_body(request, BODY_LIMIT)))
        request_id = str(new_id())
        asker = Asker(self.member, request.build_absolute_uri("/"), asks_more=True)
        context = Context(self.member, self.club, asker)
        began = time.thread_time()
        try:
            # Days asked for are days at the club, and days in sentences are written as it writes them.
            with timezone.override(self.club.time_zone), dates_as(self.club.date_style):
                result = self._result(body, _text(body), context, only_reads=self.only_reads(request))
        finally:
            self._spent += time.thread_time() - began
        status = _status(request, result)
        answer: dict[str, object] = {"data": result.data}
        if context.cost is not None:
            answer["extensions"] = {"cost": context.cost, "maximum_cost": settings.GRAPHQL["MAX_COST"]}
        if result.errors:
            _raise_what_passes(result.errors)
            transaction.set_rollback(True)
            self._idempotency_key = None  # as with refusals of REST: it may be put right and sent again
            if status == NOT_EXECUTED:
                del answer["data"]
            errors = [shown(error, request_id) for error in result.errors]
            answer["errors"] = [error.formatted for error in errors]
            if context.changes_something and "data" in answer:
                answer["data"] = None  # whatever it tells of as saved is not
        else:
            write_down_readers(asker, "graphql")
        return Response(answer, status, headers={"X-Request-Id": request_id})

    def get_renderers(self) -> list[BaseRenderer]:
        """The media type of GraphQL over HTTP is given to those who name it; ``*/*`` means JSON."""
        named = GraphQLRenderer.media_type in self.request.headers.get("Accept", "")
        return [GraphQLRenderer(), JSONRenderer()] if named else [JSONRenderer()]

    def only_reads(self, request: Request) -> bool:
        """A document that mentions no mutation. Seen before it is parsed: the transaction begins before that.

        Looked for in what the body says and not in its bytes, which may write any letter as a number.
        """
        try:
            given = bodies.json_body(request._request.body)
        except ProblemError:
            return True  # refused as no JSON, whoever asks
        if not isinstance(given, dict):
            return True
        named = [str(given.get(name)) for name in ("documentId", "document_id")]
        texts = [str(given.get("query")), *(documents().get(name, "") for name in named)]
        return not any(MUTATION in text for text in texts)

    def _result(self, body: GraphQLBody, text: str, context: Context, *, only_reads: bool) -> Any:
        assert self.graphql is not None  # noqa: S101 - see urls.py
        try:
            return self.graphql.execute_sync(
                text,
                variable_values=body.variables,
                operation_name=body.operation_name,
                context_value=context,
                # What came in as reading, perhaps by a token for reading alone, changes nothing.
                allowed_operation_types=(OperationType.QUERY,)
                if only_reads
                else (OperationType.QUERY, OperationType.MUTATION),
            )
        except (CannotGetOperationTypeError, InvalidOperationTypeError):
            raise ProblemError(
                "no-such-operation", "The document has no such query or mutation", Refusal.UNCLEAR
            ) from None


class SchemaText(APIView):
    """The schema in GraphQL's own language, for code generators. To whoever is signed in."""

    graphql: strawberry.Schema | None = None

    def get(self, request: Request) -> HttpResponse:
        query_of(Query, request, {})
        assert self.graphql is not None  # noqa: S101 - see urls.py
        return HttpResponse(f"{self.graphql.as_str()}\n", content_type="text/plain; charset=utf-8")


def _status(request: Request, result: Any) -> int:
    """By GraphQL over HTTP a document that could not be executed is a bad request; as plain JSON all is 200."""
    named = isinstance(request.accepted_renderer, GraphQLRenderer)
    executed = result.data is not None or any(error.path for error in result.errors)
    return NOT_EXECUTED if named and not executed else 200


def _work_of(club: Club) -> str:
    return f"milliseconds of GraphQL for {club.id}"


def _raise_what_passes(errors: Sequence[GraphQLError]) -> None:
    """A fault that another try or another time helps ends the whole request, as it does in REST."""
    for error in errors:
        cause = cause_of(error)
        if isinstance(cause, Error) and (passes(cause) or is_outage(cause)):
            raise cause


def _text(body: GraphQLBody) -> str:
    if body.document_id is not None:
        text = documents().get(body.document_id)
        if text is None:
            raise ProblemError("unknown-document", "No document of this id is stored here")
        return text
    if settings.GRAPHQL["PERSISTED_ONLY"]:
        raise ProblemError("persisted-only", "Only stored documents are answered here: send a documentId")
    if not body.query:
        raise ProblemError("no-document", "Send a query or a documentId")
    return body.query
