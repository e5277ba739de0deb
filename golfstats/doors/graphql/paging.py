"""Connections: pages by keyset, forwards. A cursor names the row before the page, so it holds while rows are added."""

from __future__ import annotations

import base64
import binascii
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar
from uuid import UUID

import orjson
import strawberry
from django.core.exceptions import ValidationError
from django.db.models import Model, Q, QuerySet

from golfstats.doors.graphql.rows import Row
from golfstats.ground.faults import Fault, invalid
from golfstats.ground.stretches import first_of_each
from golfstats.ground.walls.owned import ClubOwned

NodeT = TypeVar("NodeT")
ModelT = TypeVar("ModelT", bound=ClubOwned)
FamilyOf = Callable[[Sequence[ModelT]], list[Row]]

USUAL_PAGE = 20
LARGEST_PAGE = 100


@strawberry.type
class PageInfo:
    has_next_page: bool
    has_previous_page: bool
    start_cursor: str | None
    end_cursor: str | None


@strawberry.type
class Edge(Generic[NodeT]):
    cursor: str
    node: NodeT


@strawberry.type
class Connection(Generic[NodeT]):
    edges: list[Edge[NodeT]]
    page_info: PageInfo


@dataclass(frozen=True)
class Page:
    """Which page is asked for. Raises a 422 problem for a page that cannot be."""

    first: int
    after: str | None

    def __post_init__(self) -> None:
        if not 1 <= self.first <= LARGEST_PAGE:
            raise invalid([Fault("/first", "out_of_range", f"first is from 1 to {LARGEST_PAGE}")])


@dataclass(frozen=True)
class Order:
    """Names of columns without nulls, ``-`` before a descending one; the last one is unique."""

    names: tuple[str, ...]

    def after(self, model: type[Model], cursor: str | None) -> Q:
        """The rows that follow the cursor's."""
        if cursor is None:
            return Q()
        values = self._values(model, cursor)
        after, equal = Q(), Q()
        for name, value in zip(self.names, values, strict=True):
            column, beyond = name.lstrip("-"), "lt" if name.startswith("-") else "gt"
            after |= equal & Q(**{f"{column}__{beyond}": value})
            equal &= Q(**{column: value})
        return after

    def cursor(self, row: Model) -> str:
        values = [str(getattr(row, name.lstrip("-"))) for name in self.names]
        return base64.urlsafe_b64encode(orjson.dumps(values)).decode()

    def _values(self, model: type[Model], cursor: str) -> list[Any]:
        try:
            given = orjson.loads(base64.urlsafe_b64decode(cursor))
            return [_value(model, name, value) for name, value in zip(self.names, given, strict=True)]
        except (binascii.Error, ValueError, TypeError, ValidationError):
            raise invalid([Fault("/after", "not_a_cursor", "no cursor of this connection")]) from None


def _value(model: type[Model], name: str, written: object) -> Any:
    if not isinstance(written, str) or "\0" in written:
        raise TypeError("a cursor is made of text that the database can hold")
    return _column(model, name).to_python(written)


def _column(model: type[Model], name: str) -> Any:
    return model._meta.get_field(name.lstrip("-"))


def page_of_family(
    rows: QuerySet[ModelT], order: Order, page: Page, family: FamilyOf[ModelT]
) -> dict[str, object]:
    """One page of the rows, which ``family`` makes one family."""
    wanted = rows.filter(order.after(rows.model, page.after)).order_by(*order.names)
    rows_and_next = list(wanted[: page.first + 1])
    return _connection(family(rows_and_next[: page.first]), order, page, more=len(rows_and_next) > page.first)


def pages_by_family(
    rows: QuerySet[ModelT],
    parent: str,
    above: type[ClubOwned],
    parents: Iterable[UUID],
    order: Order,
    page: Page,
    family_of: FamilyOf[ModelT],
) -> dict[UUID, dict[str, object]]:
    """The same page for each parent, of which rows have the key as ``parent``; one query, and their rows one family."""
    ids = list(parents)
    beyond = rows.filter(order.after(rows.model, page.after)).order_by(*order.names)
    on_pages = first_of_each(beyond, parent, above, ids, page.first + 1)
    by_parent: dict[UUID, list[ModelT]] = {one: [] for one in ids}
    for row in rows.filter(pk__in=on_pages, **{f"{parent}__in": ids}).order_by(*order.names):
        by_parent[getattr(row, parent)].append(row)
    # One row for what is on the pages of several parents, as a player of two squads is.
    shown = {row.id: row for rows in by_parent.values() for row in rows[: page.first]}
    family = {row.id: row for row in family_of(list(shown.values()))}
    return {
        one: _connection(
            [family[row.id] for row in rows[: page.first]], order, page, more=len(rows) > page.first
        )
        for one, rows in by_parent.items()
    }


def page_of_list(lines: Sequence[Any], key: Callable[[Any], str], page: Page) -> dict[str, object]:
    """One page of what was computed as a whole and has no row of its own; ``key`` tells one from another."""
    cursors = [base64.urlsafe_b64encode(key(one).encode()).decode() for one in lines]
    if page.after is not None and page.after not in cursors:
        raise invalid([Fault("/after", "not_a_cursor", "no cursor of this connection")])
    start = 0 if page.after is None else cursors.index(page.after) + 1
    end = start + page.first
    edges = [{"cursor": cursor, "node": one} for cursor, one in zip(cursors, lines, strict=True)][start:end]
    return _with_info(edges, page, more=end < len(lines))


def _connection(rows: Sequence[Row], order: Order, page: Page, *, more: bool) -> dict[str, object]:
    edges = [{"cursor": order.cursor(row.model), "node": row} for row in rows]
    return _with_info(edges, page, more=more)


def _with_info(edges: list[dict[str, object]], page: Page, *, more: bool) -> dict[str, object]:
    return {
        "edges": edges,
        "page_info": {
            "has_next_page": more,
            "has_previous_page": page.after is not None,
            "start_cursor": edges[0]["cursor"] if edges else None,
            "end_cursor": edges[-1]["cursor"] if edges else None,
        },
    }
