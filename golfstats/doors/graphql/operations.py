"""GraphQL from declared operations: fields of the roots and of the subjects' types, and what each costs.

A field about a row loads its answer for the whole family of rows that were found together.
"""

from __future__ import annotations

import inspect
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from typing import Annotated, Any
from uuid import UUID

import strawberry
from pydantic import ValidationError

from golfstats.doors.graphql.answers import TYPES, Types, camel, described_field
from golfstats.doors.graphql.context import Info
from golfstats.doors.graphql.inputs import given_fields
from golfstats.doors.graphql.paging import (
    LARGEST_PAGE,
    USUAL_PAGE,
    Connection,
    Order,
    Page,
    page_of_family,
    page_of_list,
    pages_by_family,
)
from golfstats.doors.graphql.rows import Family, Row
from golfstats.doors.graphql.tags import MEANING, Tags
from golfstats.doors.rest.http import preconditions
from golfstats.doors.rest.http.preconditions import Telling, takes_if_match, telling
from golfstats.ground import inputs
from golfstats.ground.deprecation import Deprecation
from golfstats.ground.faults import invalid
from golfstats.ground.operations import (
    Asker,
    Change,
    Done,
    Gathering,
    Line,
    Listing,
    Operation,
    Query,
    Reading,
    Subject,
)
from golfstats.ground.orders import order_of
from golfstats.ground.standing import Standing
from golfstats.ground.stretches import filtered

Arguments = dict[str, tuple[Any, Any]]
"""By name: type and default; ``REQUIRED`` for an argument that has to be given."""
REQUIRED = inspect.Parameter.empty
PARENT: Any = strawberry.Parent[Any]  # type: ignore[misc]  # a type made with Annotated
IF_MATCH = (
    "For which state the change is meant, as in REST's header `If-Match`: what the field `etag` told, or `*` for any. "
    "Refused as stale (412) with the present one as `etag` in `extensions`."
)
PAGE: Arguments = {"first": (int, USUAL_PAGE), "after": (str | None, None)}


class Declared:
    """What the operations give a schema: fields of both roots, computed costs and lengths of lists."""

    def __init__(self, operations: Iterable[Operation]) -> None:
        self.types = TYPES
        self.costs: dict[str, int] = {}
        self.rows: dict[str, Callable[[Asker], int]] = {}
        """By ``Type.field`` of a connection: how many rows there are, counted as far as the largest page."""
        self._about: dict[type, list[Operation]] = defaultdict(list)
        self.query: dict[str, Any] = {}
        self.mutation: dict[str, Any] = {}
        operations = list(operations)
        named = [operation for operation in operations if operation.field]
        self._by_path: dict[str, dict[str, Operation]] = defaultdict(dict)
        for operation in operations:
            if operation.path:
                self._by_path[operation.path][operation.method] = operation
        for operation in named:
            if _hangs_on_a_row(operation):
                assert operation.about is not None  # noqa: S101 - it hangs on its subject
                self._about[operation.about.head].append(operation)
        for operation in named:
            if isinstance(operation, Change):
                self.mutation[operation.field] = self._mutation(operation)
            elif not _hangs_on_a_row(operation):
                self.query[operation.field] = self._field(operation, "Query")
        self._tell_tags(named)
        for subject in _roots(named):
            self.query[subject.root] = self._finding(subject)

    @property
    def lists(self) -> dict[str, tuple[int, str]]:
        return self.types.lists

    def type_of(self, line: Line[Any]) -> Any:
        """The type of a table's lines; of a subject with the fields about it."""
        fields = {one.field: self._field(one, line.head.__name__) for one in self._about.pop(line.head, [])}
        return self.types.answer(line.head, fields, line.model)

    def _field(self, operation: Operation, place: str) -> Any:
        if operation.cost:
            self.costs[f"{place}.{camel(operation.field)}"] = operation.cost
        places = {} if _hangs_on_a_row(operation) else _places(operation)
        if isinstance(operation, Listing):
            self.rows[f"{place}.{camel(operation.field)}"] = partial(_rows_there, operation)
            kind = _connection(self.type_of(operation.of))
            return _made(operation, kind, places | PAGE | _arguments(operation.parameters, self.types), _list)
        if isinstance(operation, Gathering):
            line = self.types.answer(operation.line)
            if operation.key is None:
                name = f"{place}.{camel(operation.field)}"
                self.types.lists[name] = (operation.longest, "computed as a whole")
            if operation.key is not None:
                return _made(
                    operation,
                    _connection(line),
                    places | PAGE | _arguments(operation.parameters, self.types),
                    _gather_page,
                )
            return _made(
                operation, _list_of(line), places | _arguments(operation.parameters, self.types), _gather
            )
        assert isinstance(operation, Reading)  # noqa: S101 - downloads have no field, changes are no questions
        answer = self.types.answer(operation.answer)
        if operation.about is not None and operation.answer is operation.about.head:
            answer = self.type_of(operation.about)
        return _made(operation, answer | None, places | _arguments(operation.parameters, self.types), _read)

    def _finding(self, subject: Subject[Any]) -> Any:
        def find(asker: Asker, parent: Any, given: dict[str, Any]) -> Any:  # noqa: ARG001 - roots have no parent
            return family_of(subject, asker, [subject.one(asker, _of_address(subject, given))])[0]

        return _resolved(find, self.type_of(subject) | None, ID, f"A {subject.word} by id.")

    def _tell_tags(self, named: Iterable[Operation]) -> None:
        """A field with what ``ifMatch`` takes, where there is a mutation that does."""
        changes = [one for one in named if isinstance(one, Change) and takes_if_match(one, self._by_path)]
        if changes:
            tags = Tags({camel(one.field): one for one in changes}, self._by_path)
            self.costs["Query.etag"] = tags.cost
            arguments = {"of": (tags.names, REQUIRED), "id": (UUID | None, None)}
            self.query["etag"] = _resolved(tags.tell, str | None, arguments, MEANING)

    def _mutation(self, operation: Change) -> Any:
        told_by = telling(operation.path, self._by_path)
        arguments = _places(operation)
        if operation.body is not None:
            arguments["given"] = (
                self.types.body(operation.body, partial=operation.present is not None),
                REQUIRED,
            )
        if operation.version is not None:
            arguments["version"] = (int | None, None)
        if takes_if_match(operation, self._by_path):
            arguments["if_match"] = (Annotated[str | None, strawberry.argument(description=IF_MATCH)], None)
        arguments |= _arguments(operation.parameters, self.types)
        if operation.of is not None:
            answer = self.type_of(operation.of)
        else:
            answer = bool if operation.answer is None else self.types.answer(operation.answer)
        return _resolved(
            lambda asker, _, given: _change(operation, asker, given, told_by),
            answer,
            arguments,
            operation.summary,
            field=strawberry.mutation,
            deprecation=operation.deprecation,
        )


