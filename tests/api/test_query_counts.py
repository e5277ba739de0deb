"""How many queries each operation costs: exactly as many as ``query_counts.json`` says, however much there is.

``UPDATE_QUERY_COUNTS=1`` writes the file again; the change is then seen in review.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from django.db import connection, reset_queries, transaction
from django.test.utils import CaptureQueriesContext
from pytest_django import DjangoDbBlocker

from tests.api.calls import CALLS, Call
from tests.api.graphql_calls import call_of, root_fields
from tests.api.requests import send, undone, valid
from tests.api.routes import Route, operations
from tests.api.world import World, make_world

FILE = Path(__file__).with_name("query_counts.json")
# Work on transactions depends on the test's own one, and settings are no work; a question sent along with one is.
UNCOUNTED = ("SAVEPOINT", "RELEASE", "ROLLBACK", "SELECT set_config")


def calls() -> dict[str, tuple[Route, str, Call]]:
    found = operations()
    graphql = found.pop("POST graphql")
    for without_queries in ("GET openapi", "GET api-reference"):
        found.pop(without_queries)
    rest = {name: (*operation, CALLS[name]) for name, operation in found.items()}
    return rest | {f"POST graphql {field}": (*graphql, call_of(field)) for field in root_fields()}


CALLED = calls()


@dataclass(frozen=True)
class Sizes:
    small: World
    large: World


@pytest.fixture(scope="module")
def sizes(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[Sizes]:
    """The same club with one day of golf, and with four times as many rows of everything."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield Sizes(make_world("small", "Small"), make_world("large", "Large", days=4))
        transaction.set_rollback(True)


def queries_of(world: World, name: str) -> list[str]:
    route, method, call = CALLED[name]
    sent = valid(world, route, method, call)
    reset_queries()  # Django keeps the last 9,000 and then captures nothing more
    with undone(), CaptureQueriesContext(connection) as captured:
        answer = send(world.members[call.role], sent)
    assert answer.status_code < 500
    statements = [str(query["sql"]) for query in captured]  # a COPY is no string
    return [one for one in statements if not one.startswith(UNCOUNTED) or " FROM " in one]


@pytest.fixture(scope="module")
def counts() -> Iterator[dict[str, int]]:
    """The file; what the tests of this module found goes into it when it is to be written again."""
    known: dict[str, int] = json.loads(FILE.read_text()) if FILE.exists() else {}
    yield known
    if os.environ.get("UPDATE_QUERY_COUNTS") == "1":
        kept = {name: known[name] for name in sorted(known) if name in CALLED}
        FILE.write_text(json.dumps(kept, indent=2) + "\n")


@pytest.mark.parametrize("name", sorted(CALLED))
def test_query_count(sizes: Sizes, counts: dict[str, int], name: str) -> None:
    queries_of(sizes.small, name)  # what is looked up once a process is looked up now
    small, large = queries_of(sizes.small, name), queries_of(sizes.large, name)
    assert len(small) == len(large), "\n".join([*small, "", "and with four times as much:", *large])
    if os.environ.get("UPDATE_QUERY_COUNTS") == "1":
        counts[name] = len(small)
    assert counts.get(name) == len(small), "\n".join(small)


def test_file_names_no_operation_that_is_gone(counts: dict[str, int]) -> None:
    assert set(counts) == set(CALLED)
