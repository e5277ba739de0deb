"""``updated_since``: held against every list that has it, and who has it not says why."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator

import pytest
from django.db import connection, transaction
from pytest_django import DjangoDbBlocker

from golfstats.doors.operations import OPERATIONS
from golfstats.ground.clubs.models import Role
from golfstats.ground.operations import Listing
from golfstats.ground.walls.dated import Dated
from golfstats.ground.walls.scope import club_scope
from players.people.models import Player, Squad
from tests.api.requests import Sent, send, undone
from tests.api.test_lists import asked
from tests.api.world import World, make_world
from tests.rows import owned_models

LISTS = {one.name: one for one in OPERATIONS if isinstance(one, Listing)}
DATED = sorted(
    name for name, one in LISTS.items() if "updated_since" in one.parameters.model_fields and one.path
)
BY_GRAPHQL_ALONE = {"player-rounds"}
UNDATED = {
    "bag-words": "a few words of a player's, read whole",
    "course-notes": "written anew by the worker, each whenever anything is known better",
    "handicap-record": "folded anew as a whole with every score",
    "imports": "each ends within minutes, and the newest come first",
    "invitations": "open ones alone: each ends by itself",
    "members": "a short list, in which who left matters most",
    "month-reports": "each ends within a minute, and the newest come first",
    "own-webhook-deliveries": "the newest come first, and an attempt is told by its own time",
    "own-webhooks": "three addresses at most, read whole",
    "squad-players": "who came into a squad is told with the squad, which is written then",
    "under-age-players": "what guardians said is kept in another table, with its day",
    "webhook-deliveries": "the newest come first, and an attempt is told by its own time",
    "webhooks": "a few addresses, read whole",
}
OLD = dt.datetime(2001, 1, 1, tzinfo=dt.UTC)


@pytest.fixture(scope="module")
def world(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[World]:
    with django_db_blocker.unblock(), transaction.atomic():
        yield make_world("updated", "Updated", days=2)
        transaction.set_rollback(True)


def now() -> dt.datetime:
    with connection.cursor() as cursor:
        cursor.execute("SELECT clock_timestamp()")
        (moment,) = cursor.fetchone()
    assert isinstance(moment, dt.datetime)
    return moment


def ids_since(world: World, name: str, moment: dt.datetime) -> list[str]:
    answer = asked(world, name, updated_since=moment.isoformat())
    assert answer.status_code == 200, answer.text
    return [one["id"] for one in answer.json["results"]]


def test_every_list_tells_what_is_new_or_says_why_not() -> None:
    assert {*DATED, *BY_GRAPHQL_ALONE} == set(LISTS) - set(UNDATED)
    dated = {one.of.model for name, one in LISTS.items() if name in DATED}
    assert dated == {model for model in owned_models() if issubclass(model, Dated)}


@pytest.mark.parametrize("name", DATED)
def test_a_list_tells_what_was_written_since(world: World, name: str) -> None:
    """However it was written: here all at once, by a program that says it was long ago."""
    model = LISTS[name].of.model
    with undone(), club_scope(world.club.id):
        key = asked(world, name).json["results"][-1]["id"]
        before = now()
        assert ids_since(world, name, before) == []
        model.objects.filter(id=key).update(updated_at=OLD)
        written = model.objects.values_list("updated_at", flat=True).get(id=key)
        assert before <= written <= now()
        assert ids_since(world, name, before) == [key]
        assert ids_since(world, name, written) == [key], "its own moment is among those asked for"
        assert ids_since(world, name, written + dt.timedelta(microseconds=1)) == []


@pytest.mark.parametrize("name", DATED)
def test_a_moment_without_its_offset_is_refused(world: World, name: str) -> None:
    for text in ("2026-06-14T09:30:00", "2026-06-14", "1718000000", "2026-06-14T09:30:00 02:00", "soon", ""):
        refused = asked(world, name, updated_since=text)
        assert refused.status_code == 422, text
        (fault,) = refused.json["errors"]
        assert fault["pointer"] == "/updated_since"
        assert "offset" in fault["detail"]


@pytest.mark.parametrize("model", [one for one in owned_models() if issubclass(one, Dated)])
def test_what_is_new_in_a_club_is_found_by_an_index(world: World, model: type[Dated]) -> None:
    del world
    table = model._meta.db_table
    with connection.cursor() as cursor:
        cursor.execute("SELECT indexdef FROM pg_indexes WHERE tablename = %s", [table])
        assert any("(club_id, updated_at)" in definition for (definition,) in cursor.fetchall())


def test_a_new_row_has_the_moment_of_its_writing(world: World) -> None:
    with undone(), club_scope(world.club.id):
        before = now()
        made = Squad.objects.create(name="Third team", updated_at=OLD)
        made.refresh_from_db()
        assert before <= made.updated_at <= now()


def test_who_is_in_a_squad_is_told_with_the_squad(world: World) -> None:
    squad = world.rows[Squad]
    assert isinstance(squad, Squad)
    with undone(), club_scope(world.club.id):
        player = Player.objects.exclude(squad_places__squad=squad).first()
        player = player or Player.objects.create(name="Newcomer", rating_gender="men")
        before = now()
        place = squad.squad_players.create(player=player)
        assert ids_since(world, "squads", before) == [str(squad.id)]
        between = now()
        place.delete()
        assert ids_since(world, "squads", between) == [str(squad.id)]


def test_graphql_asks_the_same(world: World) -> None:
    member = world.members[Role.MANAGER]

    def told(moment: str) -> dict[str, object]:
        document = f'{{ rounds(updatedSince: "{moment}") {{ edges {{ node {{ id }} }} }} }}'
        found = send(member, Sent("POST", "/graphql", json.dumps({"query": document}))).json
        assert isinstance(found, dict)
        return found

    assert told(now().isoformat())["data"] == {"rounds": {"edges": []}}
    assert len(told("2001-01-01T00:00:00Z")["data"]["rounds"]["edges"]) == 2  # type: ignore[index]  # JSON
    refused = told("2026-06-14T09:30:00")
    assert "/updated_since" in json.dumps(refused["errors"])
