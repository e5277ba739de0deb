"""Errors in an answer: problems as REST gives them, in ``extensions``; whatever was not foreseen is masked."""

from __future__ import annotations

import logging

from graphql import GraphQLError, VariableDefinitionNode

from golfstats.doors.rest.problems import body_of
from golfstats.ground.faults import ProblemError

log = logging.getLogger(__name__)

IN_THE_DOCUMENT = {"type": "/problems/invalid-document", "status": 400}
NESTED_TOO_DEEPLY = "The document is nested too deeply to be read"


def shown(error: GraphQLError, request_id: str) -> GraphQLError:
    """The error as a client may see it. One that is masked is logged under the request's id."""
    cause = cause_of(error)
    if cause is None or _about_a_variable(error):
        error.extensions = error.extensions or IN_THE_DOCUMENT
        return error
    if isinstance(cause, ProblemError):
        extensions = body_of(cause) | {"instance": "/graphql"}
        if "ETag" in cause.headers:
            extensions["etag"] = cause.headers["ETag"]
        return GraphQLError(cause.title, nodes=error.nodes, path=error.path, extensions=extensions)
    if isinstance(cause, RecursionError):
        return GraphQLError(NESTED_TOO_DEEPLY, extensions=IN_THE_DOCUMENT)
    log.error("GraphQL request %s failed", request_id, exc_info=cause)
    return GraphQLError(
        f"Something went wrong here; it is logged as request {request_id}",
        nodes=error.nodes,
        path=error.path,
        extensions={"type": "/problems/unforeseen", "status": 500, "request_id": request_id},
    )


def cause_of(error: GraphQLError) -> Exception | None:
    """The exception of ours behind the error; None where GraphQL itself found the fault."""
    cause: Exception | None = error
    while isinstance(cause, GraphQLError):
        cause = cause.original_error
    return cause


def _about_a_variable(error: GraphQLError) -> bool:
    return error.nodes is not None and isinstance(next(iter(error.nodes), None), VariableDefinitionNode)
