"""For tests that need the database otherwise than in one transaction that is rolled back."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from django.db import connections

from golfstats.ground.postgres.backend.base import DatabaseWrapper

committed = pytest.mark.django_db(transaction=True, databases=["default", "owner"])
"""Transactions are real, for tests with several connections or processes.

The tables are emptied afterwards by the owner: the application role may not TRUNCATE.
"""


@contextmanager
def connected_otherwise(**changes: Any) -> Iterator[DatabaseWrapper]:
    """Within it this thread's application connection is a new one with these settings changed."""
    usual = connections["default"]
    other = DatabaseWrapper({**usual.settings_dict, **changes}, alias="default")
    connections["default"] = other
    try:
        yield other
    finally:
        other.close()
        connections["default"] = usual
