"""A player under age: nobody else but the coach their guardian approved reads their golf, before the consent."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

import pytest

from golfstats.ground.clubs.models import ErasedGolf, Member, Role
from golfstats.ground.events import Happening
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.webhooks.models import Delivery, Destination
from players.club.services import change_settings
from players.figures.answers.misses import squad_mates
from players.people.models import Consent, GolfRead, Player, SquadPlayer
from players.record.erasing import erase
from players.record.writing import record_of
from players.rounds.models import Round
from tests import factories
from tests.people.test_export import opened
from tests.players.conftest import client_of
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page


def say(place: Place, **said: Any) -> Any:
    path = f"/api/v1/players/{place.player.id}/guardian"
    return client_of(place.manager).put(path, {"under_age": True} | said, format="json")


@pytest.fixture
def young(place: Place, played: Round) -> Place:
    """Ines is under age, in the coach's squad with Tomas, and nobody has consented yet."""
    with club_scope(place.club.id):
        SquadPlayer.objects.create(squad=place.squad, player=place.other_player)
        factories.make_round(place.manager, place.other_player)
    worker.drain()
    assert say(place).status_code == 200
    return place


def statuses(place: Place, member: Member, round_: Round) -> set[int]:
    """Of their golf through REST, GraphQL and pages."""
    client, browser = client_of(member), signed_in(member)
    player, club = place.player.id, f"/clubs/{place.club.slug}"
    rest = [
        client.get(f"/api/v1/{path}").status_code
        for path in (
            f"players/{player}",
            f"players/{player}/shots?figure=gained.total",
            f"players/{player}/putting",
            f"players/{player}/handicap",
            f"players/{player}/goals",
            f"rounds/{round_.id}",
            f"rounds/{round_.id}/analysis",
        )
    ]
    pages = [
        browser.get(f"{club}/{path}").status_code
        for path in (
            f"players/{player}",
            f"players/{player}/shots?figure=gained.total",
            f"rounds/{round_.id}",
        )
    ]
    document = {"query": f'{{ player(id: "{player}") {{ name }} round(id: "{round_.id}") {{ id }} }}'}
    answer = client.post("/graphql", document, format="json").json()
    return {*rest, *pages, 404 if answer.get("errors") else 200}


def test_manager_coach_and_squad_mate_see_nothing_through_any_door(young: Place, played: Round) -> None:
    for member in (young.manager, young.coach, young.other_member, young.greenkeeper):
        assert statuses(young, member, played) == {404}, member
    assert statuses(young, young.player_member, played) == {200}


def test_lists_tables_and_files_leave_them_out(young: Place, played: Round) -> None:
    squad = young.squad.id
    for member in (young.manager, young.coach):
        client = client_of(member)
        for path in (
            "players",
            "rounds",
            f"squads/{squad}/table",
            f"squads/{squad}/week",
            f"squads/{squad}/leaders?key=gained.total",
            f"squads/{squad}/condition-adjusted",
            "attention",
            "export/rounds.csv",
            "export/shots.csv",
        ):
            answer = client.get(f"/api/v1/{path}")
            told = answer.getvalue().decode()
            assert answer.status_code == 200, path
            assert "Ines" not in told, path
            assert str(young.player.id) not in told, path
        assert "Tomas" in client.get("/api/v1/rounds").content.decode()
        compared = client.get(f"/api/v1/compare?players={young.player.id},{young.other_player.id}")
        assert compared.status_code == 404
        document = {"query": f'{{ squad(id: "{squad}") {{ players {{ edges {{ node {{ name }} }} }} }} }}'}
        nodes = client.post("/graphql", document, format="json").json()["data"]["squad"]["players"]["edges"]
        assert [one["node"]["name"] for one in nodes] == ["Tomas Rehn"]


def test_a_squad_mates_comparison_rests_on_nobody_under_age(young: Place) -> None:
    """With one mate alone the mean of all mates would be that mate's own golf."""

    def mates() -> set[Any]:
        with club_scope(young.club.id):
            return squad_mates([young.other_player])[young.other_player.id]

    assert mates() == set()
    say(young, consent_by="Marta Aldana")
    assert mates() == {young.player.id}


def test_the_approved_coach_reads_and_nobody_else(young: Place, played: Round) -> None:
    with club_scope(young.club.id):
        other_coach = factories.make_member(Role.COACH, "other coach")
    assert say(young, approved_coach=str(other_coach.id)).status_code == 200
    assert statuses(young, other_coach, played) == {200}
    for member in (young.coach, young.manager, young.other_member):
        assert statuses(young, member, played) == {404}, member


def test_after_the_consent_coach_and_manager_read(young: Place, played: Round) -> None:
    told = say(young, consent_by="Marta Aldana").json()
    assert told["consent_by"] == "Marta Aldana"
    assert told["consent_recorded_by"] == "manager"
    assert told["consent_at"] is not None
    for member in (young.coach, young.manager):
        assert statuses(young, member, played) == {200}, member
    assert statuses(young, young.other_member, played) == {404}
    assert say(young, consent_by="Marta Aldana").json()["consent_at"] == told["consent_at"]


