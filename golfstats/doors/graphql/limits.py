"""How much one document may ask for: tokens, depth, aliases, and cost.

The cost of an operation is the number of fields that its answer can have at most: every field counts once
for each object that it may be on: the page asked for of a connection, the usual length of another list.
Fields that make the service compute have a cost of their own on top. A document that would be too dear by the
pages it asks for is measured once more by the rows that there are, as a club of twelve players has no page of twenty.

Measured in one walk that visits each fragment once. The limiters that come with the library follow every
spread again, so that thirty small fragments, each spread twice in the next, keep them busy for hours.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from dataclasses import field as dataclass_field
from functools import cache, lru_cache
from typing import Any

from django.conf import settings
from graphql import (
    ASTValidationRule,
    DocumentNode,
    FieldNode,
    FragmentDefinitionNode,
    FragmentSpreadNode,
    GraphQLError,
    GraphQLField,
    GraphQLInterfaceType,
    GraphQLNamedType,
    GraphQLObjectType,
    GraphQLSchema,
    InlineFragmentNode,
    IntValueNode,
    ListValueNode,
    NoSchemaIntrospectionCustomRule,
    OperationDefinitionNode,
    SelectionSetNode,
    StringValueNode,
    ValidationRule,
    VariableNode,
    get_named_type,
    get_nullable_type,
    is_list_type,
    parse,
)
from strawberry.extensions import SchemaExtension
from strawberry.schema.schema import validate_document
from strawberry.types.graphql import OperationType

from golfstats.doors.graphql.paging import LARGEST_PAGE
from golfstats.ground.inputs import NUL
from golfstats.ground.operations import Asker

USUAL_KEYS = 5
"""Figures of an answer that names none: those of the dashboard."""
KEPT, LONGEST_KEPT = 64, 16_384
"""So many documents are kept as they were read and checked, none longer than this: some megabytes of a process."""
LARGEST_TOLD = 2**53 - 1
"""The largest whole number that JSON is sure to carry (RFC 8259, 6)."""


@dataclass(frozen=True)
class Charges:
    """What the schema's fields cost beside 1, by ``Type.field``."""

    computed: Mapping[str, int]
    """Extra cost of fields that compute, for each object of the page or list."""
    lists: Mapping[str, tuple[int, str]]
    """Lists that are no connections: how long they get at most, and why they need no pages."""
    rows: Mapping[str, Callable[[Asker], int]] = dataclass_field(default_factory=dict)
    """Of connections: how many rows there are for whoever asks, counted as far as the largest page."""


@dataclass(frozen=True)
class Dearest:
    """The field that costs most by itself, with all the objects that it may be on."""

    cost: int = 0
    path: tuple[str, ...] = ()


@dataclass(frozen=True)
class Size:
    depth: int = 0
    aliases: int = 0
    cost: int = 0
    dearest: Dearest = Dearest()

    def beside(self, other: Size) -> Size:
        return Size(
            max(self.depth, other.depth),
            self.aliases + other.aliases,
            self.cost + other.cost,
            max(self.dearest, other.dearest, key=lambda one: one.cost),
        )


RowsThere = Callable[[str], int]
"""How many rows a connection has at most, by ``Type.field``."""


def as_many_as_asked(_: str) -> int:
    return LARGEST_PAGE


def size_of(
    document: DocumentNode,
    schema: GraphQLSchema,
    variables: Mapping[str, object],
    charges: Charges,
    rows_there: RowsThere = as_many_as_asked,
) -> Size:
    """The size of all operations of the document together."""
    walk = _Walk(document, schema, variables, charges, rows_there)
    total = Size()
    for definition in document.definitions:
        if isinstance(definition, OperationDefinitionNode):
            total = total.beside(walk.operation(definition))
    return total


