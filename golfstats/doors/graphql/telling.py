"""Execution that tells what has no resolver of its own at once, instead of field by field.

Most of an answer is plain: objects whose fields are attributes, down to numbers and words. The library looks at each
such field as if it could be anything (a resolver with arguments, something to wait for, a fault in its place), which
takes several times as long as telling it. Here what a document wants of a plain object is found out once, and then told
of every such object. Whatever does not go well, such as nothing where something must be, is left to the library, which
does it again and says what is wrong, and where.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from functools import partial
from typing import Any

from graphql import (
    GraphQLObjectType,
    GraphQLOutputType,
    is_leaf_type,
    is_list_type,
    is_non_null_type,
    is_object_type,
)
from strawberry.schema.schema import StrawberryGraphQLCoreExecutionContext

from golfstats.doors.graphql.rows import read

Tell = Callable[[Any], Any]
"""From what was found to what is told of it."""
Known = dict[tuple[Any, int], tuple[Any, Tell | None]]
"""By a type and what a document wants of it."""


class Telling(StrawberryGraphQLCoreExecutionContext):
    """The library's execution of one document, with a shorter way for what is plain."""

    def __init__(self, *arguments: Any, **named: Any) -> None:
        super().__init__(*arguments, **named)
        self._objects: Known = {}
        self._fields: Known = {}

    def collect_and_execute_subfields(
        self, return_type: GraphQLObjectType, details: Any, path: Any, result: Any, position: Any
    ) -> Any:
        """What is told of an object."""
        tell = _once(self._objects, self._of_object, return_type, details)
        if tell is not None:
            with suppress(Exception):  # whatever it is, the library meets it below
                return tell(result)
        return super().collect_and_execute_subfields(return_type, details, path, result, position)

    def execute_field(
        self, parent_type: GraphQLObjectType, source: Any, details: Any, path: Any, position: Any
    ) -> Any:
        """What is told of one field, for instance of a row that has fields with resolvers beside it."""
        tell = _once(self._fields, self._of_field, parent_type, details)
        if tell is not None:
            with suppress(Exception):  # whatever it is, the library meets it below
                return tell(source)
        return super().execute_field(parent_type, source, details, path, position)

    def _of_field(self, parent: GraphQLObjectType, details: Any) -> Tell | None:
        """None where the field has a resolver, or something below it has."""
        part = self._part(parent, details)
        if part is None:
            return None
        attribute, tell = part
        return tell if attribute is None else lambda source: tell(read(source, attribute))

    def _of_object(self, kind: GraphQLObjectType, details: Any) -> Tell | None:
        """None where a field has a resolver, or where an object has to show that it is of this type."""
        if kind.is_type_of is not None:
            return None
        wanted, deferred, _ = self.collect_subfields(kind, details)
        parts: list[tuple[str, str | None, Tell]] = []
        for name, details_of_field in wanted.items():
            part = self._part(kind, details_of_field)
            if part is None:
                return None
            parts.append((name, *part))
        return None if deferred else partial(_object_as_told, parts)

    def _part(self, parent: GraphQLObjectType, details: Any) -> tuple[str | None, Tell] | None:
        """Which attribute of an object a field tells, none for its type's name, and how."""
        name = details[0].node.name.value
        if name == "__typename":
            return None, lambda _: parent.name
        field = parent.fields.get(name)
        if field is None or field.args or not getattr(field.resolve, "_is_default", False):
            return None
        tell = self._of_value(field.type, details)
        return None if tell is None else (str(field.extensions["strawberry-definition"].python_name), tell)

    def _of_value(self, kind: GraphQLOutputType, details: Any) -> Tell | None:
        needed = is_non_null_type(kind)
        named = kind.of_type if is_non_null_type(kind) else kind
        tell: Tell | None = None
        if is_leaf_type(named):
            tell = named.coerce_output_value
        elif is_list_type(named):
            inner = self._of_value(named.of_type, details)
            tell = inner and partial(_each, inner)
        elif is_object_type(named):
            tell = self._of_object(named, details)
        return tell and partial(_needed if needed else _if_there, tell)


def _once(known: Known, make: Callable[[Any, Any], Tell | None], kind: Any, details: Any) -> Tell | None:
    """As the document wants it of this kind. The details are kept, so that no others get their id."""
    key = (kind, id(details))
    if key not in known:
        known[key] = (details, make(kind, details))
    return known[key][1]


class NothingThereError(ValueError):
    """Nothing was found where something must be."""


def _object_as_told(parts: list[tuple[str, str | None, Tell]], source: Any) -> dict[str, object]:
    return {
        name: tell(source if attribute is None else read(source, attribute))
        for name, attribute, tell in parts
    }


def _needed(tell: Tell, value: Any) -> Any:
    answer = None if value is None else tell(value)
    if answer is None:
        raise NothingThereError
    return answer


def _if_there(tell: Tell, value: Any) -> Any:
    return None if value is None else tell(value)


def _each(tell: Tell, value: Any) -> Any:
    return [tell(one) for one in value]