def _rows_there(operation: Listing, asker: Asker) -> int:
    return operation.rows(asker).order_by()[:LARGEST_PAGE].count()


def family_of(line: Line[Any], asker: Asker, rows: Sequence[Any]) -> list[Row]:
    """These rows as one family, each with what is told of it."""
    family = Family()
    line.seen(asker, rows)
    heads = line.heads(asker, rows)
    family.rows += [Row(row, head, family) for row, head in zip(rows, heads, strict=True)]
    return family.rows


def _read(operation: Reading, asker: Asker, parent: Any, given: dict[str, Any]) -> Any:
    query, rows = _checked(operation, given), _rows(operation, asker, parent, given)
    if rows is None:
        answer = operation.read(asker, query)
    else:
        answer = _of_parent(operation, operation.read, asker, parent, query, rows)
    if operation.about is not None and operation.answer is operation.about.head and answer is not None:
        return family_of(operation.about, asker, rows or [])[0]
    return answer


def _gather(operation: Gathering, asker: Asker, parent: Any, given: dict[str, Any]) -> Any:
    query, rows = _checked(operation, given), _rows(operation, asker, parent, given)
    if rows is None:
        who = asker if operation.standing is Standing.MEMBER else asker.person
        return operation.gather(who, query)
    return _of_parent(operation, operation.gather, asker, parent, query, rows)


def _gather_page(operation: Gathering, asker: Asker, parent: Any, given: dict[str, Any]) -> Any:
    page = Page(given.pop("first"), given.pop("after"))
    assert operation.key is not None  # noqa: S101 - without a key it has no pages
    return page_of_list(_gather(operation, asker, parent, given), operation.key, page)


def _list(operation: Listing, asker: Asker, parent: Any, given: dict[str, Any]) -> Any:
    page = Page(given.pop("first"), given.pop("after"))
    query = _checked(operation, given)
    order = Order(order_of(query, operation.order))

    def rows() -> Any:
        return filtered(operation.rows(asker), query)

    def family(rows: Sequence[Any]) -> list[Row]:
        return family_of(operation.of, asker, rows)

    if not isinstance(parent, Row):
        above = _rows(operation, asker, parent, given)
        beneath = rows().filter(**{operation.parent: above[0].pk}) if above else rows()
        return page_of_family(beneath, order, page, family)
    # Each of the family asks; what only the first needs is not made for the others.
    key = (operation.id, page, query.model_dump_json())
    parents = (operation.parent, type(parent.model), parent.family.ids)
    pages = parent.family.once(key, lambda: pages_by_family(rows(), *parents, order, page, family))
    return pages[parent.id]


def _change(operation: Change, asker: Asker, given: dict[str, Any], told_by: Telling | None) -> Any:
    places = {} if operation.about is None else _of_address(operation.about, given)
    rows = [] if operation.about is None else [operation.about.one(asker, places, to_change=True)]
    if operation.roles:
        asker.needs(*operation.roles)
    stale = preconditions.stale(_meant_for(given), operation, rows, told_by, asker, places)
    if stale is not None:
        raise stale
    done = operation.do(asker, *rows, *_body(operation, rows, given))
    answer = done.answer if isinstance(done, Done) else done
    if operation.of is not None:
        answer = family_of(operation.of, asker, [answer])[0]
    asker.forget()  # for whatever else the document asks
    return True if operation.answer is None else answer


