"""Errors in an answer: problems as REST gives them, in ``extensions``; whatever was not foreseen is masked."""

from __future__ import annotations

import logging

from graphql import GraphQLError, VariableDefinitionNode

from golfstats.api.problems import ProblemError

log = logging.getLogger(__name__)

NESTED_TOO_DEEPLY = "The document is nested too deeply to be read"


def shown(error: GraphQLError, request_id: str) -> GraphQLError:
    """The error as a client may see it. One that is masked is logged under the request's id."""
    cause = _cause(error)
    if cause is None or _about_a_variable(error):
        return error
    if isinstance(cause, ProblemError):
        extensions = cause.as_dict() | {"instance": "/graphql"}
        return GraphQLError(cause.title, nodes=error.nodes, path=error.path, extensions=extensions)
    if isinstance(cause, RecursionError):
        return GraphQLError(NESTED_TOO_DEEPLY)
    log.error("GraphQL request %s failed", request_id, exc_info=cause)
    return GraphQLError(
        f"Something went wrong here; it is logged as request {request_id}",
        nodes=error.nodes,
        path=error.path,
        extensions={"type": "/problems/unforeseen", "status": 500, "request_id": request_id},
    )


def _cause(error: GraphQLError) -> Exception | None:
    """The exception of ours behind the error; None where GraphQL itself found the fault."""
    cause: Exception | None = error
    while isinstance(cause, GraphQLError):
        cause = cause.original_error
    return cause


def _about_a_variable(error: GraphQLError) -> bool:
    return bool(error.nodes) and isinstance(error.nodes[0], VariableDefinitionNode)  # type: ignore[index]  # bool() tells mypy nothing
