"""The endpoint ``/graphql``."""

from __future__ import annotations

from typing import Any

import strawberry
from django.conf import settings
from django.db import transaction
from drf_spectacular.utils import extend_schema
from pydantic import BaseModel, ConfigDict, Field
from rest_framework import status
from rest_framework.request import Request
from rest_framework.response import Response
from strawberry.schema.exceptions import CannotGetOperationTypeError, InvalidOperationTypeError
from strawberry.types.graphql import OperationType

from golfstats.api import bodies
from golfstats.api.problems import ProblemError
from golfstats.api.renderers import JSONRenderer
from golfstats.api.views import ClubView
from golfstats.graphql.context import Context
from golfstats.graphql.documents import documents
from golfstats.graphql.errors import shown
from golfstats.ids import new_id

BODY_LIMIT = 512 * 1024
"""Room for a round of the largest kind inside a JSON string, and the document around it."""


class GraphQLBody(BaseModel):
    model_config = ConfigDict(extra="forbid", populate_by_name=True)

    query: str | None = None
    document_id: str | None = Field(default=None, alias="documentId")
    variables: dict[str, Any] | None = None
    operation_name: str | None = Field(default=None, alias="operationName")
    extensions: dict[str, Any] | None = None


class GraphQLEndpoint(ClubView):
    """One document a request, by POST. Signed in and in a club's scope like every endpoint of REST.

    GraphQL tells of errors in an answer of status 200, for which nobody rolls back; here any error does. So
    a mutation that fails, or whose answer fails, leaves nothing behind, nor do the others beside it.
    """

    renderer_classes = [JSONRenderer]
    graphql: strawberry.Schema | None = None
    """Given in urls.py: only the root knows every app."""

    @extend_schema(exclude=True)
    def post(self, request: Request) -> Response:
        body = bodies.checked(GraphQLBody, bodies.json_body(bodies.raw_body(request, BODY_LIMIT)))
        request_id = str(new_id())
        context = Context(self.member, self.club)
        result = self._result(body, _text(body), context)
        answer: dict[str, Any] = {"data": result.data}
        if result.errors:
            transaction.set_rollback(True)
            self._idempotency_key = None  # as with refusals of REST: it may be put right and sent again
            errors = [shown(error, request_id) for error in result.errors]
            answer["errors"] = [error.formatted for error in errors]
            if context.changes_something:
                answer["data"] = None  # whatever it tells of as saved is not
        return Response(answer, headers={"X-Request-Id": request_id})

    def _result(self, body: GraphQLBody, text: str, context: Context) -> Any:
        assert self.graphql is not None  # noqa: S101 - see urls.py
        try:
            return self.graphql.execute_sync(
                text,
                variable_values=body.variables,
                operation_name=body.operation_name,
                context_value=context,
                allowed_operation_types=(OperationType.QUERY, OperationType.MUTATION),
            )
        except (CannotGetOperationTypeError, InvalidOperationTypeError):
            raise ProblemError(
                "no-such-operation", "The document has no such query or mutation", status.HTTP_400_BAD_REQUEST
            ) from None


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
