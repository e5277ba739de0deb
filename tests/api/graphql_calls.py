"""A valid document for every root field of the GraphQL schema, asking for as much as it gives."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

import graphql
from graphql import GraphQLInterfaceType, GraphQLObjectType, GraphQLSchema

from courses.calendars.models import CalendarFeed, Event
from courses.greens.models import GreenReading, GreenWork
from courses.layout.models import Course, PlayingConditions, TeeSet
from golfstats.doors.graphql.answers import camel as camel_name
from golfstats.doors.graphql.schema import schema as served
from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.webhooks.models import Destination
from players.coaching.models import Goal, PracticeNote
from players.files.models import Import
from players.handicap.models import CommitteeAction
from players.months.models import MonthReport
from players.people.models import Player, Squad
from players.plans.models import RoundPlan
from players.rounds import notation
from players.rounds.input import RoundInput
from players.rounds.models import BagWord, Round, RoundInPlay
from tests.api.calls import Call, a_round, a_start, holes, scorecard
from tests.api.world import FIRST_DAY, World

DEPTH = 4
"""Deep enough for the shots of a round."""

Variables = Callable[[World], dict[str, Any]]


def by_id(model: type[Any]) -> Variables:
    return lambda world: {"id": world.id(model)}


def any_round(world: World) -> dict[str, Any]:
    """To be changed as it is; without saying so it would be refused."""
    return {"id": world.id(Round), "ifMatch": "*"}


def camel(value: Any) -> Any:
    """The value with GraphQL's spelling of names."""
    if isinstance(value, list):
        return [camel(one) for one in value]
    if isinstance(value, dict):
        return {camel_name(name): camel(one) for name, one in value.items()}
    return value


