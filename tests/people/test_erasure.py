"""A person erases themselves: nothing is left that names them, and what the club's golf taught it stays right."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.db import connection, models

from golfstats.ground.clubs.invitations import invite
from golfstats.ground.clubs.models import ErasedGolf, Invitation, Member, Role, User
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.webhooks.models import Delivery
from players.club.services import change_settings
from players.files.models import Import
from players.golf import club_fits
from players.golf.models import ClubBenchmark
from players.people.models import GolfRead, Player
from players.rounds.models import Round, Shot
from tests import factories, rows
from tests.api.test_api_behaviour import is_problem
from tests.graphql.alike import camel
from tests.people.catalogue import tables_about, text_columns
from tests.players.conftest import client_of
from tests.players.simulated_golf import play_rounds
from tests.players.test_club_fits import TODAY, give_index
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page

NAME = "Zoe Quillfeather"
CHOICES = list(ErasedGolf)


def choose(place: Place, choice: ErasedGolf) -> None:
    with club_scope(place.club.id):
        change_settings(place.club, {"erased_golf": choice})


def erase(member: Member, **given: str) -> Any:
    address = f"/api/v1/clubs/{member.club.slug}/erasure"
    return client_of(member).post(address, {"name": member.name} | given, format="json")


@pytest.mark.parametrize("choice", CHOICES)
def test_account_membership_and_golf_go(place: Place, played: Round, choice: ErasedGolf) -> None:
    choose(place, choice)
    answer = erase(place.player_member)
    assert answer.status_code == 200
    assert answer.json()["account_gone"] is True
    assert answer.json()["rounds"] == 1
    manager = client_of(place.manager)
    assert manager.get(f"/api/v1/players/{place.player.id}").status_code == 404
    assert manager.get(f"/api/v1/rounds/{played.id}").status_code == 404
    assert manager.get("/api/v1/rounds").json()["results"] == []
    assert "Ines" not in str(manager.get("/api/v1/squads").json())
    assert not User.objects.filter(username="ines").exists()
    with club_scope(place.club.id):
        assert Round.objects.exists() == (choice == ErasedGolf.ANONYMOUS)


def test_the_answer_says_what_is_kept_and_why(place: Place, played: Round) -> None:
    choose(place, ErasedGolf.ANONYMOUS)
    kept = {one["what"]: one["why"] for one in erase(place.player_member).json()["kept"]}
    assert "1 round with day, scores and shots, under no name" in kept
    assert "benchmark" in kept["1 round with day, scores and shots, under no name"]
    assert "Backups from before today" in kept


def test_a_coach_who_goes_leaves_what_was_written_about_others(place: Place, played: Round) -> None:
    client_of(place.coach).get(f"/api/v1/rounds/{played.id}")
    note = {"practised_on": "2026-06-15", "text": "Long putts"}
    path = f"/api/v1/players/{place.player.id}/notes"
    assert client_of(place.coach).post(path, note, format="json").status_code == 201
    kept = [one["what"] for one in erase(place.coach).json()["kept"]]
    assert any(what.startswith("What you wrote or decided about others") for what in kept)
    (told,) = client_of(place.player_member).get(path).json()["results"]
    assert told["text"] == "Long putts"
    with club_scope(place.club.id):
        assert GolfRead.objects.get().reader_name == ""
    readers = client_of(place.player_member).get(f"/api/v1/players/{place.player.id}/readers").json()
    assert readers["results"][0]["by"] == "somebody who has erased themselves"


def test_only_who_types_name_and_password_is_erased(place: Place) -> None:
    user = place.player_member.user
    user.set_password("many words nobody guesses")
    user.save()
    assert erase(place.player_member, password="wrong").status_code == 422
    wrong = erase(place.player_member, name="Somebody", password="many words nobody guesses")
    assert [one["code"] for one in wrong.json()["errors"]] == ["not_your_name"]
    assert User.objects.filter(pk=user.pk).exists()
    assert erase(place.player_member, password="many words nobody guesses").status_code == 200


def test_the_last_manager_stays_until_there_is_another(place: Place) -> None:
    assert erase(place.manager).status_code == 409
    assert User.objects.filter(pk=place.manager.user_id).exists()


def test_in_another_club_one_stays_who_one_is(place: Place) -> None:
    elsewhere = factories.make_club("stonebarrow")
    with club_scope(elsewhere.id):
        Member.objects.create(user=place.player_member.user, role=Role.PLAYER, name="Ines")
    answer = erase(place.player_member).json()
    assert answer["account_gone"] is False
    assert "Your sign-in" in [one["what"] for one in answer["kept"]]
    names = [
        one["slug"] for one in client_of_user(place.player_member.user).get("/api/v1/clubs").json()["results"]
    ]
    assert names == ["stonebarrow"]


def client_of_user(user: User) -> Any:
    from rest_framework.test import APIClient

    client = APIClient()
    client.force_authenticate(User.objects.get(pk=user.pk))
    return client


def test_nobody_erases_anybody_else(place: Place, played: Round) -> None:
    """Whoever asks is erased or refused: the address names a club, never a person."""
    elsewhere = factories.make_club("stonebarrow")
    with club_scope(elsewhere.id):
        stranger = factories.make_member(Role.MANAGER, "stranger")
    path = f"/api/v1/clubs/{place.club.slug}/erasure"
    for name in ("ines", "stranger"):
        assert client_of(stranger).post(path, {"name": name}, format="json").status_code == 404
    assert client_of(place.manager).post(path, {"name": "ines"}, format="json").status_code == 422
    assert signed_in(stranger).get(f"/clubs/{place.club.slug}/record/erase").status_code == 404


def test_the_page_asks_for_the_name_and_tells_what_is_kept(place: Place, played: Round) -> None:
    browser, address = signed_in(place.player_member), f"/clubs/{place.club.slug}/record/erase"
    assert address in Page.of(browser.get(f"/clubs/{place.club.slug}/record").content).links
    refused = browser.post(address, {"name": "Somebody"})
    assert refused.status_code == 422
    assert "This is not your name" in Page.of(refused.content).text
    done = Page.of(browser.post(address, {"name": "ines"}).content)
    assert "Backups from before today" in done.text
    assert "1 round went" in done.text
    assert browser.get(f"/clubs/{place.club.slug}/").status_code == 302  # to the sign-in


# What the club's golf taught it ----------------------------------------------------------------------------


@pytest.fixture
def fitted(place: Place) -> Place:
    """Two golfers whose rounds the club's own benchmark was fitted to."""
    with club_scope(place.club.id):
        for player in (place.player, place.other_player):
            play_rounds(place.manager, player, 8)
            give_index(player, 12.0, dt.date(2025, 4, 1))
        club_fits.refit_club(TODAY)
    return place


