"""In which order a list comes, where whoever asks may choose."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from functools import cache
from typing import Any, TypeVar

from pydantic import BaseModel, Field, create_model

QueryT = TypeVar("QueryT", bound=BaseModel)

MEANING = "By which of its fields the list is sorted; with `-` the largest or latest comes first."


class _Order(StrEnum):
    @classmethod
    def meanings(cls) -> dict[str, str]:
        """What each value stands for."""
        return {
            word: f"By `{word.removeprefix('-')}`, the {_END[word.startswith('-')]} first." for word in cls
        }


_END = {False: "smallest, earliest or first of the alphabet", True: "largest, latest or last of the alphabet"}


@cache
def _orders(name: str, columns: tuple[str, ...]) -> type[StrEnum]:
    """One for all lists of these lines, so that GraphQL has one type."""
    words = [word for column in columns for word in (column, f"-{column}")]
    make: Any = _Order  # checkers know only names written out
    made: type[StrEnum] = make(f"{name}Order", {word.replace("-", "down_").upper(): word for word in words})
    return made


def with_order(query: type[QueryT], name: str, columns: tuple[str, ...]) -> type[QueryT]:
    """The parameters of a list of lines of that name, with ``sort``."""
    sort: Any = (_orders(name, columns) | None, Field(None, description=MEANING))
    return create_model(f"{query.__name__}Of{name}", __base__=query, sort=sort)


def order_of(query: BaseModel, usual: Sequence[str]) -> tuple[str, ...]:
    """The columns to sort by: one that was chosen, then the unique one, which ends the usual order, the same way."""
    chosen: str | None = getattr(query, "sort", None)
    if chosen is None or chosen == usual[0]:
        return tuple(usual)
    sign = "-" if chosen.startswith("-") else ""
    rest = [name.removeprefix("-") for name in usual if name.removeprefix("-") != chosen.removeprefix("-")]
    return (str(chosen), *(f"{sign}{name}" for name in rest))
