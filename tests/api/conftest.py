from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from django.db import transaction
from pytest_django import DjangoDbBlocker

from golfstats.doors.rest.reference import openapi
from tests.api.attack import SENTINEL
from tests.api.requests import check_keys_now
from tests.api.world import World, fill_tables, make_world
from tests.players.conftest import place

__all__ = ["place"]  # a fixture of theirs that is used here as well


@dataclass(frozen=True)
class Worlds:
    """Two clubs that have nothing to do with each other."""

    own: World
    victim: World


@pytest.fixture(scope="module")
def worlds(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[Worlds]:
    """Built once for a module and never committed: each request undoes what it did."""
    with django_db_blocker.unblock(), transaction.atomic():
        own = make_world("larkmoor", "Larkmoor", private="Neighbour")
        victim = make_world("stonebarrow", SENTINEL)
        fill_tables(victim, SENTINEL)
        check_keys_now()
        yield Worlds(own, victim)
        transaction.set_rollback(True)


@pytest.fixture(scope="session")
def document() -> dict[str, Any]:
    """The API document as it is generated now."""
    return openapi.document()
