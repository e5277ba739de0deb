"""A person takes along everything that is kept of them, as one file that nobody else can fetch."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
import time
import zipfile

import pytest
from django.db import connection, connections
from django.utils import timezone

from golfstats.ground.clubs import accounts, second_factor
from golfstats.ground.clubs.models import Authenticator, Member, Role, Scope, SignIn
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.coaching.models import PracticeNote
from players.record import services
from players.record.models import RecordExport
from players.record.tables import NOT_OF_PLAYER, OF_PLAYER
from players.record.writing import record_of
from players.rounds.models import Round
from tests import factories, rows
from tests.authenticators import code_of
from tests.people.catalogue import tables_about, tables_with
from tests.players.conftest import client_of
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page

ADDRESS = "/api/v1/me/record"


def opened(content: bytes) -> dict[str, str]:
    with zipfile.ZipFile(io.BytesIO(content)) as file:
        assert file.testzip() is None
        return {name: file.read(name).decode() for name in file.namelist()}


def export_of(member: Member) -> dict[str, str]:
    """As the person gets it: asked for, written by the worker, fetched."""
    client = client_of(member)
    assert client.post(ADDRESS).status_code == 202
    worker.drain()
    answer = client.get(f"{ADDRESS}/file")
    assert answer.status_code == 200
    return opened(answer.getvalue())


def test_the_file_holds_rounds_notes_readers_tokens_and_sign_ins(place: Place, played: Round) -> None:
    with club_scope(place.club.id):
        PracticeNote.objects.create(
            player=place.player, practised_on=dt.date(2026, 6, 15), text="Long putts", written_by=place.coach
        )
    SignIn.objects.create(user=place.player_member.user, address="192.0.2.7")
    _, secret = accounts.make_token(place.player_member.user, "my watch", Scope.ROUNDS, 30)
    client_of(place.coach).get(f"/api/v1/rounds/{played.id}")

    files = export_of(place.player_member)

    (round_,) = json.loads(files["rounds_with_shots.json"])
    assert len(round_["round"]["holes"]) == 18
    assert round_["round"]["holes"][0]["shots"][0]["lie"] == "tee"
    assert json.loads(files["practice_notes.json"])[0]["text"] == "Long putts"
    assert json.loads(files["readers.json"])[0]["reader_name"] == "coach"
    assert json.loads(files["sign_ins.json"])[0]["address"] == "192.0.2.7"
    assert json.loads(files["tokens.json"])[0]["name"] == "my watch"
    assert json.loads(files["account.json"])[0]["username"] == "ines"
    assert secret not in str(files)
    shots = list(csv.DictReader(io.StringIO(files["shots.csv"])))
    with club_scope(place.club.id):
        assert len(shots) == sum(hole.shots.count() for hole in played.holes.all())


def test_nobody_fetches_the_golf_of_a_player_whom_they_are_no_more(place: Place, played: Round) -> None:
    """A manager made the wrong member the player, and puts it right while the file is kept."""
    assert "rounds_with_shots.json" in export_of(place.player_member)
    with club_scope(place.club.id):
        other = factories.make_member(Role.PLAYER, "ines the younger")
    address = f"/api/v1/players/{place.player.id}"
    put_right = client_of(place.manager).patch(address, {"member": str(other.id)}, format="json")
    assert put_right.status_code == 200
    assert client_of(place.player_member).get(f"{ADDRESS}/file").status_code == 404
    page = signed_in(place.player_member).get(f"/clubs/{place.club.slug}/record/file")
    assert page.status_code == 404
    assert "rounds_with_shots.json" not in export_of(place.player_member)


def test_the_file_says_that_there_is_a_second_factor_and_nothing_that_helps_to_pass_it(place: Place) -> None:
    user = place.player_member.user
    assert json.loads(export_of(place.player_member)["second_factor.json"]) == []
    key = second_factor.begin(user).key
    codes = second_factor.confirm(user, code_of(key, time.time()))
    sealed = Authenticator.objects.get(user=user).key
    files = export_of(place.player_member)
    (told,) = json.loads(files["second_factor.json"])
    assert told["recovery_codes_left"] == len(codes)
    assert told["since"] is not None
    for secret in (key, sealed, *codes):
        assert secret not in str(files)


def test_its_page_says_what_each_file_is(place: Place, played: Round) -> None:
    files = export_of(place.player_member)
    for name in set(files) - {"README.txt"}:
        assert name in files["README.txt"], name


def test_nothing_of_other_players_is_in_it(place: Place, played: Round) -> None:
    with club_scope(place.club.id):
        factories.make_round(place.manager, place.other_player, note="of Tomas")
    worker.drain()
    told = str(export_of(place.player_member))
    assert "Tomas" not in told
    assert "Ines Aldana" in told


def test_somebody_without_golf_gets_their_account_and_what_they_did(place: Place, played: Round) -> None:
    files = export_of(place.manager)
    assert str(played.id) in files["what_you_did.csv"]
    assert "rounds.json" not in files


def test_nobody_else_can_fetch_it(place: Place, played: Round) -> None:
    export_of(place.player_member)
    elsewhere = factories.make_club("stonebarrow")
    with club_scope(elsewhere.id):
        stranger = factories.make_member(Role.MANAGER, "stranger")
    for member in (place.manager, place.coach, place.other_member, stranger):
        assert client_of(member).get(f"{ADDRESS}/file").status_code == 404, member
        assert client_of(member).get(ADDRESS).status_code == 404, member
        assert signed_in(member).get(f"/clubs/{place.club.slug}/record/file").status_code == 404, member


def test_it_is_taken_away_after_a_week(place: Place, played: Round) -> None:
    export_of(place.player_member)
    with club_scope(place.club.id):
        kept = RecordExport.objects.get()
        services.forget(kept.id)
        assert RecordExport.objects.exists()
        RecordExport.objects.update(finished_at=timezone.now() - dt.timedelta(days=8))
        services.forget(kept.id)
        assert not RecordExport.objects.exists()


def test_a_button_writes_it_and_a_link_leads_to_it(place: Place, played: Round) -> None:
    browser, address = signed_in(place.player_member), f"/clubs/{place.club.slug}/record"
    assert f"{address}/file" not in Page.of(browser.get(address).content).links
    browser.post(address)
    assert "being written" in Page.of(browser.get(address).content).text
    worker.drain()
    assert f"{address}/file" in Page.of(browser.get(address).content).links
    answer = browser.get(f"{address}/file")
    assert answer["Content-Type"] == "application/zip"
    assert "rounds.json" in opened(answer.content)


def test_a_failure_is_told(place: Place) -> None:
    client = client_of(place.player_member)
    client.post(ADDRESS)
    with club_scope(place.club.id):
        services.mark_failed(RecordExport.objects.get().id, "the disk is full")
    assert client.get(ADDRESS).json()["reason"] == "the disk is full"
    assert client.get(f"{ADDRESS}/file").status_code == 404


# Nothing is forgotten --------------------------------------------------------------------------------------


def test_a_row_of_every_table_about_a_player_is_in_the_file(db: None) -> None:
    """Whatever tables there are: one row of each is made, about one player."""
    club = factories.make_club("everything")
    made = rows.fill(club, "zq text")
    with connection.cursor() as cursor:
        about = tables_about("players_player", cursor)
    with club_scope(club.id):
        member = made[Member]
        assert isinstance(member, Member)
        files = opened(record_of(member))
        told = "".join(text for name, text in files.items() if name.endswith(".json"))
    missing = {
        model._meta.db_table
        for model, row in made.items()
        if model._meta.db_table in about - NOT_OF_PLAYER.keys() and str(row.pk) not in told
    }
    assert missing == set()


def unnamed(found: set[str]) -> set[str]:
    """Tables about a player that the export neither takes nor names with a reason."""
    return found - {kept.model._meta.db_table for kept in OF_PLAYER} - NOT_OF_PLAYER.keys()


def test_every_table_about_a_player_is_named(db: None) -> None:
    with connection.cursor() as cursor:
        assert unnamed(tables_about("players_player", cursor) | tables_with("player_id", cursor)) == set()


@pytest.mark.django_db(databases=["default", "owner"])
def test_canary_a_new_table_about_a_player_is_noticed() -> None:
    with connections["owner"].cursor() as cursor:
        cursor.execute(
            "CREATE TABLE canary_lesson (club_id uuid, player_id uuid,"
            " FOREIGN KEY (club_id, player_id) REFERENCES players_player (club_id, id))"
        )
        assert unnamed(tables_about("players_player", cursor)) == {"canary_lesson"}


def test_every_reason_belongs_to_a_table(db: None) -> None:
    with connection.cursor() as cursor:
        names = tables_about("clubs_member", cursor) | tables_with("player_id", cursor)
    assert NOT_OF_PLAYER.keys() <= names
