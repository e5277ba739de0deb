"""Schemas for schemathesis: the document and the GraphQL schema as they are, with ids that name something."""

from __future__ import annotations

import copy
import re
from typing import Any

import schemathesis
from django.core.wsgi import get_wsgi_application
from graphql import introspection_from_schema
from hypothesis import strategies as st
from schemathesis.checks import not_a_server_error
from schemathesis.graphql import nodes
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    negative_data_rejection,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from golfstats.doors.graphql.schema import schema as graphql
from golfstats.doors.rest.reference import openapi
from tests.api.graphql_calls import ARGUMENTS
from tests.api.requests import UUID
from tests.api.routes import ROWS, ROWS_OF_PARAMETERS
from tests.api.world import World

schemathesis.serializer.alias("application/x-ndjson", "text/plain")
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
    response_headers_conformance,
    negative_data_rejection,
]


REFUSES_LINE_BY_LINE = {"post_many_rounds"}
"""Any text is a body of lines: what is wrong stands in an answer of 200, beside the line that it is about."""


def checks_of(operation_id: str) -> list[Any]:
    return [
        one
        for one in CHECKS
        if one is not negative_data_rejection or operation_id not in REFUSES_LINE_BY_LINE
    ]


def of_rest(world: World) -> Any:
    """The API document. Other ids than those of the club's rows are not found, and nothing would be learnt."""
    return asked_of_the_service(with_ids_of(copy.deepcopy(openapi.document()), world))


def asked_of_the_service(document: dict[str, Any]) -> Any:
    schema = schemathesis.openapi.from_dict(document)
    schema.app = get_wsgi_application()
    return schema


def with_ids_of(schema: Any, world: World, name: str = "") -> Any:
    """The same schema; where it wants an id and the name says of what, it wants that of the club's row."""
    if isinstance(schema, list):
        return [with_ids_of(one, world, name) for one in schema]
    if not isinstance(schema, dict):
        return schema
    if "in" in schema:
        name = schema["name"]
    model = (ROWS | ROWS_OF_PARAMETERS).get(name)
    if model in world.rows and schema.get("format") == "uuid":
        return {"type": "string", "enum": [world.id(model)]}
    if "properties" in schema:
        schema["properties"] = {
            key: with_ids_of(one, world, key) for key, one in schema["properties"].items()
        }
    return {
        key: one if key in {"properties", "example", "examples"} else with_ids_of(one, world, name)
        for key, one in schema.items()
    }


def of_graphql() -> Any:
    texts = {
        "UUID": st.uuids().map(str),
        "Date": st.dates().map(str),
        "Time": st.times().map(str),
        "DateTime": st.datetimes().map(lambda one: f"{one.isoformat()}Z"),
        "Decimal": st.decimals(allow_nan=False, allow_infinity=False).map(str),
    }
    for scalar, values in texts.items():
        schemathesis.graphql.scalar(scalar, values.map(nodes.String))
    schema = schemathesis.graphql.from_dict(introspection_from_schema(graphql._schema))
    schema.app = get_wsgi_application()
    schema.location = "/graphql"
    return schema


def about_rows_of(world: World, field: str, document: str) -> str:
    """The document with the ids of this club's rows: what ``id`` is of, the root field says."""

    def named(found: re.Match[str]) -> str:
        _, variables = ARGUMENTS[field]
        model = ROWS_OF_PARAMETERS.get(found[1])
        key = variables(world).get("id") if found[1] == "id" else model and world.id(model)
        return f'{found[1]}: "{key}"' if key else found[0]

    return re.sub(rf'\b(\w+): "{UUID.pattern}"', named, document)
