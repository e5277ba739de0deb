"""Statements that every request sends, written once: Django takes longer to write one than PostgreSQL to answer it."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

import orjson
from django.db import connection
from django.db.models import JSONField, Model, QuerySet
from django.db.models.expressions import Col


def prepared_cursor(*, binary: bool = False) -> Any:
    """A cursor whose statements the server keeps parsed and planned for the connection.

    One plan serves all values, so it is for statements that find their rows by a key. ``binary``: bytes come as they
    are; else each is written as two digits and read again.
    """
    wrapper: Any = connection  # our backend's: checkers know Django's alone
    return wrapper.prepared_cursor(binary=binary)


def one_message() -> AbstractContextManager[Any]:
    """What prepared cursors are told within goes to the server together: one transaction, unless there is one already.

    They have found it afterwards. Gives a cursor for what nobody reads the answer of.
    """
    wrapper: Any = connection
    message: AbstractContextManager[Any] = wrapper.one_message()
    return message


@dataclass(frozen=True)
class _Named:
    name: str


class _Written(NamedTuple):
    text: str
    values: list[object]
    converters: Mapping[int, tuple[Sequence[Callable[..., Any]], Any]]
    """How Django reads a column, by its place, where that is not what the driver gives; with the expression."""


class Statement:
    """The SQL of some rows and of the rows beside each (``select_related``), and what it finds as objects.

    Of a query set of values it finds these.
    """

    def __init__(
        self,
        rows: Callable[[], QuerySet[Any, Any]],
        *models: type[Model],
        standing_for: Callable[[], Mapping[Hashable, str]] = dict,
    ) -> None:
        """``models``: of the rows, and of those beside them in their order. What ``rows`` is filtered by stands for
        whatever the text is sent with; ``standing_for`` names those values for :meth:`values`, and is asked where
        the text is written, which for a club's rows is in its scope.
        """
        self._rows, self._models, self._standing_for = rows, models, standing_for

    @property
    def text(self) -> str:
        return self._written.text

    def values(self, **given: object) -> list[object]:
        """What the text is sent with: these, in the places of what stands for them."""
        return [given[value.name] if isinstance(value, _Named) else value for value in self._written.values]

    def found(self, **given: object) -> list[Any]:
        """The lines that there are for these values, by a statement that the server keeps."""
        with prepared_cursor() as cursor:
            cursor.execute(self.text, self.values(**given))
            return list(cursor.fetchall())

    @cached_property
    def _written(self) -> _Written:
        compiler = self._rows().query.get_compiler(connection=connection)
        text, values = compiler.as_sql()
        names = {key: _Named(name) for key, name in self._standing_for().items()}
        named = [names.get(value, value) if isinstance(value, Hashable) else value for value in values]
        converters = compiler.get_converters([chosen for chosen, *_ in compiler.select])
        return _Written(text, named, {place: _quicker(*each) for place, each in converters.items()})

    def lines(self, found: Iterable[Sequence[Any]]) -> list[list[Any]]:
        """From the lines that were found: their values as a query set would give them."""
        lines = [list(line) for line in found]
        for place, (converters, expression) in self._written.converters.items():
            for convert in converters:
                for line in lines:
                    line[place] = convert(line[place], expression, connection)
        return lines

    def objects(self, values: Sequence[Any]) -> list[Any]:
        """From one line that was found: an object of each model, None where no row is beside."""
        made, start = [], 0
        for model in self._models:
            end = start + len(model._meta.concrete_fields)
            made.append(_object(model, values[start:end]))
            start = end
        return made


def _quicker(converters: Sequence[Callable[..., Any]], expression: Any) -> tuple[Sequence[Any], Any]:
    """JSON by orjson: what a list has of it is short, and Python's own reader takes ten times as long to begin."""
    if isinstance(expression, Col) and isinstance(expression.target, JSONField):
        return ([_from_json], expression)
    return (converters, expression)


def _from_json(text: str | None, *_: object) -> object:
    return None if text is None else orjson.loads(text)


def _object(model: type[Model], values: Sequence[Any]) -> Model | None:
    if all(value is None for value in values):
        return None
    fields = model._meta.concrete_fields
    python_values = [_python_value(field, value) for field, value in zip(fields, values, strict=True)]
    return model.from_db(connection.alias, [field.attname for field in fields], python_values)


def _python_value(field: Any, value: Any) -> object:
    """As a query set would: JSON, for one, comes as text."""
    read = getattr(field, "from_db_value", None)
    return value if read is None else read(value, None, connection)
