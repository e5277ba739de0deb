"""Traps of GraphQL over an ORM, each reproduced: rows of another club along keys, rows of people one may not see."""

from __future__ import annotations

from typing import Any

import pytest
import strawberry
from strawberry.schema.config import StrawberryConfig

from courses.layout.models import Course
from golfstats.doors.graphql.rows import Family, Row, WrongRowError, read
from golfstats.doors.graphql.schema import DECLARED
from golfstats.ground.clubs.models import Role
from golfstats.ground.walls.scope import club_scope
from players.people.operations import PLAYER
from tests import factories
from tests.graphql.asking import ask, data, refusal
from tests.players.conftest import Place

EVERYBODY = """{
  squads(first: 3) { edges { node { name coaches { name } players(first: 3) { edges { node {
    name rounds(first: 3) { edges { node { note: analysis player { name } holes { shots { lie } } } } } } } } } } }
  players { edges { node { name } } }
  rounds { edges { node { player { name } } } }
  courses { edges { node { name tees { name holes { number } } greenWork (first: 3) { edges { node { note } } } } } }
  attention { edges { node { player { name } } } }
}"""


@pytest.fixture
def foreign(place: Place) -> dict[str, Any]:
    """Another club with the same kinds of rows, every name of it containing STRANGER."""
    club = factories.make_club("stranger-club")
    with club_scope(club.id):
        course = factories.make_course("STRANGER course")
        factories.make_tee_set(course, "STRANGER tee")
        coach = factories.make_member(Role.COACH, "STRANGER-coach")
        player = factories.make_player("STRANGER player")
        squad = factories.make_squad("STRANGER squad", coach, player)
        round_ = factories.make_round(coach, player, course=course, tee="STRANGER tee")
    return {"club": club, "coach": coach, "player": player, "squad": squad, "round": round_}


@pytest.mark.parametrize("who", ["coach", "manager"])
def test_nothing_of_another_club_is_found_by_any_path(
    place: Place, foreign: dict[str, Any], who: str
) -> None:
    assert "STRANGER" in str(data(foreign["coach"], EVERYBODY))  # the document would find it
    assert "STRANGER" not in str(data(getattr(place, who), EVERYBODY))


@pytest.mark.parametrize("kind", ["player", "squad", "round"])
def test_a_row_of_another_club_is_not_there_by_its_id(
    place: Place, foreign: dict[str, Any], kind: str
) -> None:
    query = f"query Q($id: UUID!) {{ {kind}(id: $id) {{ id }} }}"
    assert data(foreign["coach"], query, id=str(foreign[kind].id))[kind]
    answer = ask(place.manager, query, id=str(foreign[kind].id))
    assert answer["data"] == {kind: None}
    assert answer["errors"][0]["extensions"]["status"] == 404


def test_a_resolver_that_reaches_a_row_of_another_club_gives_an_error_and_not_the_row(
    place: Place, foreign: dict[str, Any]
) -> None:
    """The optimizer's trap: a key followed through a manager that does not filter. Here the base type refuses it."""

    @strawberry.type
    class Query:
        @strawberry.field(graphql_type=DECLARED.type_of(PLAYER))
        @staticmethod
        def leak() -> Any:
            return Row(foreign["player"], {"name": foreign["player"].name}, Family())

    leaking = strawberry.Schema(query=Query, config=StrawberryConfig(default_resolver=read))
    with club_scope(place.club.id):
        result = leaking.execute_sync("{ leak { name } }")
    assert result.data is None
    assert result.errors is not None
    assert isinstance(result.errors[0].original_error, WrongRowError)
    assert "STRANGER" not in str(result.errors[0])


def test_the_base_type_refuses_rows_of_another_kind(place: Place) -> None:
    with club_scope(place.club.id):
        course = Row(Course.objects.get(), {}, Family())
        assert isinstance(course, Row)
        with pytest.raises(WrongRowError):
            DECLARED.type_of(PLAYER).is_type_of(course, None)


def test_a_player_sees_himself_alone_and_a_greenkeeper_nobody(place: Place) -> None:
    with club_scope(place.club.id):
        for player in (place.player, place.other_player):
            factories.make_round(place.manager, player)
    query = "{ players { edges { node { name } } } rounds { edges { node { player { name } } } } squads { edges { node { name } } } }"
    mine = data(place.player_member, query)
    assert [edge["node"]["name"] for edge in mine["players"]["edges"]] == ["Ines Aldana"]
    assert [edge["node"]["player"]["name"] for edge in mine["rounds"]["edges"]] == ["Ines Aldana"]
    assert mine["squads"]["edges"] == []
    assert all(found["edges"] == [] for found in data(place.greenkeeper, query).values())


def test_a_player_outside_the_coachs_squads_is_not_there(place: Place) -> None:
    error = refusal(
        place.coach, "query Q($id: UUID!) { player(id: $id) { name } }", id=str(place.other_player.id)
    )
    assert error["extensions"]["type"] == "/problems/not-found"
    assert error["path"] == ["player"]


def test_a_player_in_two_squads_is_in_both(place: Place) -> None:
    with club_scope(place.club.id):
        factories.make_squad("Second team", place.coach, place.player, place.other_player)
        factories.make_round(place.coach, place.player)
    query = "{ squads(first: 3) { edges { node { name players(first: 5) { edges { node { name rounds { edges { node { score } } } figures { key } trends { trends { key } } conditionAdjusted { window { rounds } } } } } } } } }"
    squads = {
        edge["node"]["name"]: [one["node"] for one in edge["node"]["players"]["edges"]]
        for edge in data(place.coach, query)["squads"]["edges"]
    }
    assert [one["name"] for one in squads["First team"]] == ["Ines Aldana"]
    assert [one["name"] for one in squads["Second team"]] == ["Ines Aldana", "Tomas Rehn"]
    assert squads["First team"][0] == squads["Second team"][0]
    assert len(squads["First team"][0]["rounds"]["edges"]) == 1
    assert squads["Second team"][1]["rounds"]["edges"] == []


def test_attention_is_for_coaches_and_managers(place: Place) -> None:
    error = refusal(place.player_member, "{ attention { edges { node { reason } } } }")
    assert error["extensions"]["status"] == 403
