"""A valid document for every root field of the GraphQL schema, asking for as much as it gives."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

import graphql
from graphql import GraphQLInterfaceType, GraphQLObjectType, GraphQLSchema

from courses.models import Course, GreenWork, TeeSet
from golfstats.clubs.models import Role
from golfstats.schema import schema as served
from golfstats.webhooks.models import Destination
from players.models import Goal, Import, Player, PracticeNote, Round, Squad
from tests.api.calls import Call, a_round
from tests.api.world import World

DEPTH = 4
"""Deep enough for the shots of a round."""

Variables = Callable[[World], dict[str, Any]]


def by_id(model: type[Any]) -> Variables:
    return lambda world: {"id": world.id(model)}


# By root field: who may, and the variables that it is asked with.
ARGUMENTS: dict[str, tuple[Role, Variables]] = {
    "analyseRoundAgain": (Role.COACH, by_id(Round)),
    "aroundTheGreen": (Role.MANAGER, lambda world: {"course": world.id(Course)}),
    "clubs": (Role.PLAYER, lambda world: {}),
    "conditionEffect": (Role.MANAGER, lambda world: {}),
    "contextEffects": (Role.MANAGER, lambda world: {}),
    "deleteRound": (Role.PLAYER, by_id(Round)),
    "editRound": (Role.PLAYER, lambda world: {"id": world.id(Round), "round": a_round(world)}),
    "expectedPutts": (Role.PLAYER, lambda world: {"course": world.id(Course), "on": "2026-03-01"}),
    "greenWorkCost": (Role.MANAGER, by_id(GreenWork)),
    "greenWorkHistory": (Role.MANAGER, by_id(GreenWork)),
    "handicapTargets": (Role.COACH, lambda world: {"player": world.id(Player), "tee": world.id(TeeSet)}),
    "handicapsOnCourse": (
        Role.COACH,
        lambda world: {"course": world.id(Course), "player": world.id(Player)},
    ),
    "import": (Role.MANAGER, by_id(Import)),
    "imports": (Role.MANAGER, lambda world: {}),
    "members": (Role.MANAGER, lambda world: {}),
    "planner": (
        Role.MANAGER,
        lambda world: {
            "course": world.id(Course),
            "kind": "solid_tine",
            "from": "2026-09-01",
            "to": "2026-09-30",
        },
    ),
    "webhookDeliveries": (Role.MANAGER, lambda world: {"destination": world.id(Destination)}),
    "webhooks": (Role.MANAGER, lambda world: {}),
    "addGreenWork": (
        Role.GREENKEEPER,
        lambda world: {
            "courseId": world.id(Course),
            "work": {"kind": "solid_tine", "startsOn": "2026-08-24"},
        },
    ),
    "attention": (Role.COACH, lambda world: {}),
    "benchmarks": (Role.PLAYER, lambda world: {}),
    "changeGreenWork": (
        Role.GREENKEEPER,
        lambda world: {
            "id": world.id(GreenWork),
            "changes": {"kind": "rolling", "startsOn": "2026-08-24", "endsOn": "2026-08-24"},
        },
    ),
    "closeGoal": (Role.COACH, by_id(Goal)),
    "club": (Role.PLAYER, lambda world: {}),
    "compare": (Role.COACH, lambda world: {"players": [world.id(Player), world.mate_id]}),
    "course": (Role.PLAYER, by_id(Course)),
    "courses": (Role.PLAYER, lambda world: {}),
    "deleteNote": (Role.MANAGER, by_id(PracticeNote)),
    "dismissAttention": (Role.COACH, lambda world: {"player": world.id(Player), "item": "no_round"}),
    "greenWorkTypes": (Role.PLAYER, lambda world: {}),
    "me": (Role.PLAYER, lambda world: {}),
    "player": (Role.COACH, by_id(Player)),
    "playerMisses": (Role.COACH, by_id(Player)),
    "playerPriorities": (Role.COACH, by_id(Player)),
    "players": (Role.COACH, lambda world: {}),
    "postRound": (Role.COACH, lambda world: {"round": a_round(world)}),
    "round": (Role.PLAYER, by_id(Round)),
    "roundAnalysis": (Role.PLAYER, by_id(Round)),
    "rounds": (
        Role.PLAYER,
        lambda world: {
            "player": world.id(Player),
            "course": world.id(Course),
            "tee": world.id(TeeSet),
        },
    ),
    "setGoal": (
        Role.COACH,
        lambda world: {
            "player": world.id(Player),
            "goal": {"figure": "gained.total", "target": 0.5, "dueOn": "2099-01-01"},
        },
    ),
    "squad": (Role.COACH, by_id(Squad)),
    "squadConditionAdjusted": (Role.COACH, lambda world: {"id": world.id(Squad), "last": 5}),
    "squadLeaders": (Role.COACH, lambda world: {"id": world.id(Squad), "key": "gained.total"}),
    "squadTable": (Role.COACH, by_id(Squad)),
    "squads": (Role.COACH, lambda world: {}),
    "writeNote": (
        Role.COACH,
        lambda world: {
            "player": world.id(Player),
            "note": {"practisedOn": "2026-03-02", "text": "Long putts"},
        },
    ),
}


@cache
def _schema() -> GraphQLSchema:
    return graphql.build_schema(served.as_str())


def root_fields() -> dict[str, str]:
    """``query`` or ``mutation`` by field."""
    schema = _schema()
    kinds = {"query": schema.query_type, "mutation": schema.mutation_type}
    return {name: kind for kind, root in kinds.items() if root for name in root.fields}


def call_of(name: str) -> Call:
    role, variables = ARGUMENTS[name]
    return Call(
        role,
        lambda world: {"query": document_of(name, variables(world)), "variables": variables(world)},
        status=200,
        says_no=lambda answer: "errors" in answer or _empty(answer["data"][name]),
    )


def _empty(found: Any) -> bool:
    return found is None or (isinstance(found, dict) and found.get("edges") == [])


def document_of(name: str, variables: dict[str, Any]) -> str:
    """The document that asks this field with these variables for everything it has."""
    kind = root_fields()[name]
    schema = _schema()
    root = schema.query_type if kind == "query" else schema.mutation_type
    assert root is not None
    declared = {argument: str(root.fields[name].args[argument].type) for argument in variables}
    head = ", ".join(f"${argument}: {type_}" for argument, type_ in declared.items())
    given = ", ".join(f"{argument}: ${argument}" for argument in declared)
    if "first" in root.fields[name].args:
        given = f"first: 2, {given}".removesuffix(", ")
    field = f"{name}({given})" if given else name
    return f"{kind} {f'({head}) ' if head else ''}{{ {field} {_selection(root.fields[name].type, DEPTH)} }}"


def _selection(type_: Any, depth: int) -> str:
    """Every scalar, and what is below, as far as the depth goes; lists of pages only once."""
    named = graphql.get_named_type(type_)
    if not isinstance(named, GraphQLObjectType | GraphQLInterfaceType):
        return ""
    parts = []
    for name, field in named.fields.items():
        below = graphql.get_named_type(field.type)
        leaf = graphql.is_leaf_type(below)
        needs = any(graphql.is_required_argument(argument) for argument in field.args.values())
        if needs or (not leaf and (depth == 0 or (below.name.endswith("Connection") and depth < DEPTH))):
            continue
        arguments = "(first: 2)" if "first" in field.args else ""
        inner = _selection(field.type, depth - (0 if name in ("edges", "node") else 1))
        if leaf or inner:
            parts.append(f"{name}{arguments} {inner}".strip())
    return f"{{ {' '.join(parts)} }}" if parts else ""