class _Walk:
    def __init__(
        self,
        document: DocumentNode,
        schema: GraphQLSchema,
        variables: Mapping[str, object],
        charges: Charges,
        rows_there: RowsThere,
    ) -> None:
        self.schema = schema
        self.rows_there = rows_there
        self.charges = charges
        self.given = variables
        self.variables: dict[str, object] = dict(variables)
        self.fragments = {
            definition.name.value: definition
            for definition in document.definitions
            if isinstance(definition, FragmentDefinitionNode)
        }
        self.known: dict[str, Size] = {}

    def operation(self, operation: OperationDefinitionNode) -> Size:
        self.variables = {
            definition.variable.name.value: definition.default_value.value
            for definition in operation.variable_definitions or ()
            if isinstance(definition.default_value, IntValueNode)
        } | dict(self.given)
        self.known = {}  # a fragment's cost depends on the variables of the operation
        return self.selections(operation.selection_set, self.schema.get_root_type(operation.operation))

    def selections(self, selection_set: SelectionSetNode | None, parent: GraphQLNamedType | None) -> Size:
        total = Size()
        for selection in selection_set.selections if selection_set else ():
            if isinstance(selection, FieldNode):
                total = total.beside(self.field(selection, parent))
            elif isinstance(selection, InlineFragmentNode):
                total = total.beside(
                    self.selections(selection.selection_set, self.condition(selection, parent))
                )
            elif isinstance(selection, FragmentSpreadNode):
                total = total.beside(self.spread(selection.name.value))
        return total

    def condition(
        self, fragment: InlineFragmentNode, parent: GraphQLNamedType | None
    ) -> GraphQLNamedType | None:
        named = fragment.type_condition
        return parent if named is None else self.schema.get_type(named.name.value)

    def spread(self, name: str) -> Size:
        """A fragment that spreads itself, or that is not there, counts nothing: validation refuses it."""
        fragment = self.fragments.get(name)
        if fragment is None:
            return Size()
        if name not in self.known:
            self.known[name] = Size()
            on = self.schema.get_type(fragment.type_condition.name.value)
            self.known[name] = self.selections(fragment.selection_set, on)
        return self.known[name]

    def field(self, node: FieldNode, parent: GraphQLNamedType | None) -> Size:
        name = node.name.value
        aliases = 1 if node.alias else 0
        if name.startswith("__"):
            return Size(0, aliases, 1)  # whether a client may introspect at all is decided elsewhere
        fields = parent.fields if isinstance(parent, GraphQLObjectType | GraphQLInterfaceType) else {}
        definition = fields.get(name)
        place = f"{parent.name if parent else ''}.{name}"
        inner = self.selections(node.selection_set, get_named_type(definition.type) if definition else None)
        times = self.times(node, definition, place)
        computed = self.charges.computed.get(place, 0) * self.figures(node, definition, times)
        below = Dearest(times * inner.dearest.cost, (name, *inner.dearest.path))
        dearest = max(Dearest(1 + computed, (name,)), below, key=lambda one: one.cost)
        cost = 1 + computed + times * inner.cost
        return Size(1 + inner.depth, aliases + inner.aliases, cost, dearest)

    def times(self, node: FieldNode, definition: GraphQLField | None, place: str) -> int:
        """On how many objects the fields below may be."""
        usual, _ = self.charges.lists.get(place, (1, ""))
        if definition is None:
            return usual
        if "first" in definition.args:
            asked = _count(self.argument(node, definition, "first"), otherwise=LARGEST_PAGE)
            return max(1, min(asked, self.rows_there(place)))
        if "keys" in definition.args and is_list_type(get_nullable_type(definition.type)):
            return _count(self.argument(node, definition, "keys"), otherwise=usual)
        # `last` cuts a list; beside an answer it names the rounds that the answer is about.
        if "last" in definition.args and is_list_type(get_nullable_type(definition.type)):
            return _count(self.argument(node, definition, "last"), otherwise=LARGEST_PAGE)
        return usual

    def figures(self, node: FieldNode, definition: GraphQLField | None, times: int) -> int:
        """How many figures one answer is computed for; of a list as many as it has objects."""
        if definition is None or "keys" not in definition.args or times > 1:
            return times
        return _count(self.argument(node, definition, "keys"), otherwise=USUAL_KEYS)

    def argument(self, node: FieldNode, definition: GraphQLField, name: str) -> object:
        """The argument as far as it is needed here: a number or a list, in the document or in a variable."""
        given = next((one.value for one in node.arguments or () if one.name.value == name), None)
        if isinstance(given, VariableNode):
            return self.variables.get(given.name.value, definition.args[name].default_value)
        if given is None:
            return definition.args[name].default_value
        return given.values if isinstance(given, ListValueNode) else getattr(given, "value", None)


def _count(value: Any, otherwise: int) -> int:
    if isinstance(value, list | tuple):
        return max(1, len(value))
    try:
        return max(1, int(value))
    except (TypeError, ValueError):
        return otherwise