def fit_now(place: Place) -> tuple[int, Any]:
    with club_scope(place.club.id):
        club_fits.refit_club(TODAY)
        stored = ClubBenchmark.objects.get()
        return stored.shots, stored.document["putting"]


def test_shots_that_stay_teach_the_club_what_they_did(fitted: Place) -> None:
    choose(fitted, ErasedGolf.ANONYMOUS)
    before = fit_now(fitted)
    erase(fitted.player_member)
    assert fit_now(fitted) == before


def test_shots_that_go_are_taken_out_of_what_was_fitted(fitted: Place) -> None:
    with club_scope(fitted.club.id):
        before = ClubBenchmark.objects.get().shots
        theirs = Shot.objects.filter(played_hole__round__player=fitted.player, holed=False).count()
    assert theirs > 0
    erase(fitted.player_member)
    worker.drain()
    with club_scope(fitted.club.id):
        after = ClubBenchmark.objects.get().shots
        left = Shot.objects.filter(played_hole__round__player=fitted.other_player).exists()
    assert left
    assert 0 < after < before


# Somebody without a sign-in --------------------------------------------------------------------------------


def erase_player(by: Member, player: Player, name: str) -> Any:
    path = f"/api/v1/players/{player.id}/erasure"
    return client_of(by).post(path, {"name": name}, format="json")


