"""Whoever read a row may say so when they change it, in GraphQL as in REST: held against every mutation that can."""

from __future__ import annotations

import json
from typing import Any

import pytest

from golfstats.doors.graphql.answers import camel
from golfstats.doors.graphql.schema import schema
from golfstats.doors.operations import OPERATIONS
from golfstats.doors.rest.operations import OperationView
from golfstats.ground.clubs.models import Role
from golfstats.ground.operations import Change
from players.people.models import Player
from tests.api.conftest import Worlds, worlds
from tests.api.graphql_calls import ARGUMENTS, document_of
from tests.api.requests import Sent, send, undone, value_of
from tests.api.routes import all_routes, operations
from tests.api.world import World

__all__ = ["worlds"]  # a fixture of theirs that is used here as well

CHANGES = {camel(one.field): one for one in OPERATIONS if isinstance(one, Change) and one.field}
MUTATIONS = schema._schema.mutation_type.fields  # type: ignore[union-attr]  # the schema has mutations
TAKING = sorted(name for name, field in MUTATIONS.items() if "ifMatch" in field.args)
TEXTS = {"editRoundText": "PUT round"}
"""By its name in GraphQL the operation of REST that takes the same as text."""
UNTOLD = {
    "deleteBagWord": "its read tells words only together",
    "deleteNote": "notes are never changed, only written and taken back",
    "recordGuardian": "what a guardian said, kept with its day and who recorded it",
    "revokeCalendarFeed": "addresses are never changed, only handed out and revoked",
    "withdrawCommitteeAction": "decisions are never changed, only made and withdrawn",
}


def operation_of(name: str) -> str:
    return TEXTS.get(name, f"{CHANGES[name].verb} {CHANGES[name].name}")


def tag_told(worlds: Worlds, name: str) -> str:
    """By REST, of the read that tells what the mutation changes."""
    route, _ = operations()[operation_of(name)]
    assert issubclass(route.view, OperationView)
    read = route.view.told_by
    assert read is not None
    path = next(one for one in all_routes() if one.name == read.name and one.is_rest)
    role, variables = ARGUMENTS[name]
    own = worlds.own
    values = {one: value_of(path, own, one) for one in path.parameters}
    if read.about is not None:
        values[read.about.parameter] = str(variables(own)["id"])
    if values.get("tee_id") == own.spare_ids[1]:
        values["course_id"] = own.spare_ids[0]
    answer = send(own.members[role], Sent("GET", path.address(values)))
    assert answer.status_code == 200, answer.text
    return answer.headers["ETag"]


def changed(worlds: Worlds, name: str, tag: str | None) -> dict[str, Any]:
    role, known = ARGUMENTS[name]
    variables = {key: value for key, value in known(worlds.own).items() if key != "ifMatch"}
    if tag is not None:
        variables["ifMatch"] = tag
    body = json.dumps({"query": document_of(name, variables), "variables": variables})
    answer: dict[str, Any] = send(worlds.own.members[role], Sent("POST", "/graphql", body)).json
    return answer


def tag_of(worlds: Worlds, name: str) -> str:
    """By GraphQL itself."""
    role, variables = ARGUMENTS[name]
    asked = {"of": name, "id": variables(worlds.own).get("id")}
    body = json.dumps(
        {"query": "query ($of: GuardedChange!, $id: UUID) { etag(of: $of, id: $id) }", "variables": asked}
    )
    answer = send(worlds.own.members[role], Sent("POST", "/graphql", body)).json
    assert "errors" not in answer, answer
    return str(answer["data"]["etag"])


def refusal(answer: dict[str, Any]) -> tuple[int, str, str]:
    (error,) = answer["errors"]
    told = error["extensions"]
    return told["status"], told["type"], told["etag"]


def test_mutations_take_a_tag_where_rest_does() -> None:
    assert set(TEXTS) <= set(TAKING)
    for name, change in CHANGES.items():
        if change.verb != "POST":
            assert (name in TAKING) != (name in UNTOLD), name


@pytest.mark.parametrize("name", TAKING)
def test_a_change_meant_for_what_was_read_is_made(worlds: Worlds, name: str) -> None:
    tag, own = tag_told(worlds, name), tag_of(worlds, name)
    assert own == tag or tag.startswith(own.rstrip('"') + "."), (
        "a version of its own is the first part of REST's tag"
    )
    for written in (own, tag, tag.strip('"'), "*"):
        with undone():
            assert "errors" not in changed(worlds, name, written), written


def test_a_tag_is_told_to_whom_its_read_is_told(worlds: Worlds) -> None:
    document = "query ($of: GuardedChange!, $id: UUID) { etag(of: $of, id: $id) }"

    def told(world: World, role: Role, of: str, key: str | None) -> Any:
        body = json.dumps({"query": document, "variables": {"of": of, "id": key}})
        answer = send(world.members[role], Sent("POST", "/graphql", body)).json
        return answer["data"]["etag"] or answer["errors"][0]["extensions"]["type"]

    player = str(worlds.own.id(Player))
    assert told(worlds.own, Role.COACH, "changePlayer", player).startswith('"')
    assert told(worlds.victim, Role.MANAGER, "changePlayer", player) == "/problems/not-found"
    assert told(worlds.own, Role.MANAGER, "changePlayer", None) == "/problems/invalid-request"
    assert told(worlds.own, Role.PLAYER, "changePlayer", worlds.own.mate_id) == "/problems/not-found"


@pytest.mark.parametrize("name", TAKING)
def test_one_meant_for_something_else_is_refused(worlds: Worlds, name: str) -> None:
    present = tag_told(worlds, name)
    with undone():
        status, kind, told = refusal(changed(worlds, name, '"0123456789"'))
        assert (status, kind) == (412, "/problems/changed-meanwhile")
        assert present.startswith(told.rstrip('"'))  # a round's own version alone
        assert tag_told(worlds, name) == present


@pytest.mark.parametrize("name", TAKING)
def test_one_that_says_nothing_is_refused_where_rest_refuses_it(worlds: Worlds, name: str) -> None:
    with undone():
        answer = changed(worlds, name, None)
        if not CHANGES[name].version_needed:
            assert "errors" not in answer
            return
        status, kind, told = refusal(answer)
        assert (status, kind) == (428, "/problems/version-needed")
        assert tag_told(worlds, name).startswith(told.rstrip('"'))


@pytest.mark.parametrize("name", [name for name in TAKING if not name.startswith(("delete", "giveUp"))])
def test_the_second_of_two_who_read_the_same_is_refused(worlds: Worlds, name: str) -> None:
    with undone():
        read = tag_told(worlds, name)
        assert "errors" not in changed(worlds, name, read)
        if tag_told(worlds, name) != read:
            assert refusal(changed(worlds, name, read))[0] == 412
        else:
            assert name == "dismissWarnings", "the round has no warnings to dismiss"