def faults(size: Size) -> Iterator[GraphQLError]:
    """One error for each measure that is larger than the settings allow; it names both numbers."""
    allowed = settings.GRAPHQL
    for measure, asked, maximum, words in (
        ("depth", size.depth, allowed["MAX_DEPTH"], "is {} levels deep"),
        ("aliases", size.aliases, allowed["MAX_ALIASES"], "has {} aliases"),
        ("cost", size.cost, allowed["MAX_COST"], "costs {}"),
    ):
        if asked > maximum:
            shown = min(asked, LARGEST_TOLD)
            yield GraphQLError(
                f"The document {words.format(shown)}; the maximum is {maximum}",
                extensions={
                    "type": f"/problems/{measure}-limit",
                    "status": 400,
                    f"requested_{measure}": shown,
                    f"maximum_{measure}": maximum,
                    **(_dearest(size.dearest) if measure == "cost" else {}),
                },
            )


def _dearest(dearest: Dearest) -> dict[str, object]:
    path = ".".join(dearest.path)
    return {
        "dearest_field": path,
        "dearest_cost": min(dearest.cost, LARGEST_TOLD),
        "detail": f"{path} costs most. Ask for fewer rows above it (first), or for fewer figures (keys, last), "
        "or for one row by its id.",
    }


def _rows_there(charges: Charges, asker: Asker) -> RowsThere:
    """Counted once each: a query only where a document needs it."""

    @cache
    def counted(place: str) -> int:
        count = charges.rows.get(place)
        return LARGEST_PAGE if count is None else count(asker)

    return counted


class TextWithoutNul(ValidationRule):
    """Refuses the one character that PostgreSQL's text cannot hold; in variables the request's body was checked."""

    def enter_string_value(self, node: StringValueNode, *_: object) -> None:
        if NUL in node.value:
            self.report_error(GraphQLError("Text has no NUL character", node))


@lru_cache(maxsize=KEPT)
def _document(text: str, max_tokens: int | None) -> DocumentNode:
    """As read before: programs send the same few documents again and again."""
    return parse(text, max_tokens=max_tokens)


@lru_cache(maxsize=KEPT)
def _faults(
    schema: GraphQLSchema, text: str, max_tokens: int | None, rules: tuple[type[ASTValidationRule], ...]
) -> tuple[GraphQLError, ...]:
    """What is wrong with a document whoever asks; its size is measured for each who does."""
    return tuple(validate_document(schema, _document(text, max_tokens), rules))


def limits(charges: Charges) -> type[SchemaExtension]:
    """The extension that refuses documents beyond the limits, before anything else looks at them."""

    class Limits(SchemaExtension):
        def on_operation(self) -> Iterator[None]:
            self.execution_context.parse_options["max_tokens"] = settings.GRAPHQL["MAX_TOKENS"]
            yield

        def on_parse(self) -> Iterator[None]:
            context = self.execution_context
            if context.query and len(context.query) <= LONGEST_KEPT:
                context.graphql_document = _document(context.query, context.parse_options["max_tokens"])
            yield

        def on_validate(self) -> Iterator[None]:
            context = self.execution_context
            assert context.graphql_document is not None  # noqa: S101 - parsing came first
            schema = context.schema._schema  # noqa: SLF001 - the library has no public way to it
            asked = (context.graphql_document, schema, context.variables or {}, charges)
            size = size_of(*asked)
            if size.cost > settings.GRAPHQL["MAX_COST"]:
                size = size_of(*asked, _rows_there(charges, context.context.asker))
            context.context.cost = min(size.cost, LARGEST_TOLD)
            problems = list(faults(size))
            if problems:
                context.pre_execution_errors = problems
            hidden = [] if settings.GRAPHQL["INTROSPECTION"] else [NoSchemaIntrospectionCustomRule]
            context.validation_rules = (*context.validation_rules, TextWithoutNul, *hidden)
            if not problems and context.query and len(context.query) <= LONGEST_KEPT:
                tokens = context.parse_options["max_tokens"]
                known = _faults(schema, context.query, tokens, context.validation_rules)
                context.pre_execution_errors = list(known)
            yield

        def on_execute(self) -> Iterator[None]:
            operation = self.execution_context.operation_type
            self.execution_context.context.changes_something = operation == OperationType.MUTATION
            yield

    return Limits