@pytest.mark.parametrize("choice", CHOICES)
def test_a_manager_erases_whom_nobody_signs_in_as(place: Place, played: Round, choice: ErasedGolf) -> None:
    choose(place, choice)
    with club_scope(place.club.id):
        Player.objects.filter(id=place.player.id).update(member=None)
        invite(place.manager, "Ines Aldana", Role.PLAYER)
    wrong = erase_player(place.manager, place.player, "Ines")
    assert [one["code"] for one in wrong.json()["errors"]] == ["not_their_name"]
    answer = erase_player(place.manager, place.player, "Ines Aldana")
    assert answer.status_code == 200, answer.content
    told = answer.json()
    assert (told["account_gone"], told["rounds"], told["golf"]) == (False, 1, choice.value)
    kept = [one["what"] for one in told["kept"]]
    stays = ["1 round with day, scores and shots, under no name"] if choice == ErasedGolf.ANONYMOUS else []
    assert kept == [*stays, "Backups from before today"]
    manager = client_of(place.manager)
    for path in (f"players/{place.player.id}", f"rounds/{played.id}"):
        assert manager.get(f"/api/v1/{path}").status_code == 404, path
    worker.drain()
    with club_scope(place.club.id):
        assert Round.objects.exists() == (choice == ErasedGolf.ANONYMOUS)
        assert where_the_name_is("Ines Aldana") == set()
    assert erase_player(place.manager, place.player, "Ines Aldana").status_code == 404, "it is done once"


def test_whoever_signs_in_is_erased_by_nobody_else(place: Place) -> None:
    refused = erase_player(place.manager, place.player, "Ines Aldana")
    is_problem(refused, 409, "has-a-sign-in")
    for member in (place.coach, place.greenkeeper, place.player_member):
        assert erase_player(member, place.player, "Ines Aldana").status_code == 404, member
    with club_scope(place.club.id):
        assert Player.objects.filter(id=place.player.id, erased_at=None).exists()


def test_a_manager_erases_one_under_age_whose_golf_they_may_not_read(place: Place, played: Round) -> None:
    with club_scope(place.club.id):
        Player.objects.filter(id=place.player.id).update(member=None, under_age=True)
    browser, pages = signed_in(place.manager), f"/clubs/{place.club.slug}/members"
    assert browser.get(f"/clubs/{place.club.slug}/players/{place.player.id}").status_code == 404
    address = f"{pages}/players/{place.player.id}/erase"
    listed = Page.of(browser.get(f"{pages}/under-age").content)
    assert address in listed.links
    assert f"{pages}/players/{place.other_player.id}/erase" not in listed.links, "Tomas signs in"
    assert "not the player" in Page.of(browser.post(address, {"name": "Somebody"}).content).text
    done = browser.post(address, {"name": "Ines Aldana"}, follow=True)
    assert "What stays, to tell them: Backups from before today" in Page.of(done.content).text
    assert browser.get(address).status_code == 404


# Nothing is forgotten --------------------------------------------------------------------------------------

KEYS_OF_THE_TRADE = frozenset(
    {"benchmark", "benchmark_version", "surface_version", "part", "kind", "subject", "club_used", "name"}
)
"""Columns in the tables of golf that stays which hold words of ours; ``club_used`` is tried by itself."""


def give_their_name(row: models.Model, *, golf: bool) -> None:
    """Write the name into every column of the row that takes a text."""
    for field in row._meta.local_concrete_fields:
        if field.choices or (golf and field.name in KEYS_OF_THE_TRADE):
            continue
        if isinstance(field, models.CharField | models.TextField) and (field.max_length or 99) >= len(NAME):
            setattr(row, field.name, NAME)
        if isinstance(field, models.JSONField):
            setattr(row, field.name, [] if field.name == "warnings" else {"said": NAME})
    row.save()


