"""A plugin of pytest that takes one of the walls between clubs away before any test runs: ``WITHOUT_WALL`` names it.

It is loaded before Django is set up, so that models are imported where they are needed.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from typing import Any

import pytest
from django.db import connections, models
from pytest_django import DjangoDbBlocker

NUMBERED_WITHIN_A_CLUB = {"players_round"}
"""Tables whose primary key is of two columns: another club may use the same id."""


def without_managers() -> None:
    """Queries name no club and need no scope."""
    from golfstats.ground.walls.owned import ClubManager

    ClubManager.get_queryset = models.Manager.get_queryset


def without_policies() -> None:
    """The database shows every row to whoever asks."""
    tables = {model._meta.db_table for model, _ in _columns()} | {"clubs_club"}
    _as_owner(f'ALTER TABLE "{table}" DISABLE ROW LEVEL SECURITY' for table in sorted(tables))


def without_composite_keys() -> None:
    """Keys are those that Django makes of itself: to the row alone, whosever it is.

    None is left to a table whose rows are numbered within each club.
    """
    from golfstats.ground.walls.owned import OwnedForeignKey

    for model, field in _columns():
        if isinstance(field, OwnedForeignKey):
            table, target = model._meta.db_table, field.related_model._meta.db_table
            _as_owner([f'ALTER TABLE "{table}" DROP CONSTRAINT "{table}_{field.column}_in_club"'])
            if target not in NUMBERED_WITHIN_A_CLUB:
                simple = f'FOREIGN KEY ("{field.column}") REFERENCES "{target}" DEFERRABLE INITIALLY DEFERRED'
                _as_owner([f'ALTER TABLE "{table}" ADD {simple}'])


WALLS: dict[str, Callable[[], None]] = {
    "managers": without_managers,
    "policies": without_policies,
    "composite keys": without_composite_keys,
}


@pytest.fixture(scope="session", autouse=True)
def without_a_wall(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> None:
    wall = os.environ.get("WITHOUT_WALL")
    if wall:
        with django_db_blocker.unblock():
            WALLS[wall]()


def _columns() -> Iterator[tuple[type[models.Model], Any]]:
    """Every column of every table of a club's."""
    from tests.rows import owned_models

    for model in owned_models():
        for field in model._meta.local_concrete_fields:
            yield model, field


def _as_owner(statements: Iterable[str]) -> None:
    with connections["owner"].cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)
