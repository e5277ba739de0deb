"""Who may connect, and what a connection carries from one use to the next."""

from __future__ import annotations

import pytest
from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.db import connection

from golfstats.ground.clubs.models import Club
from golfstats.ground.postgres import embedded
from golfstats.ground.walls.scope import club_scope
from tests.databases import committed, connected_otherwise


@pytest.mark.django_db
def test_a_role_above_row_security_is_refused():
    """On the embedded server, whose superuser is always at hand."""
    address = embedded.address_of(settings.DATA_FOLDER / "postgres")
    superuser = {**address, "NAME": "postgres", "USER": "postgres", "PASSWORD": "", "OPTIONS": {}}
    refused = pytest.raises(ImproperlyConfigured, match="bypasses row-level security")
    with connected_otherwise(**superuser) as above, refused:
        above.connect()
    with connected_otherwise() as usual:
        usual.connect()
        assert usual.is_usable()


@committed
def test_a_pooled_connection_carries_no_club_to_its_next_user(two_clubs):
    def backend() -> int:
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_backend_pid()")
            return cursor.fetchone()[0]

    with connected_otherwise(OPTIONS={"pool": {"min_size": 1, "max_size": 1}}, CONN_MAX_AGE=0) as pooled:
        try:
            with club_scope(two_clubs[0].id):
                first = backend()
                assert Club.objects.count() == 1
            connection.close()
            assert backend() == first, "this is not the same connection: the test tests nothing"
            assert Club.objects.count() == 0
            with club_scope(two_clubs[1].id):
                assert [club.name for club in Club.objects.all()] == ["Stonebarrow"]
        finally:
            pooled.close_pool()


@committed
def test_a_kept_connection_that_the_server_ended_is_not_used_again():
    """A request after a restart of PostgreSQL is answered like any other."""
    with connected_otherwise() as kept, connected_otherwise() as other:
        kept.connect()
        assert kept.is_usable()
        with other.cursor() as cursor:
            cursor.execute("SELECT pg_terminate_backend(%s, 10000)", [kept.connection.info.backend_pid])
            assert cursor.fetchone() == (True,)
        assert not kept.is_usable()
        kept.health_check_enabled = True
        kept.health_check_done = False
        with kept.cursor() as cursor:
            cursor.execute("SELECT 1")
            assert cursor.fetchone() == (1,)


@committed
def test_canary_a_setting_of_the_session_would_be_carried_over(two_clubs):
    """Why a club is only ever set for one transaction: the pool does not reset what is set for the session."""
    with connected_otherwise(OPTIONS={"pool": {"min_size": 1, "max_size": 1}}, CONN_MAX_AGE=0) as pooled:
        try:
            with connection.cursor() as cursor:
                cursor.execute("SELECT set_config('golfstats.club_id', %s, false)", [str(two_clubs[0].id)])
            connection.close()
            assert Club.objects.count() == 1
        finally:
            pooled.close_pool()