def where_the_name_is(name: str = NAME) -> set[str]:
    with connection.cursor() as cursor:
        found = set()
        for table, column in text_columns(cursor):
            cursor.execute(
                f'SELECT EXISTS (SELECT FROM "{table}" WHERE '
                f"""position(%s::bytea in convert_to("{column}"::text, 'UTF8')) > 0)""",
                [name.encode()],
            )
            if cursor.fetchone()[0]:
                found.add(f"{table}.{column}")
        return found


@pytest.mark.parametrize("choice", CHOICES)
def test_no_row_of_any_table_has_their_name(place: Place, choice: ErasedGolf) -> None:
    """Their name is written into every table about a player, and stands in none afterwards."""
    club = factories.make_club("everything", erased_golf=choice)
    made = rows.fill(club, "text")
    with connection.cursor() as cursor:
        about = tables_about("players_player", cursor)
    member, player = made[Member], made[Player]
    assert isinstance(member, Member)
    with club_scope(club.id):
        factories.make_member(Role.MANAGER, "who stays")
        for model, row in made.items():
            if model._meta.db_table in about | {"clubs_invitation", "players_import"}:
                give_their_name(row, golf=model._meta.db_table.startswith("players_"))
        Player.objects.filter(id=player.pk).update(name=NAME)
        Member.objects.filter(id=member.id).update(name=NAME)
        Invitation.objects.update(name=NAME, accepted_at="2026-05-01T09:00Z")
        User.objects.filter(pk=member.user_id).update(
            username=NAME, password="!", first_name=NAME, email=f"{NAME}@example.org"
        )
        named = {"player": {"id": str(player.pk), "name": NAME}}
        Delivery.objects.create(
            destination_id=made[Delivery].destination_id, happening="round_analysed", body=named
        )
        Import.objects.create(
            kind="scores",
            file="",
            unit="yards",
            faults=[{"detail": f"no {NAME}"}],
            started_by=Member.objects.last(),
        )
        before = where_the_name_is()
    assert {"players_player.name", "players_round.note", "clubs_user.username", "players_goal.note"} <= before
    member.name, member.club = NAME, club
    assert erase(member).status_code == 200
    with club_scope(club.id):
        assert where_the_name_is() == set()


def test_answers_kept_for_repeated_requests_go_too(place: Place) -> None:
    client = client_of(place.coach)
    body = factories.round_body(place.player)
    client.post("/api/v1/rounds", body, format="json", headers={"Idempotency-Key": "once"})
    table = "api_answeredrequest"
    with club_scope(place.club.id), connection.cursor() as cursor:
        cursor.execute(f"SELECT count(*) FROM {table}")
        assert cursor.fetchone() == (1,)
    erase(place.player_member)
    worker.drain()
    with club_scope(place.club.id), connection.cursor() as cursor:
        cursor.execute(f"SELECT count(*) FROM {table}")
        assert cursor.fetchone() == (0,)


def test_kept_answers_of_graphql_tell_nothing_of_them_and_are_not_done_again(place: Place) -> None:
    coach, key = client_of(place.coach), {"Idempotency-Key": "once"}
    text = "mutation ($given: RoundInput!) { postRound(given: $given) { player { name } } }"
    given = camel(factories.round_body(place.player))

    def post() -> Any:
        return coach.post(
            "/graphql", {"query": text, "variables": {"given": given}}, format="json", headers=key
        )

    assert b"Ines Aldana" in post().content
    erase(place.player_member)
    worker.drain()
    with club_scope(place.club.id), connection.cursor() as cursor:
        cursor.execute("SELECT convert_from(body, 'utf-8') FROM api_answeredrequest")
        assert cursor.fetchall() == [("",)]
    assert post().status_code == 410
