"""How much one document may ask for: tokens, depth, aliases, and cost.

The cost of an operation is the number of fields that its answer can have at most: every field counts once
for each object that it may be on: the page asked for of a connection, the usual length of another list.
Fields that make the service compute have a cost of their own on top.

Measured in one walk that visits each fragment once. The limiters that come with the library follow every
spread again, so that thirty small fragments, each spread twice in the next, keep them busy for hours.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from graphql import (
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
)
from strawberry.extensions import SchemaExtension
from strawberry.types.graphql import OperationType

from golfstats.api.bodies import NUL
from golfstats.graphql.paging import LARGEST_PAGE

PAGE_ARGUMENTS = ("first", "last")


@dataclass(frozen=True)
class Charges:
    """What the schema's fields cost beside 1, by ``Type.field``."""

    computed: Mapping[str, int]
    """Extra cost of fields that compute, for each object of the page or list."""
    lists: Mapping[str, tuple[int, str]]
    """Lists that are no connections: how long they get at most, and why they need no pages."""


@dataclass(frozen=True)
class Size:
    depth: int = 0
    aliases: int = 0
    cost: int = 0

    def beside(self, other: Size) -> Size:
        return Size(max(self.depth, other.depth), self.aliases + other.aliases, self.cost + other.cost)


def size_of(
    document: DocumentNode, schema: GraphQLSchema, variables: Mapping[str, Any], charges: Charges
) -> Size:
    """The size of all operations of the document together."""
    walk = _Walk(document, schema, variables, charges)
    found = Size()
    for definition in document.definitions:
        if isinstance(definition, OperationDefinitionNode):
            found = found.beside(walk.operation(definition))
    return found


class _Walk:
    def __init__(
        self, document: DocumentNode, schema: GraphQLSchema, variables: Mapping[str, Any], charges: Charges
    ) -> None:
        self.schema = schema
        self.charges = charges
        self.given = variables
        self.variables: dict[str, Any] = dict(variables)
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
        found = Size()
        for selection in selection_set.selections if selection_set else ():
            if isinstance(selection, FieldNode):
                found = found.beside(self.field(selection, parent))
            elif isinstance(selection, InlineFragmentNode):
                found = found.beside(
                    self.selections(selection.selection_set, self.condition(selection, parent))
                )
            elif isinstance(selection, FragmentSpreadNode):
                found = found.beside(self.spread(selection.name.value))
        return found

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
        cost = 1 + times * (self.charges.computed.get(place, 0) + inner.cost)
        return Size(1 + inner.depth, aliases + inner.aliases, cost)

    def times(self, node: FieldNode, definition: GraphQLField | None, place: str) -> int:
        """On how many objects the fields below may be."""
        usual, _ = self.charges.lists.get(place, (1, ""))
        if definition is None:
            return usual
        for name in PAGE_ARGUMENTS:
            if name in definition.args:
                return _count(self.argument(node, definition, name), otherwise=LARGEST_PAGE)
        if "keys" in definition.args:
            return _count(self.argument(node, definition, "keys"), otherwise=usual)
        return usual

    def argument(self, node: FieldNode, definition: GraphQLField, name: str) -> Any:
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
            yield GraphQLError(
                f"The document {words.format(asked)}; the maximum is {maximum}",
                extensions={
                    "type": f"/problems/{measure}-limit",
                    "status": 400,
                    f"requested_{measure}": asked,
                    f"maximum_{measure}": maximum,
                },
            )


class TextWithoutNul(ValidationRule):
    """Refuses the one character that PostgreSQL's text cannot hold; in variables the request's body was checked."""

    def enter_string_value(self, node: StringValueNode, *_: object) -> None:
        if NUL in node.value:
            self.report_error(GraphQLError("Text has no NUL character", node))


def limits(charges: Charges) -> type[SchemaExtension]:
    """The extension that refuses documents beyond the limits, before anything else looks at them."""

    class Limits(SchemaExtension):
        def on_operation(self) -> Iterator[None]:
            self.execution_context.parse_options["max_tokens"] = settings.GRAPHQL["MAX_TOKENS"]
            yield

        def on_validate(self) -> Iterator[None]:
            context = self.execution_context
            assert context.graphql_document is not None  # noqa: S101 - parsing came first
            schema = context.schema._schema  # noqa: SLF001 - the library has no public way to it
            size = size_of(context.graphql_document, schema, context.variables or {}, charges)
            found = list(faults(size))
            if found:
                context.pre_execution_errors = found
            hidden = [] if settings.GRAPHQL["INTROSPECTION"] else [NoSchemaIntrospectionCustomRule]
            context.validation_rules = (*context.validation_rules, TextWithoutNul, *hidden)
            yield

        def on_execute(self) -> Iterator[None]:
            operation = self.execution_context.operation_type
            self.execution_context.context.changes_something = operation == OperationType.MUTATION
            yield

    return Limits