def _meant_for(given: Mapping[str, Any]) -> str | None:
    """For which version or tag a change is meant, as REST's header says it."""
    tag, version = given.get("if_match"), given.get("version")
    if tag is None:
        return None if version is None else f'"{version}"'
    return str(tag) if tag == "*" or '"' in tag else f'"{tag}"'


def _body(operation: Change, rows: Sequence[Any], given: Mapping[str, Any]) -> list[Any]:
    """What the change gets beside the row."""
    body: list[Any] = []
    if operation.body is not None:
        values = given_fields(given["given"])
        present = operation.present(rows[0]) if operation.present is not None else {}
        body.append(inputs.checked(operation.body, {**present, **values}))
    if operation.query is not Query:
        body.append(_checked(operation, dict(given)))
    return body


def _of_parent(
    operation: Operation,
    read: Callable[..., Sequence[Any]],
    asker: Asker,
    parent: Any,
    query: Query,
    rows: Sequence[Any],
) -> Any:
    """The answer for the parent, read with those of its family; for a row named by arguments, its own."""

    def answers() -> dict[Any, Any]:
        operation.seen(asker, rows)
        return dict(zip((row.pk for row in rows), read(asker, rows, query), strict=True))

    if not isinstance(parent, Row):
        (answer,) = answers().values()
        return answer
    return parent.family.once((operation.id, query.model_dump_json()), answers)[parent.id]


def _rows(operation: Operation, asker: Asker, parent: Any, given: dict[str, Any]) -> list[Any] | None:
    """The rows in question: the parent's family, or the one that the arguments name; None about the club."""
    if operation.about is None:
        if operation.roles:
            asker.needs(*operation.roles)
        return None
    if isinstance(parent, Row):
        rows = [row.model for row in parent.family.rows]
    else:
        rows = [operation.about.one(asker, _of_address(operation.about, given))]
    if operation.roles:
        asker.needs(*operation.roles)
    return rows


def _checked(operation: Any, given: dict[str, Any]) -> Query:
    model: type[Query] = operation.parameters
    known = {name: info.alias or name for name, info in model.model_fields.items()}
    values = {known[name]: given[name] for name in known if given.get(name) is not None}
    try:
        return model.model_validate(values)
    except ValidationError as error:
        raise invalid(inputs.faults_of(error, values)) from None


def _hangs_on_a_row(operation: Operation) -> bool:
    """Whether it is a field of its subject's type; else it is one of a root, and arguments name the row."""
    return operation.about is not None and bool(operation.about.root) and not isinstance(operation, Change)


def _roots(operations: Iterable[Operation]) -> list[Subject[Any]]:
    subjects = [operation.about for operation in operations]
    subjects += [one.of for one in operations if isinstance(one, Listing) and isinstance(one.of, Subject)]
    return list({one.root: one for one in subjects if one is not None and one.root}.values())


ID: Arguments = {"id": (UUID, REQUIRED)}


def _places(operation: Operation) -> Arguments:
    return {} if operation.about is None else dict(ID)


def _of_address(subject: Subject[Any], given: Mapping[str, Any]) -> dict[str, Any]:
    return {subject.parameter: given["id"]}


def _arguments(query: type[Query], types: Types) -> Arguments:
    arguments = {}
    for name, info in query.model_fields.items():
        kind = types.body(info.annotation)
        if not info.is_required():
            kind = kind | None
        about = strawberry.argument(name=camel(info.alias or name), description=described_field(info))
        arguments[name] = (Annotated[kind, about], REQUIRED if info.is_required() else None)
    return arguments


def _connection(kind: Any) -> Any:
    return Connection[kind]


def _list_of(kind: Any) -> Any:
    return list[kind]


def _made(operation: Operation, kind: Any, arguments: Arguments, answer: Callable[..., Any]) -> Any:
    return _resolved(
        lambda asker, parent, given: answer(operation, asker, parent, given),
        kind,
        arguments,
        operation.summary,
        deprecation=operation.deprecation,
    )


def _resolved(
    call: Callable[[Asker, Any, dict[str, Any]], Any],
    kind: Any,
    arguments: Arguments,
    description: str,
    field: Callable[..., Any] = strawberry.field,
    deprecation: Deprecation | None = None,
) -> Any:
    """A field whose resolver has these arguments: strawberry reads them from the signature."""

    def resolve(parent: Any, info: Info, **given: Any) -> Any:
        return call(info.context.asker, parent, given)

    parameters = [
        inspect.Parameter("parent", inspect.Parameter.POSITIONAL_OR_KEYWORD, annotation=PARENT),
        inspect.Parameter("info", inspect.Parameter.POSITIONAL_OR_KEYWORD, annotation=Info),
        *(
            inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, annotation=type_, default=default)
            for name, (type_, default) in arguments.items()
        ),
    ]
    resolve.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]  # functions may have one
    resolve.__annotations__ = {one.name: one.annotation for one in parameters}
    farewell = None if deprecation is None else f"Goes on {deprecation.until}: ask {deprecation.instead}."
    return field(resolver=resolve, graphql_type=kind, description=description, deprecation_reason=farewell)
