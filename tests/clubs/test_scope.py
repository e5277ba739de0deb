"""The scope: one club at a time, for one transaction, and nothing without it."""

from __future__ import annotations

import pytest
from django.db import DataError, connection, transaction

from courses.layout.models import Course
from golfstats.ground.clubs.membership import OWN, memberships
from golfstats.ground.clubs.models import Club, Member, Role, User
from golfstats.ground.walls.scope import (
    CLUB_SETTING,
    USER_SETTING,
    NestedScopeError,
    NoClubScopeError,
    club_scope,
    current_club_id,
    found_by_user,
)
from tests.databases import committed


def setting(name: str) -> str:
    with connection.cursor() as cursor:
        cursor.execute("SELECT current_setting(%s, true)", [name])
        return cursor.fetchone()[0] or ""


@pytest.mark.django_db
def test_in_scope_there_is_one_club_and_its_rows_are_its_own(two_clubs):
    for club in two_clubs:
        with club_scope(club.id):
            Course.objects.create(name="Old Links")
    with club_scope(two_clubs[0].id):
        assert [club.name for club in Club.objects.all()] == ["Hollowfield"]
        assert [course.club_id for course in Course.objects.all()] == [two_clubs[0].id]


@pytest.mark.django_db
def test_the_manager_filters_even_where_the_database_would_not(two_clubs):
    """The second wall, tested alone: the query itself names the club."""
    with club_scope(two_clubs[0].id):
        assert str(two_clubs[0].id) in str(Course.objects.all().query)


@pytest.mark.parametrize(
    "query",
    [
        Course.objects.all,
        Course.objects.exists,
        lambda: Course.objects.exclude(name="x"),
        lambda: Course.objects.get(name="x"),
        lambda: Course.objects.bulk_create([Course(name="x")]),
        lambda: Course.objects.create(name="x"),
        Course._base_manager.all,
        lambda: Course(name="x").save(),
        current_club_id,
    ],
)
def test_without_a_scope_a_query_raises_before_it_reaches_the_database(query):
    with pytest.raises(NoClubScopeError):
        query()


@pytest.mark.django_db
def test_a_scope_within_another_clubs_is_refused_and_the_outer_one_goes_on(two_clubs):
    with club_scope(two_clubs[0].id):
        with pytest.raises(NestedScopeError), club_scope(two_clubs[1].id):
            pass
        assert current_club_id() == two_clubs[0].id
        with club_scope(two_clubs[0].id):
            assert Club.objects.get() == two_clubs[0]
        assert Club.objects.get() == two_clubs[0]


@pytest.mark.django_db
def test_a_scope_leaves_nothing_behind(two_clubs):
    with club_scope(two_clubs[0].id):
        assert setting(CLUB_SETTING) == str(two_clubs[0].id)
    assert setting(CLUB_SETTING) == ""
    with pytest.raises(ZeroDivisionError), club_scope(two_clubs[0].id):
        raise ZeroDivisionError
    assert setting(CLUB_SETTING) == ""
    with pytest.raises(NoClubScopeError):
        current_club_id()


@committed
def test_a_scope_leaves_nothing_behind_after_a_real_commit_and_a_real_rollback(two_clubs):
    with club_scope(two_clubs[0].id):
        Course.objects.create(name="Kept")
    assert setting(CLUB_SETTING) == ""
    with club_scope(two_clubs[0].id):
        Course.objects.create(name="Lost")
        transaction.set_rollback(True)
    assert setting(CLUB_SETTING) == ""
    with club_scope(two_clubs[0].id):
        assert [course.name for course in Course.objects.all()] == ["Kept"]


@committed
def test_a_scope_is_one_transaction(two_clubs):
    with club_scope(two_clubs[0].id):
        assert connection.in_atomic_block
    assert not connection.in_atomic_block


@committed
def test_memberships_leave_nothing_behind_on_the_connection(two_clubs):
    person = User.objects.create(username="rowan")
    with club_scope(two_clubs[0].id):
        Member.objects.create(user=person, role=Role.PLAYER, name="rowan")
    (own,) = memberships(person.id)
    assert (own.name, own.club.name, own.club.approach_band_edges) == ("rowan", "Hollowfield", [])
    assert setting(USER_SETTING) == ""
    assert Club.objects.count() == 0


@committed
def test_memberships_are_planned_once_a_connection(two_clubs):
    """Every request begins with them: to plan them took six times as long as to find them."""
    for _ in range(3):
        memberships(1)
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT generic_plans + custom_plans FROM pg_prepared_statements WHERE statement = %s",
            [OWN.text.replace("%s", "$1")],
        )
        ((used,),) = cursor.fetchall()
    assert used >= 3


@committed
def test_what_fails_beside_memberships_is_a_fault_of_the_database_and_leaves_nothing(two_clubs):
    with pytest.raises(DataError):
        found_by_user(1, "SELECT 1 / 0")
    assert setting(USER_SETTING) == ""
    assert found_by_user(1, "SELECT 1") == [(1,)]


@pytest.mark.django_db
def test_a_person_sees_their_own_memberships_and_clubs_and_may_change_none(two_clubs):
    """Before a club is chosen, a person may see which there are to choose from."""
    people = [User.objects.create(username=name) for name in ("rowan", "linden")]
    for club, person in zip(two_clubs, people, strict=True):
        with club_scope(club.id):
            Member.objects.create(user=person, role=Role.PLAYER, name=person.username)
    for statement, seen in {
        "SELECT name FROM clubs_member": [("rowan",)],
        "SELECT name FROM clubs_club": [("Hollowfield",)],
        "UPDATE clubs_member SET role = 'manager' RETURNING name": [],
        "UPDATE clubs_club SET name = 'mine' RETURNING name": [],
    }.items():
        assert found_by_user(people[0].id, statement) == seen
    assert setting(USER_SETTING) == ""
    assert Club.objects.count() == 0
