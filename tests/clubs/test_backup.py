"""Everything into a file and back, with row security on all the time."""

from __future__ import annotations

import json
import zipfile
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.contrib.sessions.models import Session
from django.core.management import CommandError, call_command
from django.db import connection, connections
from django.utils import timezone
from knox.models import AuthToken

from golfstats.ground.clubs import accounts, invitations
from golfstats.ground.clubs.backup import LEFT_OUT, MANIFEST
from golfstats.ground.clubs.models import Club, Member, Role, Scope, SignIn, User
from golfstats.ground.clubs.purging import SIGN_INS_KEPT, purge
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.rounds.models import Round
from tests import factories
from tests.databases import committed


def contents(clubs: list[Club]) -> dict[str, Any]:
    """A checksum of each table, of each club in its scope."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT relname, relrowsecurity FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace"
        )
        tables = [(name, owned) for name, owned in cursor.fetchall() if name not in LEFT_OUT]
        found = {name: _checksum(cursor, name) for name, owned in tables if not owned}
    for club in clubs:
        with club_scope(club.id), connection.cursor() as cursor:
            found |= {f"{club.slug} {name}": _checksum(cursor, name) for name, owned in tables if owned}
    return found


def _checksum(cursor: Any, table: str) -> Any:
    cursor.execute(f"SELECT count(*), md5(string_agg(row::text, '|' ORDER BY row::text)) FROM {table} row")
    return cursor.fetchone()


def make_golf(slug: str) -> Club:
    club = factories.make_club(slug)
    with club_scope(club.id):
        factories.make_tee_set(factories.make_course())
        manager = factories.make_member(Role.MANAGER, f"manager of {slug}")
        factories.make_round(manager, factories.make_player("Ines Aldana", manager))
        invitations.invite(manager, 'Rosa "of the long\ndrive", \\N Linares', Role.PLAYER)
        accounts.make_token(manager.user, "a phone", Scope.READ, 30)
    return club


def empty_everything() -> None:
    """As a new database is after its migrations. The owner may TRUNCATE."""
    with connections["owner"].cursor() as owner:
        owner.execute(
            "SELECT string_agg(relname, ', ') FROM pg_class WHERE relkind = 'r'"
            " AND relnamespace = 'public'::regnamespace"
            " AND relname NOT IN ('django_migrations', 'django_content_type', 'auth_permission')"
        )
        (tables,) = owner.fetchone()
        owner.execute(f"TRUNCATE {tables} RESTART IDENTITY CASCADE")


@committed
def test_everything_comes_back_and_goes_on(tmp_path: Path) -> None:
    clubs = [make_golf("larkmoor"), make_golf("stonebarrow")]
    worker.drain()
    before = contents(clubs)
    file = tmp_path / "golf.zip"
    call_command("backup", file)
    with pytest.raises(CommandError, match="not empty"):
        call_command("restore", file)
    assert contents(clubs) == before, "a refused restore changes nothing"

    empty_everything()
    assert not User.objects.exists()
    call_command("restore", file)
    assert contents(clubs) == before
    assert before["larkmoor players_shot"][0] > 50
    # Numbers go on, clubs see themselves alone, and work is done as before.
    assert factories.make_user("newcomer").pk > max(
        User.objects.exclude(username="newcomer").values_list("pk", flat=True)
    )
    with club_scope(clubs[0].id):
        assert Member.objects.count() == 1
        again = Round.objects.get()
        factories.make_round(Member.objects.get(), again.player)
    worker.drain()
    with club_scope(clubs[0].id):
        assert set(Round.objects.values_list("analysis", flat=True)) == {"done"}


@committed
def test_a_file_of_other_migrations_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "golf.zip"
    with zipfile.ZipFile(file, "w") as made:
        made.writestr(MANIFEST, json.dumps({"migrations": ["clubs.0001_initial"]}))
    with pytest.raises(CommandError, match="other migrations"):
        call_command("restore", file)


@pytest.mark.django_db
def test_what_nobody_needs_any_more_is_forgotten() -> None:
    user = User.objects.create_user("ines")
    now = timezone.now()
    for ends in (now - timedelta(days=1), now + timedelta(days=1)):
        Session.objects.create(session_key=str(ends), expire_date=ends)
        AuthToken.objects.create(user=user, expiry=ends - now)
    SignIn.objects.create(user=user, address="192.0.2.1")
    old = SignIn.objects.create(user=user, address="192.0.2.2")
    SignIn.objects.filter(id=old.id).update(at=now - SIGN_INS_KEPT - timedelta(days=1))
    purge(now)
    assert (Session.objects.count(), AuthToken.objects.count()) == (1, 1)
    assert list(SignIn.objects.values_list("address", flat=True)) == ["192.0.2.1"]
    call_command("purge")
