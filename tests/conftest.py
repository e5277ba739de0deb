"""What every test can use: clubs and their scope, and the choice of which tests run."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from django.db import connections
from django.test.utils import setup_databases, teardown_databases
from hypothesis import settings as hypothesis_settings
from pytest_django import DjangoDbBlocker

from golfstats.ground import counts
from golfstats.ground.clubs.models import Club
from golfstats.ground.ids import new_id
from golfstats.ground.walls.scope import club_scope

# The same examples every time, and no deadline: a slow machine is no fault of the code. Look for new examples
# with --hypothesis-profile=explore.
hypothesis_settings.register_profile("repeatable", deadline=None, derandomize=True)
hypothesis_settings.register_profile("explore", deadline=None, max_examples=1000)
hypothesis_settings.load_profile("repeatable")

ONLY_IN_CI = ("redis", "browser", "slow")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--all", action="store_true", help="run the tests marked redis, browser or slow as well")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out what a machine with Python alone cannot run, or not quickly: deselected, never skipped.

    Naming a mark (``-m slow``) or a single test (``file.py::test``) runs what it names.
    """
    everything = config.getoption("--all") or os.environ.get("GOLFSTATS_ALL_TESTS") == "1"
    if everything or config.option.markexpr or any("::" in argument for argument in config.args):
        return
    left_out = [item for item in items if any(item.get_closest_marker(mark) for mark in ONLY_IN_CI)]
    if left_out:
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if item not in set(left_out)]


@pytest.fixture(scope="session")
def django_db_setup(
    request: pytest.FixtureRequest,
    django_test_environment: None,
    django_db_modify_db_settings: None,
    django_db_blocker: DjangoDbBlocker,
) -> Iterator[None]:
    """One test database for both roles, made by the owner also when no test asks for the owner."""
    keep = request.config.getvalue("reuse_db") and not request.config.getvalue("create_db")
    with django_db_blocker.unblock():
        made = setup_databases(
            0, interactive=False, keepdb=keep, aliases=["default", "owner"], serialized_aliases=[]
        )
    yield
    if not keep:
        with django_db_blocker.unblock():
            _end_kept_connections()
            connections.close_all()  # the owner cannot drop a database while the application role is in it
            teardown_databases(made, 0)


def _end_kept_connections() -> None:
    """Threads that a test's server was served by keep theirs for as long as they live."""
    with connections["default"].cursor() as cursor:
        cursor.execute(
            "SELECT pg_terminate_backend(pid, 10000) FROM pg_stat_activity"
            " WHERE datname = current_database() AND usename = current_user AND pid <> pg_backend_pid()"
        )


@pytest.fixture(autouse=True)
def no_requests_counted_so_far() -> None:
    counts.in_process.clear()


def make_club(name: str = "Hollowfield") -> Club:
    """A club in the database, made in its own scope as the application role has to."""
    club_id = new_id()
    with club_scope(club_id):
        return Club.objects.create(id=club_id, slug=f"club-{club_id}", name=name, benchmark="professional")


@pytest.fixture
def two_clubs(request: pytest.FixtureRequest) -> tuple[Club, Club]:
    """Two clubs and no scope; committed if the test is marked with ``tests.databases.committed``."""
    request.getfixturevalue("_django_db_helper")
    return make_club("Hollowfield"), make_club("Stonebarrow")


@pytest.fixture
def club(two_clubs: tuple[Club, Club]) -> Iterator[Club]:
    """A club, with its scope entered for the whole test."""
    with club_scope(two_clubs[0].id):
        yield two_clubs[0]


@pytest.fixture
def other_club(two_clubs: tuple[Club, Club]) -> Club:
    """A second club, whose scope nobody has entered."""
    return two_clubs[1]
