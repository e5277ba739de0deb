"""Every operation of the API, attacked by members of another club and by members of the same club."""

from __future__ import annotations

from typing import Any

import pytest

from tests.api.attack import Target, attack
from tests.api.calls import CALLS
from tests.api.conftest import Worlds
from tests.api.graphql_calls import ARGUMENTS, call_of, root_fields
from tests.api.routes import Route, operations

TARGETS = operations()
GRAPHQL = TARGETS.pop("POST graphql")


def parameters_of(document: dict[str, Any], route: Route, method: str) -> list[dict[str, Any]]:
    operation = document["paths"].get(route.openapi_path(), {}).get(method.lower(), {})
    return [one for one in operation.get("parameters", []) if "name" in one]


def test_every_operation_is_attacked() -> None:
    assert set(CALLS) == set(TARGETS)
    assert set(ARGUMENTS) == set(root_fields())


@pytest.mark.parametrize("name", sorted(TARGETS))
def test_other_club(worlds: Worlds, document: dict[str, Any], name: str) -> None:
    route, method = TARGETS[name]
    target = Target(route, method, CALLS[name], parameters_of(document, route, method))
    assert attack(target, worlds.own, worlds.victim) == []


@pytest.mark.parametrize("field", sorted(root_fields()))
def test_other_club_by_graphql(worlds: Worlds, field: str) -> None:
    assert attack(Target(*GRAPHQL, call_of(field), []), worlds.own, worlds.victim) == []
