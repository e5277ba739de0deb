"""Players see who read their golf: each reader once a day for each part and door, and never themselves."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from golfstats.doors.operations import OPERATIONS
from golfstats.ground.clubs.models import Role
from golfstats.ground.operations import Change, Operation
from golfstats.ground.walls.scope import club_scope
from players.people.models import GolfRead, Player, SquadPlayer
from players.rounds.models import Round
from tests import factories
from tests.api.calls import CALLS
from tests.api.requests import send, undone, valid
from tests.api.routes import operations
from tests.api.world import World, make_world
from tests.players.conftest import client_of
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page

NO_GOLF = {
    "me": "one's own name and role",
    "clubs": "one's own memberships",
    "tokens": "the account",
    "sign-ins": "the account",
    "members": "who belongs to the club",
    "member": "one of them",
    "invitations": "who was invited",
    "players": "names",
    "player": "a name",
    "squads": "names",
    "squad": "names",
    "player-readers": "who read golf, not golf",
    "bag-words": "words for clubs",
    "webhooks": "addresses",
    "webhook": "an address",
    "webhook-deliveries": "messages that were sent",
    "own-webhooks": "one's own addresses",
    "own-webhook": "one of them",
    "own-webhook-deliveries": "what one's own programs were told of oneself",
    "imports": "files on their way in: whoever brought them has them",
    "import": "the same",
    "club": "settings",
    "benchmarks": "golfers of everybody",
    "trust": "claims",
    "player-consents": "what guardians said",
    "under-age-players": "what guardians said",
    "own-record": "how far one's own file is",
    "own-record-file": "one's own file",
    "export-dictionary": "what columns mean",
    "month-reports": "reports that one asked for: asking is what is kept",
    "month-report": "one of them",
    "player-pictures": "questions that have a picture",
    "forecasts": "chances of everybody, counted",
    "condition-effect": "fitted to everybody",
    "context-effects": "fitted to everybody",
    "green-work-cost": "fitted to everybody",
    "cost-by-green": "fitted to everybody",
    "course-picture": "of greens, and of usual golfers",
    "planner": "fitted to everybody",
    "around-the-green": "fitted to everybody",
    "expected-putts": "fitted to everybody",
    "tee-difficulty": "fitted to everybody",
}
ABOUT_COURSES = ("course", "tee", "green", "event", "calendar", "playing", "openapi", "api-reference")


def readers(place: Place, player: Player | None = None) -> list[tuple[str, str, str]]:
    with club_scope(place.club.id):
        rows = GolfRead.objects.filter(player=player or place.player)
        return sorted(rows.values_list("reader_name", "what", "door"))


def test_a_player_sees_who_read_what_and_through_which_door(place: Place, played: Round) -> None:
    coach, player = client_of(place.coach), client_of(place.player_member)
    assert coach.get(f"/api/v1/players/{place.player.id}/putting").status_code == 200
    assert coach.get("/api/v1/rounds").status_code == 200
    assert coach.get(f"/api/v1/rounds/{played.id}").status_code == 200
    document = {"query": f'{{ player(id: "{place.player.id}") {{ putting {{ window {{ rounds }} }} }} }}'}
    assert "errors" not in client_of(place.manager).post("/graphql", document, format="json").json()
    signed_in(place.coach).get(f"/clubs/{place.club.slug}/players/{place.player.id}/trends")

    told = player.get(f"/api/v1/players/{place.player.id}/readers").json()["results"]
    assert {(one["by"], one["role"], one["what"], one["door"]) for one in told} == {
        ("coach", "coach", "analysis", "rest"),
        ("coach", "coach", "rounds", "rest"),
        ("coach", "coach", "shots", "rest"),
        ("coach", "coach", "analysis", "pages"),
        ("manager", "manager", "analysis", "graphql"),
    }


def test_reading_again_the_same_day_adds_no_row_and_reading_oneself_none(place: Place, played: Round) -> None:
    for _ in range(3):
        client_of(place.coach).get(f"/api/v1/players/{place.player.id}/putting")
        client_of(place.player_member).get(f"/api/v1/players/{place.player.id}/putting")
    assert readers(place) == [("coach", "analysis", "rest")]


def test_a_squads_table_is_read_of_each_of_its_players(place: Place, played: Round) -> None:
    client_of(place.coach).get(f"/api/v1/squads/{place.squad.id}/table")
    assert readers(place) == [("coach", "analysis", "rest")]
    assert readers(place, place.other_player) == []


def test_what_is_refused_was_not_read(place: Place, played: Round) -> None:
    path = f"/api/v1/players/{place.player.id}/putting?colour=blue"
    assert client_of(place.coach).get(path).status_code == 422
    assert client_of(place.other_member).get(f"/api/v1/rounds/{played.id}").status_code == 404
    assert readers(place) == []


def test_it_costs_one_statement_even_for_a_whole_squad(place: Place, played: Round) -> None:
    client = client_of(place.manager)
    with CaptureQueriesContext(connection) as captured:
        client.get("/api/v1/rounds")
    assert len([one for one in captured if "players_golfread" in str(one["sql"])]) == 1


def test_what_is_kept_for_today_costs_no_statement(
    place: Place, played: Round, django_capture_on_commit_callbacks: Any
) -> None:
    client = client_of(place.manager)
    with django_capture_on_commit_callbacks(execute=True):
        client.get("/api/v1/rounds")
    with CaptureQueriesContext(connection) as captured:
        client.get("/api/v1/rounds")
        client.get(f"/api/v1/players/{place.player.id}/putting")
    assert len([one for one in captured if "players_golfread" in str(one["sql"])]) == 1, "another part of it"
    assert readers(place) == [("manager", "analysis", "rest"), ("manager", "rounds", "rest")]


def test_what_was_rolled_back_is_written_down_when_it_is_read_again(place: Place, played: Round) -> None:
    client = client_of(place.manager)
    with transaction.atomic():
        client.get("/api/v1/rounds")
        transaction.set_rollback(True)
    assert readers(place) == []
    client.get("/api/v1/rounds")
    assert readers(place) == [("manager", "rounds", "rest")]


def test_who_comes_into_a_squad_is_read_of_from_then_on(
    place: Place, played: Round, django_capture_on_commit_callbacks: Any
) -> None:
    address = f"/api/v1/squads/{place.squad.id}/table"
    with django_capture_on_commit_callbacks(execute=True):
        client_of(place.coach).get(address)
    with club_scope(place.club.id):
        SquadPlayer.objects.create(squad=place.squad, player=place.other_player)
    client_of(place.coach).get(address)
    assert readers(place, place.other_player) == [("coach", "analysis", "rest")]


def test_only_the_player_and_managers_see_the_readers(place: Place, played: Round) -> None:
    path = f"/api/v1/players/{place.player.id}/readers"
    page = f"/clubs/{place.club.slug}/players/{place.player.id}/readers"
    answers = {
        place.player_member: (200, 200),
        place.manager: (200, 200),
        place.coach: (403, 403),
        place.other_member: (404, 404),
        place.greenkeeper: (404, 404),
    }
    for member, expected in answers.items():
        found = client_of(member).get(path).status_code, signed_in(member).get(page).status_code
        assert found == expected, member
    elsewhere = factories.make_club("stonebarrow")
    with club_scope(elsewhere.id):
        stranger = factories.make_member(Role.MANAGER, "stranger")
    assert client_of(stranger).get(path).status_code == 404
    assert signed_in(stranger).get(page).status_code == 404


def test_the_page_names_the_readers_and_is_led_to_from_the_players_own_start(
    place: Place, played: Round
) -> None:
    client_of(place.coach).get(f"/api/v1/rounds/{played.id}")
    player = signed_in(place.player_member)
    start = Page.of(player.get(f"/clubs/{place.club.slug}/").content)
    address = f"/clubs/{place.club.slug}/players/{place.player.id}/readers"
    assert address in start.links
    told = Page.of(player.get(address).content).text
    assert re.search(r"coach \d+ \w+ \d{4} coach shots a program", told), told


# What every operation leaves behind -----------------------------------------------------------------------


def of_reading() -> dict[str, Operation]:
    return {one.name: one for one in OPERATIONS if not isinstance(one, Change) and one.path}


@pytest.fixture(scope="module")
def world(django_db_setup: None, django_db_blocker: pytest.FixtureRequest) -> World:
    with django_db_blocker.unblock(), transaction.atomic():
        yield make_world("readers", "Readers")
        transaction.set_rollback(True)


def counts_as_golf(name: str) -> bool:
    return name == "course-handicaps" or not (name in NO_GOLF or name.startswith(ABOUT_COURSES))


@pytest.mark.parametrize("name", sorted(of_reading()))
def test_every_reading_of_golf_is_kept_and_no_other(world: World, name: str) -> None:
    """A new operation tells whose golf it reads, or is named above with a reason."""
    route, method = operations()[f"GET {name}"]
    with undone():
        with club_scope(world.club.id):
            GolfRead.objects.all().delete()
        call = CALLS[f"GET {name}"]
        role = call.role if name in NO_GOLF or name == "attention" else Role.MANAGER
        answer = send(world.members[role], valid(world, route, method, call))
        assert answer.status_code == 200, answer.text[:200]
        with club_scope(world.club.id):
            kept = GolfRead.objects.filter(player_id=world.id(Player)).exists()
    assert kept == counts_as_golf(name)
