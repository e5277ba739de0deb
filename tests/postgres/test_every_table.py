"""Every table, attacked by raw SQL as the application role in no scope and in the wrong one."""

from __future__ import annotations

import pytest
from django.db import DatabaseError, connection, transaction

from golfstats.ground.ids import new_id
from golfstats.ground.walls.owned import OwnedForeignKey
from golfstats.ground.walls.scope import club_scope
from tests.rows import fill, owned_models

REFUSED_BY_POLICY = "42501"
NO_SUCH_ROW_FOR_KEY = "23503"

TABLES = {model._meta.db_table: model for model in owned_models()}
KEYS = [
    (table, field.name)
    for table, model in TABLES.items()
    for field in model._meta.local_concrete_fields
    if isinstance(field, OwnedForeignKey)
]


@pytest.fixture
def victim(two_clubs):
    """The second club, with a row in every table."""
    rows = fill(two_clubs[1])
    return two_clubs[1], rows


def run(statement: str, *values: object) -> tuple[int, list[tuple]]:
    """Number of rows touched, and the rows if it reads."""
    with connection.cursor() as cursor:
        cursor.execute(statement, values)
        return cursor.rowcount, cursor.fetchall() if cursor.description else []


def refusal(statement: str, *values: object) -> str:
    """SQLSTATE with which the database refuses the statement; fails if it does not."""

    def insist() -> None:
        with transaction.atomic():
            run(statement, *values)
            run("SET CONSTRAINTS ALL IMMEDIATE")

    with pytest.raises(DatabaseError) as caught:
        insist()
    return caught.value.__cause__.sqlstate


@pytest.mark.django_db
@pytest.mark.parametrize("table", [*TABLES, "clubs_club"])
def test_nothing_shows_without_a_scope_or_in_the_wrong_one(two_clubs, victim, table):
    club = "id" if table == "clubs_club" else "club_id"
    clubs = f'SELECT DISTINCT "{club}" FROM "{table}"'
    with club_scope(victim[0].id):
        assert run(clubs)[1] == [(victim[0].id,)]
    assert run(clubs)[1] == []
    with club_scope(two_clubs[0].id):
        assert (victim[0].id,) not in run(clubs)[1]


@pytest.mark.django_db
@pytest.mark.parametrize("table", TABLES)
def test_another_clubs_row_is_neither_changed_nor_deleted(two_clubs, victim, table):
    with club_scope(two_clubs[0].id):
        assert run(f'UPDATE "{table}" SET club_id = %s', two_clubs[0].id)[0] == 0
        assert run(f'DELETE FROM "{table}"')[0] == 0
    assert run(f'DELETE FROM "{table}"')[0] == 0
    with club_scope(victim[0].id):
        assert run(f'SELECT DISTINCT club_id FROM "{table}"')[1] == [(victim[0].id,)]


@pytest.mark.django_db
@pytest.mark.parametrize("table", TABLES)
def test_no_row_is_put_into_another_club(two_clubs, victim, table):
    fill(two_clubs[0])
    columns = [field.column for field in TABLES[table]._meta.local_concrete_fields]
    names = ", ".join(f'"{name}"' for name in columns)
    changed = ", ".join("%s" if name in ("id", "club_id") else f'"{name}"' for name in columns)
    copy = f'INSERT INTO "{table}" ({names}) SELECT {changed} FROM "{table}"'
    ids = {"id": new_id(), "club_id": victim[0].id}
    with club_scope(two_clubs[0].id):
        assert refusal(copy, *(ids[name] for name in columns if name in ids)) == REFUSED_BY_POLICY
        move = f'UPDATE "{table}" SET club_id = %s'
        assert refusal(move, victim[0].id) == REFUSED_BY_POLICY


@pytest.mark.django_db
@pytest.mark.parametrize(("table", "name"), KEYS)
def test_no_key_points_into_another_club(two_clubs, victim, table, name):
    fill(two_clubs[0])
    field = TABLES[table]._meta.get_field(name)
    foreign = victim[1][field.related_model]
    with club_scope(two_clubs[0].id):
        point = f'UPDATE "{table}" SET "{field.column}" = %s'
        assert refusal(point, foreign.pk) == NO_SUCH_ROW_FOR_KEY


@pytest.mark.django_db
def test_canary_the_attacks_work_within_a_club(two_clubs):
    """The same statements succeed on rows of one club, so it is the other club that is refused above."""
    rows = fill(two_clubs[0])
    with club_scope(two_clubs[0].id):
        for table, name in KEYS:
            field = TABLES[table]._meta.get_field(name)
            touched, _ = run(f'UPDATE "{table}" SET "{field.column}" = %s', rows[field.related_model].pk)
            run("SET CONSTRAINTS ALL IMMEDIATE")
            assert touched >= 1
        for table in TABLES:
            assert run(f'UPDATE "{table}" SET club_id = %s', two_clubs[0].id)[0] >= 1
