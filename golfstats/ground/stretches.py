"""Of a list, what passes its filters, and stretches of it in order; their statements may be written once and kept."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, NamedTuple, TypeVar
from uuid import UUID

from django.contrib.postgres.expressions import ArraySubquery
from django.core.exceptions import EmptyResultSet
from django.db.models import DateField, Field, Func, Model, OuterRef, Q, QuerySet, UUIDField
from pydantic import BaseModel

from golfstats.ground.clubs.models import Member
from golfstats.ground.statements import Statement
from golfstats.ground.walls.owned import ClubOwned
from golfstats.ground.walls.scope import current_club_id

RowT = TypeVar("RowT", bound=Model)
ANYBODY, ANY_PARENT = UUID(int=1), UUID(int=2)
_ANY_VALUE: dict[type[Field[Any, Any]], Hashable] = {DateField: dt.date.min, UUIDField: UUID(int=3)}
"""They stand for the member, the row above the list, and the row that a stretch begins after, in what is kept."""


@dataclass(frozen=True)
class Column:
    """Marks a parameter as a filter: ``Annotated[date | None, Column("played_on__gte")]``."""

    lookup: str


def filtered(rows: QuerySet[RowT], query: BaseModel) -> QuerySet[RowT]:
    """The rows that pass those parameters that are marked with :class:`Column` and were given."""
    lookups = {}
    for name, info in type(query).model_fields.items():
        value = getattr(query, name)
        for mark in info.metadata:
            if isinstance(mark, Column) and value is not None:
                lookups[mark.lookup] = value
    return rows.filter(**lookups)


@dataclass(frozen=True)
class Stretch:
    """Of a list that is sorted by ``columns`` in one direction, of which the last is unique."""

    columns: tuple[str, ...]
    descending: bool
    beyond: tuple[str, ...] | None
    """The columns of the row before its first, as text; None at the list's beginning."""
    most: int
    """How many rows at most."""

    def of(self, rows: QuerySet[Any, Any]) -> QuerySet[Any, Any]:
        found = rows.order_by(*(f"-{name}" if self.descending else name for name in self.columns))
        if self.beyond is not None:
            found = found.filter(_beyond(self.columns, self.beyond, descending=self.descending))
        return found[: self.most]


def _beyond(names: Sequence[str], values: Sequence[Any], *, descending: bool) -> Q:
    """The rows after the one with these values: (a, b) < (x, y) is a <= x and (a < x or b < y)."""
    comparison = "lt" if descending else "gt"
    name, value = names[0], values[0]
    strictly = Q(**{f"{name}__{comparison}": value})
    if len(names) == 1:
        return strictly
    rest = _beyond(names[1:], values[1:], descending=descending)
    return Q(**{f"{name}__{comparison}e": value}) & (strictly | rest)


def first_of_each(
    rows: QuerySet[Any], parent: str, above: type[ClubOwned], parents: Sequence[UUID], most: int
) -> QuerySet[Any, Any]:
    """The keys of so many rows of each parent, in the order of ``rows``, which have the parent's key as ``parent``.

    Each parent's are found by its own index: to number the rows of all of them would look at every one.
    """
    keys = ArraySubquery(rows.filter(**{parent: OuterRef("pk")}).values("pk")[:most])
    return above.objects.filter(pk__in=parents).values_list(Func(keys, function="unnest"))


@dataclass(frozen=True)
class Plain:
    """Rows of a long list without their objects, which take longer than all else of it."""

    columns: tuple[str, ...]
    """What of a row is wanted, as a query set names it; the columns of the order among them."""
    make: Callable[[Sequence[Any]], Any]
    """A row from these."""

    def read(self, lines: Iterable[Sequence[Any]]) -> list[Any]:
        return [self.make(line) for line in lines]


class _Kept(NamedTuple):
    statement: Statement
    beside: tuple[str, ...]
    """What ``select_related`` names, in the order of the model's fields, which is that of the columns."""

    def row(self, line: Sequence[Any]) -> Any:
        row, *others = self.statement.objects(line)
        for name, other in zip(self.beside, others, strict=True):
            setattr(row, name, other)
        return row


class KeptStretches:
    """Stretches of a list that differs between members by nothing but their role, and who they are.

    To write such a statement anew takes Django longer than PostgreSQL to answer it, so each is written once for
    each role and each kind of stretch. ``rows``: the list as this member sees it, below ``parent`` where it has one.
    """

    def __init__(self, model: type[Model], rows: Callable[[Member, UUID | None], QuerySet[Any, Any]]) -> None:
        self._rows = rows
        self._fields: dict[str, Any] = {field.name: field for field in model._meta.concrete_fields}
        self._statements: dict[Hashable, _Kept] = {}

    def find(self, plain: Plain | None, member: Member, parent: UUID | None, stretch: Stretch) -> list[Any]:
        """The rows of the stretch, plain or as objects with those that the list selects beside them."""
        kept = self._kept_for(plain, member.role, None if parent is None else ANY_PARENT, stretch)
        given: dict[str, object] = {"member": member.id, "club": current_club_id(), "parent": parent}
        if stretch.beyond is not None:
            values = zip(stretch.columns, stretch.beyond, strict=True)
            given |= {name: self._fields[name].to_python(text) for name, text in values}
        try:
            lines = kept.statement.found(**given)
        except EmptyResultSet:  # this role sees none of them
            return []
        return (
            [kept.row(line) for line in lines] if plain is None else plain.read(kept.statement.lines(lines))
        )

    def _kept_for(self, plain: Plain | None, role: str, parent: UUID | None, stretch: Stretch) -> _Kept:
        kind = (role, parent, stretch.columns, stretch.descending, stretch.beyond is None, stretch.most)
        if kind not in self._statements:
            self._statements[kind] = self._written(plain, role, parent, stretch)
        return self._statements[kind]

    def _written(self, plain: Plain | None, role: str, parent: UUID | None, stretch: Stretch) -> _Kept:
        anywhere = {_ANY_VALUE[type(self._fields[name])]: name for name in stretch.columns}
        beyond = None if stretch.beyond is None else tuple(map(str, anywhere))
        like = replace(stretch, beyond=beyond)
        if len(anywhere) < len(stretch.columns):
            raise TypeError(f"two columns of one kind could not be told apart: {stretch.columns}")
        club = current_club_id()
        wanted = like.of(self._rows(Member(id=ANYBODY, club_id=club, role=role), parent))
        # Of this club and not of the one in whose scope the text is first asked for, which may be another thread's.
        stands: Mapping[Hashable, str] = {
            ANYBODY: "member",
            ANY_PARENT: "parent",
            club: "club",
            **anywhere,
        }
        if plain is not None:
            columns = plain.columns
            return _Kept(Statement(lambda: wanted.values_list(*columns), standing_for=lambda: stands), ())
        selected = wanted.query.select_related
        beside = [
            self._fields[name] for name in self._fields if isinstance(selected, dict) and name in selected
        ]
        models = [wanted.model, *(field.related_model for field in beside)]
        statement = Statement(lambda: wanted, *models, standing_for=lambda: stands)
        return _Kept(statement, tuple(field.name for field in beside))
