"""The database's own catalogue shows that every table of a club is protected, and the check can fail."""

from __future__ import annotations

import pytest
from django.apps import apps
from django.db import connection, connections

from golfstats.ground.walls.owned import OwnedForeignKey
from tests.postgres.catalogue import IN_SCOPE, composite_keys, faults, primary_keys, tables_of_clubs
from tests.rows import owned_models

CHOSEN_BY_CLIENTS = {"players_round", "players_roundchange"}
as_owner = pytest.mark.django_db(databases=["default", "owner"])


@pytest.mark.django_db
def test_every_table_of_a_club_is_protected():
    with connection.cursor() as cursor:
        assert faults(cursor) == set()
        assert tables_of_clubs(cursor) == {model._meta.db_table for model in owned_models()}


@pytest.mark.django_db
def test_every_key_between_tables_of_a_club_holds_the_club():
    expected = {
        (model._meta.db_table, field.column)
        for model in owned_models()
        for field in model._meta.local_concrete_fields
        if isinstance(field, OwnedForeignKey)
    }
    assert len(expected) > 20
    with connection.cursor() as cursor:
        assert composite_keys(cursor) == expected


@pytest.mark.django_db
def test_ids_that_clients_choose_are_each_club_s_own():
    """An id that another club has would be refused otherwise, and so told of."""
    with connection.cursor() as cursor:
        keys = primary_keys(cursor)
    assert {table for table, columns in keys.items() if columns == ["club_id", "id"]} == CHOSEN_BY_CLIENTS
    assert all(columns == ["id"] for table, columns in keys.items() if table not in CHOSEN_BY_CLIENTS)


@pytest.mark.django_db
def test_the_club_itself_is_protected():
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT relrowsecurity, relforcerowsecurity FROM pg_class WHERE relname = 'clubs_club'"
        )
        assert cursor.fetchone() == (True, True)


@pytest.mark.django_db
def test_no_other_table_points_at_a_clubs_rows():
    """A table without the club's id that points at a club's rows would be a way around the policies."""
    owned = set(owned_models())
    around = [
        f"{model._meta.label}.{field.name}"
        for model in apps.get_models()
        if model not in owned
        for field in model._meta.local_concrete_fields
        if field.related_model in owned
    ]
    assert around == []


CANARY = """
CREATE TABLE canary_hen (id uuid PRIMARY KEY, club_id uuid NOT NULL, UNIQUE (club_id, id));
ALTER TABLE canary_hen ENABLE ROW LEVEL SECURITY;
ALTER TABLE canary_hen FORCE ROW LEVEL SECURITY;
CREATE POLICY club_only ON canary_hen USING {rule} WITH CHECK {rule};
"""

BROKEN = [
    ("ALTER TABLE canary_hen NO FORCE ROW LEVEL SECURITY", "row security is not forced"),
    ("ALTER TABLE canary_hen DISABLE ROW LEVEL SECURITY", "row security is not forced"),
    ("DROP POLICY club_only ON canary_hen", "no policy keeps it to the club"),
    ("CREATE POLICY also ON canary_hen USING (true)", "policy also is not the usual one"),
    (
        "ALTER POLICY club_only ON canary_hen WITH CHECK (true)",
        "policy club_only is not the usual one",
    ),
    (
        "ALTER TABLE canary_hen ADD name text CONSTRAINT name_once UNIQUE",
        "unique name_once tells of other clubs' rows",
    ),
    (
        "ALTER TABLE canary_hen ADD mother uuid CONSTRAINT of REFERENCES canary_hen (id)",
        "key of may point into another club",
    ),
]


@as_owner
@pytest.mark.parametrize(("statement", "fault"), BROKEN)
def test_canary_the_catalogue_check_finds_a_fault(statement, fault):
    with connections["owner"].cursor() as cursor:
        cursor.execute(CANARY.format(rule=IN_SCOPE))
        assert faults(cursor) == set()
        cursor.execute(statement)
        assert f"canary_hen: {fault}" in faults(cursor)


@as_owner
def test_canary_a_view_of_a_clubs_rows_is_noticed():
    with connections["owner"].cursor() as cursor:
        cursor.execute("CREATE MATERIALIZED VIEW canary_rounds AS SELECT club_id FROM players_round")
        assert "canary_rounds: row security is not forced" in faults(cursor)


@pytest.mark.django_db
def test_the_application_role_owns_nothing_and_may_not_empty_or_change_a_table():
    with connection.cursor() as cursor:
        cursor.execute(
            """
            SELECT c.relname FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
            WHERE n.nspname = 'public' AND c.relkind IN ('r', 'v', 'm') AND (
                pg_get_userbyid(c.relowner) = current_user OR has_table_privilege(c.oid, 'TRUNCATE'))
            """
        )
        assert cursor.fetchall() == []
        cursor.execute("SELECT current_user")
        assert cursor.fetchone() == (connection.settings_dict["USER"],)
