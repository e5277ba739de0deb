"""Handicaps on a course, members, clubs, messages and imports: REST's answers, for whom REST gives them."""

from __future__ import annotations

from typing import Any

import pytest

from courses.layout.models import Course, TeeSet
from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.walls.scope import club_scope
from players.files.models import Import
from players.people.models import Player
from tests import factories
from tests.api.world import World, make_world
from tests.graphql.alike import all_of, assert_same, nodes
from tests.graphql.asking import ask, data, refusal
from tests.players.conftest import client_of

LISTS = {
    "members": ("ClubMember", "members"),
    "webhooks": ("WebhookDestination", "webhooks"),
    "webhookDeliveries": ("WebhookDelivery", "webhooks/deliveries"),
    "imports": ("Import", "imports"),
}


@pytest.fixture
def world(db: None) -> World:
    return make_world("own", "Own", days=2)


def rest(member: Member, address: str, **query: Any) -> Any:
    response = client_of(member).get(f"/api/v1/{address}", query)
    assert response.status_code == 200, response.content
    return response.json()


@pytest.mark.parametrize("field", LISTS)
def test_lists_for_managers(world: World, field: str) -> None:
    kind, address = LISTS[field]
    manager = world.members[Role.MANAGER]
    told = nodes(data(manager, f"{{ {field} {{ edges {{ node {all_of(kind)} }} }} }}")[field])
    assert told
    assert_same(rest(manager, address)["results"], told)


@pytest.mark.parametrize("field", ["members", "webhooks", "webhookDeliveries"])
@pytest.mark.parametrize("role", [Role.COACH, Role.PLAYER, Role.GREENKEEPER])
def test_what_is_for_managers_alone(world: World, field: str, role: Role) -> None:
    answer = ask(world.members[role], f"{{ {field} {{ edges {{ node {{ id }} }} }} }}")
    assert answer["errors"][0]["extensions"]["status"] == 403


def test_deliveries_to_one_destination(world: World) -> None:
    query = "query Q($id: UUID) { webhookDeliveries(destination: $id) { edges { node { id } } } }"
    manager = world.members[Role.MANAGER]
    all_there_are = data(manager, query)["webhookDeliveries"]["edges"]
    (destination,) = nodes(data(manager, "{ webhooks { edges { node { id } } } }")["webhooks"])
    assert data(manager, query, id=destination["id"])["webhookDeliveries"]["edges"] == all_there_are
    assert data(manager, query, id=world.id(Player))["webhookDeliveries"]["edges"] == []


def test_an_import(world: World) -> None:
    query = f"query Q($id: UUID!) {{ import(id: $id) {all_of('Import')} }}"
    manager, found = world.members[Role.MANAGER], world.id(Import)
    assert_same(rest(manager, f"imports/{found}"), data(manager, query, id=found)["import"])
    assert refusal(world.members[Role.COACH], query, id=found)["extensions"]["status"] == 404


def test_ones_clubs(world: World) -> None:
    coach = world.members[Role.COACH]
    other = factories.make_club("another")
    with club_scope(other.id):
        Member.objects.create(club=other, user=coach.user, role=Role.PLAYER, name="Guest")
    told = data(coach, "{ clubs { slug name role preferred } me { role } }")
    assert sorted(club["role"] for club in told["clubs"]) == ["coach", "player"]
    assert told["me"]["role"] == "coach"  # still in this club
    assert_same(rest(coach, "clubs")["results"], told["clubs"])


def test_handicap_targets(world: World) -> None:
    query = f"""query Q($player: UUID!, $tee: UUID!, $section: Section) {{ player(id: $player) {{
      handicapTargets(tee: $tee, section: $section) {all_of("HandicapTargets")} }} }}"""
    member, player, tee = world.members[Role.PLAYER], world.id(Player), world.id(TeeSet)
    found = rest(member, f"players/{player}/handicap/targets", tee=tee)
    assert_same(found, data(member, query, player=player, tee=tee)["player"]["handicapTargets"])
    front = data(member, query, player=player, tee=tee, section="front")["player"]["handicapTargets"]
    assert_same(rest(member, f"players/{player}/handicap/targets", tee=tee, section="front"), front)
    error = refusal(member, query, player=player, tee=player)
    assert error["extensions"]["status"] == 422
    assert "Section" in refusal(member, query, player=player, tee=tee, section="19")["message"]
    hidden = refusal(member, query, player=world.mate_id, tee=tee)
    assert hidden["extensions"]["status"] == 404


def test_decisions_of_the_committee(world: World) -> None:
    query = f"""query Q($id: UUID!) {{ player(id: $id) {{
      committeeActions {{ edges {{ node {all_of("CommitteeAction")} }} }} }} }}"""
    member, player = world.members[Role.PLAYER], world.id(Player)
    told = nodes(data(member, query, id=player)["player"]["committeeActions"])
    assert told
    assert_same(rest(member, f"players/{player}/committee-actions")["results"], told)


def test_handicaps_on_a_course(world: World) -> None:
    query = f"""query Q($course: UUID!, $player: UUID!) {{
      handicapsOnCourse(id: $course, player: $player) {all_of("HandicapsOnCourse")} }}"""
    member, player, course = world.members[Role.PLAYER], world.id(Player), world.id(Course)
    told = data(member, query, course=course, player=player)["handicapsOnCourse"]
    assert told["tees"][0]["sections"]
    assert_same(rest(member, f"courses/{course}/handicaps", player=player), told)
    assert refusal(member, query, course=player, player=player)["extensions"]["status"] == 404
    hidden = refusal(member, query, course=course, player=world.mate_id)
    assert hidden["extensions"]["status"] == 404