def test_a_consent_can_be_taken_back(young: Place, played: Round) -> None:
    say(young, consent_by="Marta Aldana")
    assert say(young).json()["consent_at"] is None
    assert statuses(young, young.coach, played) == {404}


def test_what_was_consented_to_is_kept_after_it_is_taken_back(young: Place) -> None:
    say(young, consent_by="Marta Aldana")
    say(young, consent_by="Marta Aldana", under_age=True)
    say(young, consent_by="Pia Aldana")
    say(young)
    path = f"/api/v1/players/{young.player.id}/consents"
    for member in (young.player_member, young.manager):
        pia, marta = client_of(member).get(path).json()["results"]
        assert (pia["given_by"], marta["given_by"]) == ("Pia Aldana", "Marta Aldana")
        assert marta["given_at"] < marta["withdrawn_at"] == pia["given_at"] < pia["withdrawn_at"]
        assert {one["recorded_by"] for one in (pia, marta)} == {"manager"}
        assert {one["withdrawal_recorded_by"] for one in (pia, marta)} == {"manager"}
    for member in (young.coach, young.greenkeeper, young.other_member):
        assert client_of(member).get(path).status_code == 404, member
    own = Page.of(signed_in(young.player_member).get(f"/clubs/{young.club.slug}/record").content).text
    assert "Marta Aldana consented that the club reads the golf" in own
    form = f"/clubs/{young.club.slug}/members/players/{young.player.id}/guardian"
    assert "Pia Aldana consented" in Page.of(signed_in(young.manager).get(form).content).text
    with club_scope(young.club.id):
        files = opened(record_of(young.player_member))
        assert [one["given_by"] for one in json.loads(files["consents.json"])] == [
            "Marta Aldana",
            "Pia Aldana",
        ]


@pytest.mark.parametrize("choice", list(ErasedGolf))
def test_with_the_player_their_guardians_go(young: Place, choice: ErasedGolf) -> None:
    say(young, consent_by="Marta Aldana")
    with club_scope(young.club.id):
        change_settings(young.club, {"erased_golf": choice})
        erase(young.player_member, "ines", knows_password=True)
        assert not Consent.objects.exists()


def test_only_managers_record_and_only_their_clubs_players(young: Place) -> None:
    path = f"/api/v1/players/{young.player.id}/guardian"
    for member in (young.coach, young.player_member, young.other_member):
        assert client_of(member).put(path, {"under_age": False}, format="json").status_code == 404, member
        assert client_of(member).get("/api/v1/players/under-age").status_code == 403, member
    elsewhere = factories.make_club("stonebarrow")
    with club_scope(elsewhere.id):
        stranger = factories.make_member(Role.MANAGER, "stranger")
    assert client_of(stranger).put(path, {"under_age": False}, format="json").status_code == 404
    assert client_of(stranger).get("/api/v1/players/under-age").json()["results"] == []
    page = f"/clubs/stonebarrow/members/players/{young.player.id}/guardian"
    assert signed_in(stranger).get(page).status_code == 404
    with club_scope(young.club.id):
        assert Player.objects.get(id=young.player.id).under_age


def test_a_coach_is_approved_who_is_one(young: Place) -> None:
    answer = say(young, approved_coach=str(young.manager.id))
    assert [one["code"] for one in answer.json()["errors"]] == ["no_such_coach"]


def test_what_was_left_out_was_not_read(young: Place) -> None:
    with club_scope(young.club.id):
        GolfRead.objects.all().delete()
    client_of(young.coach).get(f"/api/v1/squads/{young.squad.id}/table")
    with club_scope(young.club.id):
        assert {one.player.name for one in GolfRead.objects.select_related("player")} == {"Tomas Rehn"}


def test_the_clubs_machines_are_not_told(young: Place) -> None:
    with club_scope(young.club.id):
        Destination.objects.create(url="https://example.org/hook", secret="s", happenings=list(Happening))
        for player, by in ((young.player, young.player_member), (young.other_player, young.manager)):
            factories.make_round(by, player, played_on=dt.date(2026, 6, 20))
    worker.drain()
    with club_scope(young.club.id):
        told = str(list(Delivery.objects.values_list("body", flat=True)))
    assert "Tomas" in told
    assert "Ines" not in told


def test_a_manager_records_it_on_a_page(place: Place, played: Round) -> None:
    browser, pages = signed_in(place.manager), f"/clubs/{place.club.slug}/members"
    form = f"{pages}/players/{place.player.id}/guardian"
    assert form in Page.of(browser.get(f"{pages}/under-age").content).links
    browser.post(form, {"under_age": "on"})
    assert "Ines Aldana: under age, no consent yet" in Page.of(browser.get(f"{pages}/under-age").content).text
    assert statuses(place, place.coach, played) == {404}
    browser.post(form, {"under_age": "on", "consent_by": "Marta Aldana"})
    assert "Marta Aldana consented" in Page.of(browser.get(f"{pages}/under-age").content).text
    assert statuses(place, place.coach, played) == {200}
    assert signed_in(place.coach).get(f"{pages}/under-age").status_code == 403