# By root field: who may, and the variables that it is asked with.
ARGUMENTS: dict[str, tuple[Role, Variables]] = {
    "analyseRoundAgain": (Role.COACH, by_id(Round)),
    "aroundTheGreen": (Role.MANAGER, by_id(Course)),
    "underAgePlayers": (Role.MANAGER, lambda world: {}),
    "recordGuardian": (
        Role.MANAGER,
        lambda world: {"id": world.id(Player), "given": {"underAge": True, "consentBy": "A. Guardian"}},
    ),
    "erasePlayer": (
        Role.MANAGER,
        lambda world: {"id": world.mate_id, "given": {"name": f"{world.private} reserve {FIRST_DAY}"}},
    ),
    "playerConsents": (Role.PLAYER, by_id(Player)),
    "playerReaders": (Role.PLAYER, by_id(Player)),
    "ownRecord": (Role.PLAYER, lambda world: {}),
    "askForOwnRecord": (Role.PLAYER, lambda world: {}),
    "clubs": (Role.PLAYER, lambda world: {}),
    "conditionEffect": (Role.MANAGER, lambda world: {}),
    "contextEffects": (Role.MANAGER, lambda world: {}),
    "correctRound": (Role.PLAYER, lambda world: {**any_round(world), "given": {"ball": "soft"}}),
    "checkRound": (Role.COACH, lambda world: {"given": camel(a_round(world))}),
    "checkRoundText": (Role.COACH, lambda world: {"given": {"notation": a_text(world)}}),
    "dismissWarnings": (Role.PLAYER, lambda world: {"id": world.id(Round), "given": {"warnings": []}}),
    "addBagWord": (
        Role.PLAYER,
        lambda world: {"id": world.id(Player), "given": {"word": "Old Faithful", "club": "7i"}},
    ),
    "deleteBagWord": (Role.PLAYER, by_id(BagWord)),
    "postRoundText": (Role.COACH, lambda world: {"given": {"notation": a_text(world)}}),
    "editRoundText": (
        Role.PLAYER,
        lambda world: {**any_round(world), "given": {"notation": a_text(world)}},
    ),
    "deleteRound": (Role.PLAYER, any_round),
    "editRound": (Role.PLAYER, lambda world: {**any_round(world), "given": camel(a_round(world))}),
    "costByGreen": (Role.MANAGER, by_id(Course)),
    "coursePicture": (Role.MANAGER, lambda world: {"id": world.id(Course), "picture": "season"}),
    "etag": (Role.MANAGER, lambda world: {"of": "changePlayer", "id": world.id(Player)}),
    "expectedPutts": (Role.PLAYER, lambda world: {"id": world.id(Course), "on": "2026-03-01"}),
    "greenWorkCost": (Role.MANAGER, by_id(GreenWork)),
    "handicapsOnCourse": (
        Role.COACH,
        lambda world: {"id": world.id(Course), "player": world.id(Player)},
    ),
    "import": (Role.MANAGER, by_id(Import)),
    "imports": (Role.MANAGER, lambda world: {}),
    "members": (Role.MANAGER, lambda world: {}),
    "planner": (
        Role.MANAGER,
        lambda world: {
            "id": world.id(Course),
            "kind": "solid_tine",
            "from": "2026-09-01",
            "to": "2026-09-30",
        },
    ),
    "webhookDeliveries": (Role.MANAGER, lambda world: {"destination": world.id(Destination)}),
    "webhooks": (Role.MANAGER, lambda world: {}),
    "ownWebhooks": (Role.PLAYER, lambda world: {}),
    "ownWebhookDeliveries": (Role.PLAYER, lambda world: {}),
    "addPlayer": (
        Role.MANAGER,
        lambda world: {"given": {"name": "Rosa", "ratingGender": "women", "member": world.id(Member)}},
    ),
    "addSquad": (
        Role.MANAGER,
        lambda world: {
            "given": {
                "name": "Second team",
                "players": [world.id(Player)],
                "coaches": [world.member_id(Role.COACH)],
            }
        },
    ),
    "changePlayer": (Role.MANAGER, lambda world: {"id": world.id(Player), "given": {"name": "New name"}}),
    "changeSquad": (Role.MANAGER, lambda world: {"id": world.id(Squad), "given": {"name": "New name"}}),
    "decideCommitteeAction": (
        Role.MANAGER,
        lambda world: {
            "id": world.id(Player),
            "given": {
                "kind": "reset_low_index",
                "effectiveOn": "2026-07-01",
                "reason": "Played from the wrong tees.",
            },
        },
    ),
    "withdrawCommitteeAction": (
        Role.MANAGER,
        lambda world: {"id": world.id(CommitteeAction)},
    ),
    "deleteSquad": (Role.MANAGER, by_id(Squad)),
    "addCourse": (Role.MANAGER, lambda world: {"given": {"name": "Hill course"}}),
    "changeCourse": (Role.MANAGER, lambda world: {"id": world.id(Course), "given": {"grass": "fescue"}}),
    "deleteCourse": (Role.MANAGER, lambda world: {"id": world.spare_ids[0]}),
    "enterScorecard": (Role.PLAYER, lambda world: {"given": camel(scorecard(world))}),
    "mergeCourse": (
        Role.MANAGER,
        lambda world: {
            "id": world.spare_ids[0],
            "given": {"into": world.id(Course), "tee": world.id(TeeSet)},
        },
    ),
    "putScorecard": (
        Role.MANAGER,
        lambda world: {"id": world.id(Course), "given": camel(scorecard(world))},
    ),
    "deleteTee": (Role.MANAGER, lambda world: {"id": world.spare_ids[1]}),
    "addTee": (Role.MANAGER, lambda world: {"id": world.id(Course), "given": {"name": "Red"}}),
    "renameTee": (Role.MANAGER, lambda world: {"id": world.id(TeeSet), "given": {"name": "Red"}}),
    "tee": (Role.PLAYER, by_id(TeeSet)),
    "setHoles": (Role.MANAGER, lambda world: {"id": world.id(TeeSet), "given": camel(holes(world))}),
    "setRatings": (
        Role.MANAGER,
        lambda world: {
            "id": world.id(TeeSet),
            "given": {
                "ratings": [
                    {
                        "gender": "women",
                        "section": "EIGHTEEN",
                        "courseRating": "71.9",
                        "slopeRating": 127,
                        "par": 72,
                    }
                ]
            },
        },
    ),
    "addPlayingConditionsDay": (
        Role.MANAGER,
        lambda world: {
            "id": world.id(Course),
            "given": {"playedOn": "2026-07-01", "pcc": 1, "origin": "the union's list"},
        },
    ),
    "changePlayingConditionsDay": (
        Role.MANAGER,
        lambda world: {"id": world.id(PlayingConditions), "given": {"pcc": 2}},
    ),
    "deletePlayingConditionsDay": (Role.MANAGER, by_id(PlayingConditions)),
    "addGreenWork": (
        Role.GREENKEEPER,
        lambda world: {
            "id": world.id(Course),
            "given": {"kind": "solid_tine", "startsOn": "2026-08-24"},
        },
    ),
    "greenWork": (Role.PLAYER, by_id(GreenWork)),
    "changeGreenWork": (
        Role.GREENKEEPER,
        lambda world: {
            "id": world.id(GreenWork),
            "given": {"kind": "rolling", "startsOn": "2026-08-24", "endsOn": "2026-08-24"},
        },
    ),
    "deleteGreenWork": (Role.GREENKEEPER, by_id(GreenWork)),
    "addGreenReading": (
        Role.GREENKEEPER,
        lambda world: {
            "id": world.id(Course),
            "given": {"measuredAt": "2026-08-01T07:00:00Z", "hole": 7, "firmnessG": 91.0},
        },
    ),
    "changeGreenReading": (
        Role.GREENKEEPER,
        lambda world: {"id": world.id(GreenReading), "given": {"bobbleScore": 3}},
    ),
    "deleteGreenReading": (Role.GREENKEEPER, by_id(GreenReading)),
    "addEvent": (
        Role.GREENKEEPER,
        lambda world: {"id": world.id(Course), "given": {"name": "Cup", "startsOn": "2026-08-01"}},
    ),
    "changeEvent": (
        Role.GREENKEEPER,
        lambda world: {"id": world.id(Event), "given": {"name": "Summer cup"}},
    ),
    "deleteEvent": (Role.GREENKEEPER, by_id(Event)),
    "openCalendarFeed": (Role.GREENKEEPER, by_id(Course)),
    "revokeCalendarFeed": (Role.GREENKEEPER, by_id(CalendarFeed)),
    "attention": (Role.COACH, lambda world: {}),
    "forecasts": (Role.PLAYER, lambda world: {}),
    "trust": (Role.PLAYER, lambda world: {}),
    "benchmarks": (Role.PLAYER, lambda world: {}),
    "closeGoal": (Role.COACH, by_id(Goal)),
    "club": (Role.PLAYER, lambda world: {}),
    "compare": (Role.COACH, lambda world: {"players": [world.id(Player), world.mate_id]}),
    "course": (Role.PLAYER, by_id(Course)),
    "courses": (Role.PLAYER, lambda world: {}),
    "askForPlan": (
        Role.PLAYER,
        lambda world: {
            "id": world.id(Player),
            "given": {"tee": world.id(TeeSet), "plannedFor": "2026-08-01"},
        },
    ),
    "deletePlan": (Role.PLAYER, by_id(RoundPlan)),
    "plan": (Role.COACH, by_id(RoundPlan)),
    "askForPlanAfterwards": (Role.PLAYER, by_id(RoundPlan)),
    "planAfterwards": (Role.COACH, by_id(RoundPlan)),
    "planCard": (Role.COACH, by_id(RoundPlan)),
    "playerBag": (Role.PLAYER, by_id(Player)),
    "askForPlayerMonth": (
        Role.PLAYER,
        lambda world: {"id": world.id(Player), "given": {"month": "2026-07-01"}},
    ),
    "askForSquadMonth": (
        Role.COACH,
        lambda world: {"id": world.id(Squad), "given": {"month": "2026-07-01"}},
    ),
    "monthReport": (Role.PLAYER, by_id(MonthReport)),
    "monthReports": (Role.PLAYER, lambda world: {}),
    "playerPicture": (Role.COACH, lambda world: {"id": world.id(Player), "name": "parts"}),
    "wholePlan": (Role.PLAYER, by_id(RoundPlan)),
    "askForHoleCosts": (Role.MANAGER, by_id(TeeSet)),
    "holeCosts": (Role.MANAGER, by_id(TeeSet)),
    "roundsInPlay": (Role.PLAYER, lambda world: {}),
    "roundInPlay": (Role.COACH, by_id(RoundInPlay)),
    "startRound": (Role.PLAYER, lambda world: {"given": camel(a_start(world))}),
    "sendHole": (
        Role.PLAYER,
        lambda world: {
            "id": world.id(RoundInPlay),
            "given": {"sequence": 10, "hole": {"number": 1, "score": 6}},
        },
    ),
    "finishRound": (Role.PLAYER, by_id(RoundInPlay)),
    "giveUpRound": (Role.PLAYER, by_id(RoundInPlay)),
    "adviceInPlay": (
        Role.PLAYER,
        lambda world: {"id": world.id(RoundInPlay), "hole": 3, "lie": "rough", "distance": 140.0},
    ),
    "greensInPlay": (Role.PLAYER, by_id(RoundInPlay)),
    "deleteNote": (Role.MANAGER, by_id(PracticeNote)),
    "dismissAttention": (
        Role.COACH,
        lambda world: {"given": {"player": world.id(Player), "item": "no_round"}},
    ),
    "takeUpAttention": (
        Role.COACH,
        lambda world: {"given": {"player": world.id(Player), "item": "no_round"}},
    ),
    "greenWorkTypes": (Role.PLAYER, lambda world: {}),
    "me": (Role.PLAYER, lambda world: {}),
    "player": (Role.COACH, by_id(Player)),
    "playerMisses": (Role.COACH, by_id(Player)),
    "goal": (Role.COACH, by_id(Goal)),
    "playerPriorities": (Role.COACH, by_id(Player)),
    "players": (Role.COACH, lambda world: {}),
    "postRound": (Role.COACH, lambda world: {"given": camel(a_round(world))}),
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
            "id": world.id(Player),
            "given": {"figure": "gained.total", "target": 0.5, "dueOn": "2099-01-01"},
        },
    ),
    "squad": (Role.COACH, by_id(Squad)),
    "squadConditionAdjusted": (Role.COACH, lambda world: {"id": world.id(Squad), "last": 5}),
    "squadTable": (Role.COACH, by_id(Squad)),
    "squads": (Role.COACH, lambda world: {}),
    "writeNote": (
        Role.COACH,
        lambda world: {
            "id": world.id(Player),
            "given": {"practisedOn": "2026-03-02", "text": "Long putts"},
        },
    ),
}


def a_text(world: World) -> str:
    """A round in the compact notation."""
    return notation.write(RoundInput.model_validate(a_round(world)))


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
    return f"{kind} {f'({head}) ' if head else ''}{{ {field} {_selection(root.fields[name].type, DEPTH if kind == 'query' else 1)} }}"


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
