"""Every operation of the API, attacked by members of another club and by members of the same club."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest

from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.walls.scope import club_scope
from players.people.models import Player
from tests.api import leaky
from tests.api.attack import Target, attack, attack_by, ids_of
from tests.api.calls import CALLS, Call, a_round, player
from tests.api.conftest import Worlds
from tests.api.graphql_calls import ARGUMENTS, call_of, root_fields
from tests.api.requests import UUID, Sent, send, undone
from tests.api.routes import Route, operations

TARGETS = operations()
GRAPHQL = TARGETS.pop("POST graphql")


def operation_of(document: dict[str, Any], route: Route, method: str) -> dict[str, Any]:
    found = document["paths"].get(route.openapi_path(), {}).get(method.lower(), {})
    assert isinstance(found, dict)
    return found


def target_of(document: dict[str, Any], name: str) -> Target:
    route, method = TARGETS[name]
    parameters = operation_of(document, route, method).get("parameters", [])
    return Target(route, method, CALLS[name], [one for one in parameters if "name" in one])


def test_every_operation_is_attacked() -> None:
    """A new one needs an entry in ``tests.api.calls``; an id in its path, one in ``tests.api.routes``."""
    assert set(CALLS) == set(TARGETS)
    assert set(ARGUMENTS) == set(root_fields())


@pytest.mark.parametrize("name", sorted(TARGETS))
def test_other_club(worlds: Worlds, document: dict[str, Any], name: str) -> None:
    assert attack(target_of(document, name), worlds.own, worlds.victim) == []


@pytest.mark.parametrize("field", sorted(root_fields()))
def test_other_club_by_graphql(worlds: Worlds, field: str) -> None:
    assert attack(Target(*GRAPHQL, call_of(field), []), worlds.own, worlds.victim) == []


@pytest.mark.parametrize("name", sorted(name for name, call in CALLS.items() if call.body))
def test_every_id_of_a_body_is_attacked(worlds: Worlds, document: dict[str, Any], name: str) -> None:
    """Each field that the API document calls a UUID holds one in the valid request of the table."""
    operation = operation_of(document, *TARGETS[name])
    described = {
        field
        for content in operation.get("requestBody", {}).get("content", {}).values()
        for field in ids_described(content["schema"], document)
    }
    build = CALLS[name].body
    assert build is not None
    assert described <= ids_given(build(worlds.own))


def ids_described(schema: Any, document: dict[str, Any], path: str = "") -> Iterator[str]:
    """Paths of the fields with the format "uuid", whatever they are nested in."""
    if isinstance(schema, list):
        for one in schema:
            yield from ids_described(one, document, path)
    if not isinstance(schema, dict):
        return
    if "$ref" in schema:
        name = schema["$ref"].rpartition("/")[2]
        yield from ids_described(document["components"]["schemas"][name], document, path)
    if schema.get("format") == "uuid":
        yield path
    for part in ("items", "anyOf", "allOf", "oneOf"):
        yield from ids_described(schema.get(part), document, path)
    for name, inner in schema.get("properties", {}).items():
        yield from ids_described(inner, document, f"{path}/{name}")


def ids_given(body: Any, path: str = "") -> set[str]:
    if isinstance(body, dict):
        return {found for name, one in body.items() for found in ids_given(one, f"{path}/{name}")}
    if isinstance(body, list):
        return {found for one in body for found in ids_given(one, path)}
    return {path} if isinstance(body, str) and UUID.fullmatch(body) else set()


def test_a_person_of_both_clubs_does_not_mix_them(worlds: Worlds, document: dict[str, Any]) -> None:
    """The header names one club; the rows of the other do not exist in it, whoever else he is there."""
    with undone():
        both = worlds.own.members[Role.MANAGER]
        with club_scope(worlds.victim.club.id):
            Member.objects.create(user=both.user, role=Role.MANAGER, name="Both")
        found = [
            fault
            for name in sorted(set(TARGETS) - {"GET calendar"})  # signed in by its address alone
            for fault in attack_by(
                [both], target_of(document, name), worlds.own, worlds.victim, naming_the_club=False
            )
        ]
        without = send(both, Sent("GET", "/api/v1/club", headers={"Club": ""}))
    assert found == []
    assert (without.status_code, without.json["type"]) == (400, "/problems/club-not-chosen")


def test_names_of_another_club(worlds: Worlds) -> None:
    """A round may name player, course and tee by their names instead of ids."""
    names = {"player": "player", "course": "course", "tee": "tee"}
    for changed in [[one] for one in names] + [list(names)]:
        body = a_round(worlds.own) | {one: f"{worlds.victim.text} {names[one]}" for one in changed}
        sent = Sent("POST", "/api/v1/rounds", json.dumps(body))
        for member in worlds.own.members.values():
            with undone():
                answer = send(member, sent)
            assert answer.status_code in (403, 422)
            codes = {fault["code"] for fault in answer.json.get("errors", [])}
            assert all(code.startswith("no_such") for code in codes)
            assert not set(UUID.findall(answer.text)) & ids_of(worlds.victim)


class TestCanary:
    """The attack finds each kind of fault where there is one, and none where there is none."""

    @pytest.fixture(autouse=True)
    def faulty_service(self, worlds: Worlds, settings: Any) -> None:
        settings.ROOT_URLCONF = "tests.api.leaky"
        leaky.victims[:] = [worlds.victim]

    def attacked(self, worlds: Worlds, view: Any, method: str) -> list[str]:
        route = Route(view.__name__, leaky.address(view), view, (method,))
        call = Call(body=player if method == "POST" else None)
        return attack(Target(route, method, call, []), worlds.own, worlds.victim)

    @pytest.mark.parametrize("fault", leaky.FAULTY)
    def test_fault_is_found(self, worlds: Worlds, fault: str) -> None:
        found = self.attacked(worlds, *leaky.FAULTY[fault])
        words = fault.partition(" in a ")[0]
        assert any(words in one for one in found), found

    def test_none_is_made_up(self, worlds: Worlds) -> None:
        assert self.attacked(worlds, leaky.Sound, "GET") == []

    def test_a_missing_id_in_a_body_is_noticed(self, worlds: Worlds) -> None:
        schema = {"properties": {"holes": {"items": {"properties": {"green": {"format": "uuid"}}}}}}
        assert set(ids_described(schema, {})) == {"/holes/green"}
        assert ids_given({"holes": [{"green": worlds.own.id(Player)}]}) == {"/holes/green"}
        assert ids_given({"holes": [{"green": "7"}]}) == set()
