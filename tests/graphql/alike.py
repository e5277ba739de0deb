"""GraphQL's answers beside REST's: the same names and values."""

from __future__ import annotations

import re
from typing import Any

from graphql import GraphQLNamedType, GraphQLObjectType, get_named_type, is_required_argument

from courses.layout.models import Section
from golfstats.doors.graphql.schema import schema


def everything(kind: GraphQLNamedType) -> str:
    """All fields of a type, and all of theirs."""
    if not isinstance(kind, GraphQLObjectType):
        return ""
    fields = {
        name: field
        for name, field in kind.fields.items()
        if not any(is_required_argument(argument) for argument in field.args.values())
    }
    return (
        "{"
        + " ".join(f"{name} {everything(get_named_type(field.type))}" for name, field in fields.items())
        + "}"
    )


def all_of(kind: str) -> str:
    """A selection of everything that a type of this name has."""
    return everything(schema._schema.type_map[kind])


def snake(value: Any) -> Any:
    """The value with REST's spelling of names."""
    if isinstance(value, list):
        return [snake(one) for one in value]
    if isinstance(value, dict):
        return {
            re.sub("([A-Z])", lambda m: f"_{m[1].lower()}", name): snake(one) for name, one in value.items()
        }
    return value


def camel(value: Any) -> Any:
    """A body of REST with GraphQL's spelling of names."""
    if isinstance(value, list):
        return [camel(one) for one in value]
    if isinstance(value, dict):
        return {re.sub("_([a-z])", lambda m: m[1].upper(), name): camel(one) for name, one in value.items()}
    return value


def nodes(connection: dict[str, Any]) -> list[dict[str, Any]]:
    return [edge["node"] for edge in connection["edges"]]


def assert_within(rest: Any, told: Any, place: str = "") -> None:
    """Whatever GraphQL was asked for is in REST's answer under the same name and with the same value."""
    if isinstance(told, dict):
        for name, value in told.items():
            assert name in rest, f"{place}/{name}"
            assert_within(rest[name], value, f"{place}/{name}")
    elif isinstance(told, list):
        assert len(rest) == len(told), place
        for index, value in enumerate(told):
            assert_within(rest[index], value, f"{place}/{index}")
    else:
        # Words of a choice are names in GraphQL, which have neither spaces nor hyphens and are no numbers.
        same = rest == told or re.sub("[ -]", "_", str(rest)) == re.sub("[ -]", "_", str(told))
        assert same or {rest, told} == {Section.EIGHTEEN.value, Section.EIGHTEEN.name}, place


def assert_same(rest: Any, told: Any) -> None:
    """Nothing is missing and nothing differs."""
    assert_within(rest, snake(told))
    assert_within(snake(told), rest)
