"""Rows of a club on their way into an answer.

A resolver that finds some rows makes them one :class:`Family`. Whatever is asked of one of them is then
loaded for all of them at once, so that the number of queries follows the shape of the question and not the
number of rows.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field
from typing import Any, ClassVar, TypeVar
from uuid import UUID

import strawberry

from golfstats.ground.walls.owned import ClubOwned
from golfstats.ground.walls.scope import current_club_id

FoundT = TypeVar("FoundT")
ModelT = TypeVar("ModelT", bound=ClubOwned)


class WrongRowError(RuntimeError):
    """A resolver handed on something that is no row of this type in the club in scope."""


@dataclass(eq=False)
class Family:
    """Rows that were found together."""

    rows: list[Row] = field(default_factory=list)
    _loaded: dict[Hashable, Any] = field(default_factory=dict)

    @property
    def ids(self) -> list[UUID]:
        return [row.id for row in self.rows]

    def models(self, kind: type[ModelT]) -> list[ModelT]:
        return [row.model for row in self.rows if isinstance(row.model, kind)]

    def once(self, key: Hashable, load: Callable[[], FoundT]) -> FoundT:
        """What ``load`` gives, called for the first of the rows that wants it. The key names it with its arguments."""
        if key not in self._loaded:
            self._loaded[key] = load()
        loaded: FoundT = self._loaded[key]
        return loaded


@dataclass(frozen=True, eq=False)
class Row:
    """A row, what REST tells of it (``line``), and the rows that were found with it."""

    model: ClubOwned
    line: Any
    family: Family

    @property
    def id(self) -> UUID:
        return self.model.id


@strawberry.type
class ClubType:
    """Base of every type that shows rows of a club: whatever is no such row of the club in scope is refused.

    The last wall, for a row that a resolver reached past managers and policies, for instance along a key.
    """

    model: ClassVar[type[ClubOwned]]

    @classmethod
    def is_type_of(cls, value: object, _info: object) -> bool:
        model = value.model if isinstance(value, Row) else None
        if not isinstance(model, cls.model) or model.club_id != current_club_id():
            raise WrongRowError(f"no {cls.__name__} of this club: {type(value).__name__}")
        return True


def read(source: object, name: str) -> object:
    """The default resolver: a row tells what REST tells of it, under the same names."""
    if isinstance(source, Row):
        source = source.line
    if isinstance(source, Mapping):
        return source[name]
    return getattr(source, name)
