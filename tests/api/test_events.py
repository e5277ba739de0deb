"""Every operation that changes something sends the events that it declares, or is named here with why it sends none.

Each message is held to its component of the API document. Whoever has no business with a player hears nothing of them.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from jsonschema import Draft202012Validator, FormatChecker

from courses.layout.models import Course
from golfstats.doors.graphql.answers import camel
from golfstats.doors.operations import OPERATIONS
from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.events import EVENTS, Happening
from golfstats.ground.operations import Change
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.webhooks.models import Delivery, Destination
from players.conditions import analysis
from players.files import services as files
from players.files.models import Import
from players.handicap import recompute
from players.handicap.models import PlayerHandicap
from players.people.models import Player
from players.plans import tasks as plans
from players.plans.models import PlanAfterwards, PlanState, RoundPlan
from players.rounds.models import Round
from tests import factories
from tests.api import examples
from tests.api.calls import CALLS, Call
from tests.api.conftest import Worlds
from tests.api.graphql_calls import call_of
from tests.api.requests import Answer, send, undone, valid
from tests.api.routes import operations
from tests.api.world import World

CHANGES = {one.id: one for one in OPERATIONS if isinstance(one, Change)}
ROUTES = operations()

# Operations that send nothing, and why.
OWN_ACCOUNT = "of a person's own account, which is no club's"
OWN_MESSAGES = "whoever listens has done it"
NOTHING_IS_SAVED = "it only looks"
SILENT = {
    **dict.fromkeys(("prefer_club", "make_token", "change_password", "change_email"), OWN_ACCOUNT),
    **dict.fromkeys(("end_token", "end_one_token", "end_all_tokens"), OWN_ACCOUNT),
    **dict.fromkeys(
        ("add_webhook", "change_webhook", "remove_webhook", "renew_webhook_secret"), OWN_MESSAGES
    ),
    **dict.fromkeys(("test_webhook", "send_webhook_again"), OWN_MESSAGES),
    **dict.fromkeys(("add_own_webhook", "change_own_webhook", "remove_own_webhook"), OWN_MESSAGES),
    **dict.fromkeys(("renew_own_webhook_secret", "test_own_webhook", "send_own_webhook_again"), OWN_MESSAGES),
    **dict.fromkeys(("check_round", "check_round_text", "guess_import"), NOTHING_IS_SAVED),
    "analyse_round_again": "nothing has changed yet; round_analysed follows",
    "invite": "a person who has not agreed yet is nobody's business; member_joined follows",
    "withdraw_invitation": "as above",
    "dismiss_attention_item": "what a coach has seen is between them and the list",
    "take_up_attention_item": "as above",
    "open_calendar_feed": "a secret address, told to whoever opens it alone",
    "revoke_calendar_feed": "as above",
    "ask_for_own_record": "a file for the person alone",
    **dict.fromkeys(("ask_for_player_month", "ask_for_squad_month"), "a file for whoever asked alone"),
}


def _spare(world: World) -> dict[str, str]:
    return dict(zip(("course_id", "tee_id"), world.spare_ids, strict=True))


# Where the usual request changes nothing, another one.
INSTEAD = {
    "delete_course": Call(places=_spare),
    "delete_tee": Call(places=_spare),
    "merge_course": Call(places=_spare, body=lambda world: {"into": world.id(Course)}),
}
# Its invitation is for somebody who is no member yet: test_who_accepts_joins.
ELSEWHERE = {"accept_invitation"}


def everything_to(world: World, owner: Member | None = None) -> Destination:
    """An address that has asked for all it may hear."""
    wanted = [one for one, event in EVENTS.items() if owner is None or event.own]
    with club_scope(world.club.id):
        return Destination.objects.create(
            url="https://all.example", secret="s", happenings=wanted, owner=owner
        )


def sent_to(world: World, destination: Destination) -> list[Delivery]:
    with club_scope(world.club.id):
        return list(Delivery.objects.filter(destination=destination).order_by("id"))


def asked(world: World, name: str) -> Answer:
    """The answer to a valid request for the operation."""
    operation = CHANGES[name]
    if not operation.path:
        route, method = ROUTES["POST graphql"]
        call = call_of(camel(operation.field))
    else:
        route, method = ROUTES[f"{operation.verb} {operation.name}"]
        call = INSTEAD.get(name, CALLS[f"{operation.verb} {operation.name}"])
    return send(world.members[call.role], valid(world, route, method, call))


def faults_of(message: Delivery, document: dict[str, Any]) -> Iterator[str]:
    """What a message is other than the API document says."""
    envelope = {"type": message.happening, "timestamp": message.created_at.isoformat(), "data": message.body}
    post = document["webhooks"][message.happening]["post"]
    schema = post["requestBody"]["content"]["application/json"]["schema"]
    strict = Draft202012Validator(
        schema | {"components": document["components"]}, format_checker=FormatChecker()
    )
    for error in strict.iter_errors(json.loads(json.dumps(envelope))):
        yield f"{message.happening}: {error.message}"
    if examples.RECORDS:
        examples.record_message(message.happening, envelope)


def test_each_happening_is_an_event_of_some_room() -> None:
    assert [one.value for one in Happening if one not in EVENTS] == []


def test_every_change_says_what_it_sends_or_why_it_sends_nothing() -> None:
    declared = {name for name, one in CHANGES.items() if one.sends or one.sends_later}
    assert not declared & set(SILENT)
    assert declared | set(SILENT) == set(CHANGES)


def test_every_kind_of_event_is_declared_once_and_sent_by_an_operation() -> None:
    assert set(EVENTS) == set(Happening)
    sent = {event for one in CHANGES.values() for event in (*one.sends, *one.sends_later)}
    assert {event.happening for event in sent} == set(Happening)


@pytest.mark.parametrize("name", sorted(set(CHANGES) - ELSEWHERE))
def test_what_an_operation_sends(worlds: Worlds, document: dict[str, Any], name: str) -> None:
    world, operation = worlds.own, CHANGES[name]
    with undone():
        told = everything_to(world)
        neighbours = everything_to(worlds.victim)
        with club_scope(world.club.id):
            stranger = factories.make_member(Role.PLAYER, "stranger")
            factories.make_player("Tomas Rehn", stranger)
        own = everything_to(world, world.members[Role.PLAYER])
        others = everything_to(world, stranger)
        answer = asked(world, name)
        messages = sent_to(world, told)
        to_player, to_stranger = sent_to(world, own), sent_to(world, others)
        assert sent_to(worlds.victim, neighbours) == []
    assert answer.status_code < 400 or name in SILENT, answer.text
    declared = {event.happening for event in operation.sends}
    found = {message.happening for message in messages}
    assert found <= declared
    assert bool(found) is bool(declared)
    assert [fault for one in (*messages, *to_player) for fault in faults_of(one, document)] == []
    assert len({(one.happening, json.dumps(one.body)) for one in messages}) == len(messages), "told twice"
    only_theirs(world, to_player)
    assert [one.happening for one in to_stranger if "player" in one.body] == []
    assert world.private not in json.dumps([one.body for one in to_stranger])


def only_theirs(world: World, messages: list[Delivery]) -> None:
    for message in messages:
        assert EVENTS[Happening(message.happening)].own
        player = message.body.get("player")
        assert player is None or player["id"] == world.id(Player), message.happening


def test_who_accepts_joins(worlds: Worlds, document: dict[str, Any]) -> None:
    """Somebody of another club."""
    world = worlds.own
    with undone():
        told = everything_to(world)
        route, method = ROUTES["POST accept-invitation"]
        call = CALLS["POST accept-invitation"]
        answer = send(worlds.victim.members[Role.PLAYER], valid(world, route, method, call))
        messages = sent_to(world, told)
    assert answer.status_code == 201
    assert [one.happening for one in messages] == ["member_joined"]
    assert [fault for one in messages for fault in faults_of(one, document)] == []


Patch = pytest.MonkeyPatch


def _analyse(world: World, _: Patch) -> None:
    analysis.analyse_rounds([world.rows[Round].pk])


def _move_the_index(world: World, _: Patch) -> None:
    PlayerHandicap.objects.filter(player=world.rows[Player]).update(index="30.1")
    recompute.recompute(world.rows[Player].pk)


def _make_a_plan(world: World, patch: Patch) -> None:
    """The last step of it."""
    patch.setattr(plans, "make_next_hole", lambda _: False)
    patch.setattr(plans, "finish", lambda plan: setattr(plan, "state", PlanState.DONE))
    RoundPlan.objects.filter(id=world.id(RoundPlan)).update(state=PlanState.PENDING)
    plans.round_plan(world.id(RoundPlan))


def _read_a_plan(world: World, patch: Patch) -> None:
    patch.setattr(plans, "read_next_hole", lambda _: False)
    patch.setattr(plans, "finish_reading", lambda reading: setattr(reading, "state", PlanState.DONE))
    PlanAfterwards.objects.filter(plan=world.rows[RoundPlan]).update(state=PlanState.PENDING)
    plans.plan_afterwards(world.id(RoundPlan))


def _work_costs_out(world: World, patch: Patch) -> None:
    patch.setattr(plans, "make_next_map", lambda _: False)
    plans.hole_maps(f"{world.rows[Round].tee_set_id}:men")


def _end_an_import(world: World, _: Patch) -> None:
    files.mark_failed(world.rows[Import].pk, "the file broke off")


LATER: dict[Happening, Callable[[World, Patch], None]] = {
    Happening.ROUND_ANALYSED: _analyse,
    Happening.INDEX_CHANGED: _move_the_index,
    Happening.PLAN_ENDED: _make_a_plan,
    Happening.PLAN_READ: _read_a_plan,
    Happening.HOLE_COSTS_MADE: _work_costs_out,
    Happening.IMPORT_ENDED: _end_an_import,
}


def test_every_later_event_has_its_work() -> None:
    later = {event.happening for one in CHANGES.values() for event in one.sends_later}
    at_once = {event.happening for one in CHANGES.values() for event in one.sends}
    assert later - at_once == set(LATER)


@pytest.mark.parametrize("happening", LATER)
def test_what_the_worker_sends(
    worlds: Worlds, document: dict[str, Any], monkeypatch: Patch, happening: Happening
) -> None:
    world = worlds.own
    with undone():
        told, own = everything_to(world), everything_to(world, world.members[Role.PLAYER])
        others = everything_to(world, world.rows[Member])
        with club_scope(world.club.id):
            LATER[happening](world, monkeypatch)
        messages, to_player = sent_to(world, told), sent_to(world, own)
        assert [one for one in sent_to(world, others) if "player" in one.body] == []
    assert happening in {one.happening for one in messages}
    assert [fault for one in messages for fault in faults_of(one, document)] == []
    if happening in {Happening.HOLE_COSTS_MADE, Happening.IMPORT_ENDED}:  # the club's; a manager's import
        assert to_player == []
    else:
        assert happening in {one.happening for one in to_player}
        only_theirs(world, to_player)


def test_the_document_shows_an_example_of_each_message_that_its_schema_allows(
    document: dict[str, Any],
) -> None:
    """Recorded by the tests above with ``UPDATE_EXAMPLES=1``."""
    assert set(document["webhooks"]) == set(Happening.values)
    wrong = []
    for name, path in document["webhooks"].items():
        content = path["post"]["requestBody"]["content"]["application/json"]
        schema = content["schema"] | {"components": document["components"]}
        wrong += [
            f"{name}: {one.message}" for one in Draft202012Validator(schema).iter_errors(content["example"])
        ]
    assert wrong == []


def test_a_player_is_named_in_one_shape_in_every_message(document: dict[str, Any]) -> None:
    messages = [event.message.__name__ for event in EVENTS.values()]
    schemas = document["components"]["schemas"]
    shapes = {
        json.dumps(schemas[name]["properties"]["player"].get("$ref") or schemas[name]["properties"]["player"])
        for name in messages
        if "player" in schemas[name]["properties"]
    }
    assert shapes == {'"#/components/schemas/NamedPlayer"'}
