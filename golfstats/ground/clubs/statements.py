"""Statements that every request sends, written once: Django takes longer to write one than PostgreSQL to answer it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property
from typing import Any

from django.db import connection
from django.db.models import Model, QuerySet


class Statement:
    """The SQL of some rows and of the rows beside each (``select_related``), and what it finds as objects."""

    def __init__(self, rows: Callable[[], QuerySet[Any]], *models: type[Model]) -> None:
        """``models``: of the rows, and of those beside them in their order. What ``rows`` is filtered by stands for
        whatever the text is sent with.
        """
        self._rows, self._models = rows, models

    @cached_property
    def text(self) -> str:
        return self._rows().query.sql_with_params()[0]

    def objects(self, values: Sequence[Any]) -> list[Any]:
        """From one line that was found: an object of each model, None where no row is beside."""
        made, start = [], 0
        for model in self._models:
            end = start + len(model._meta.concrete_fields)
            made.append(_object(model, values[start:end]))
            start = end
        return made


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
