"""Within one club: a player against another's golf, a coach against players of other squads, a greenkeeper."""

from __future__ import annotations

import pytest
from django.db import models

from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.webhooks.models import Delivery, Destination
from players.coaching.models import Goal, PracticeNote
from players.files.models import Import
from players.handicap.models import CommitteeAction
from players.people.models import Player, Squad
from players.rounds.models import Round
from tests import factories
from tests.api.attack import contents_of
from tests.api.calls import CALLS, Call
from tests.api.conftest import Worlds
from tests.api.graphql_calls import call_of, root_fields
from tests.api.requests import UUID, send, undone, valid
from tests.api.routes import Route, operations

OPERATIONS = operations()
GRAPHQL = OPERATIONS.pop("POST graphql")
PERSONAL: list[type[models.Model]] = [
    *(CommitteeAction, Delivery, Destination, Goal, Import, Member, Player, PracticeNote, Round, Squad),
]
STRANGERS = ["a player", "a coach of another squad", "a greenkeeper"]


@pytest.fixture(scope="module")
def strangers(worlds: Worlds) -> dict[str, Member]:
    """Members of the player's club to whom his golf is none of their business."""
    with club_scope(worlds.own.club.id):
        player = factories.make_member(Role.PLAYER, "stranger")
        factories.make_player("Tomas Rehn", player)
        coach = factories.make_member(Role.COACH, "strange-coach")
        factories.make_squad("Juniors", coach, factories.make_player("Mira Okafor"))
        found = [player, coach, worlds.own.members[Role.GREENKEEPER]]
    return dict(zip(STRANGERS, found, strict=True))


def faults(worlds: Worlds, member: Member, route: Route, method: str, call: Call) -> list[str]:
    """What is wrong about the answer to a request about somebody else."""
    sent = valid(worlds.own, route, method, call)
    named = {worlds.own.model_of(one) for one in UUID.findall(sent.words)} & set(PERSONAL)
    with undone():
        before = contents_of(worlds.own)
        answer = send(member, sent)
        changed = named and contents_of(worlds.own) != before
    found = [f"told {worlds.own.private}"] if worlds.own.private in answer.text else []
    if changed:
        found.append("changed another's rows")
    refused = answer.status_code in (403, 404, 422) or (
        answer.status_code == 200 and call.says_no is not None and call.says_no(answer.json)
    )
    if named and not refused:
        found.append(f"answered {answer.status_code}: {answer.text[:200]}")
    return found


@pytest.mark.parametrize("stranger", STRANGERS)
@pytest.mark.parametrize("name", sorted(OPERATIONS))
def test_operation(worlds: Worlds, strangers: dict[str, Member], name: str, stranger: str) -> None:
    assert faults(worlds, strangers[stranger], *OPERATIONS[name], CALLS[name]) == []


@pytest.mark.parametrize("stranger", STRANGERS)
@pytest.mark.parametrize("field", sorted(root_fields()))
def test_graphql(worlds: Worlds, strangers: dict[str, Member], field: str, stranger: str) -> None:
    assert faults(worlds, strangers[stranger], *GRAPHQL, call_of(field)) == []


@pytest.mark.parametrize("name", ["GET player", "PUT round", "GET squad"])
def test_canary_the_same_requests_succeed_for_whom_it_concerns(worlds: Worlds, name: str) -> None:
    member = worlds.own.members[CALLS[name].role]
    assert any(
        one.startswith("answered 200") for one in faults(worlds, member, *OPERATIONS[name], CALLS[name])
    )
