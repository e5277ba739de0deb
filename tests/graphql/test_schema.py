"""Rules that every type of the schema keeps, and the schema file that clients read."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import is_dataclass, replace
from typing import Any, get_type_hints

from graphql import (
    GraphQLEnumType,
    GraphQLField,
    GraphQLList,
    GraphQLNonNull,
    GraphQLObjectType,
    get_named_type,
)

from golfstats.doors.graphql.answers import TYPES, camel
from golfstats.doors.graphql.operations import Declared
from golfstats.doors.graphql.rows import ClubType
from golfstats.doors.graphql.schema import CHARGES, schema
from golfstats.doors.operations import OPERATIONS
from golfstats.ground.answers import sets_within
from golfstats.ground.deprecation import Deprecation
from golfstats.ground.walls.owned import ClubOwned
from tests.rows import owned_models

ROW_TYPES = {kind.__name__: kind for kind in ClubType.__subclasses__()}

NOT_SHOWN = {
    "AnsweredRequest": "answers kept for repeated requests",
    "AttentionDismissal": "seen as items that are put aside",
    "CalendarFeed": "secret addresses; handed out by REST alone",
    "ClubBenchmark": "seen as benchmarks",
    "Hole": "told as a hole of its tee",
    "Rating": "told as a rating of its tee",
    "TeeSet": "told as a tee of its course",
    "GreenWorkChange": "told as the history of green work",
    "ConditionEffect": "fitted parameters; seen as what they come to",
    "Invitation": "secret links; handed out by REST alone",
    "PlayerHandicap": "told as the player's handicap",
    "HoleMap": "told as the costs of a tee's holes",
    "HoleShape": "told as part of a tee's shapes, by REST alone",
    "RememberedAnswer": "finished answers; told as the answers that they are",
    "RecordExport": "told as the state of one's own file",
    "Consent": "told as the consents of a player",
    "GolfMark": "nothing to tell: whether remembered answers still hold",
    "GolfRead": "told as the readers of a player",
    "RoundChange": "told as changes of rounds",
    "Forecast": "seen as how often forecasts were right",
    "HealingForecast": "seen as how often forecasts were right, and as the chance beside the day",
    "PlanAfterwards": "told as what came of a plan",
    "PlanHole": "told as a part of its plan",
    "PlayedHole": "told as the round's holes",
    "PlayerReport": "seen as priorities and attention",
    "RecoveryTime": "seen in the condition of a course",
    "RoundFigures": "told as the round's figures",
    "RoundNote": "told as the round's condition note",
    "Shot": "told as the hole's shots",
    "ShotFigures": "told as the round's shot figures",
    "SquadCoach": "told as the squad's coaches",
    "SquadPlayer": "told as the squad's players",
}


def fields() -> dict[str, GraphQLField]:
    return {
        f"{kind.name}.{name}": field
        for kind in schema._schema.type_map.values()
        if isinstance(kind, GraphQLObjectType) and not kind.name.startswith("__")
        for name, field in kind.fields.items()
    }


def is_list_of_objects(field: GraphQLField) -> bool:
    kind = field.type.of_type if isinstance(field.type, GraphQLNonNull) else field.type
    return isinstance(kind, GraphQLList) and isinstance(get_named_type(kind), GraphQLObjectType)


def test_every_list_is_a_connection_or_short_for_a_written_reason() -> None:
    """Trap: a plain list gives every row there is. Lists outside connections are charged by their length."""
    lists = {place for place, field in fields().items() if is_list_of_objects(field)}
    bare = {place for place in lists if not place.endswith("Connection.edges")}
    assert bare == set(CHARGES.lists)
    assert all(length > 0 and reason for length, reason in CHARGES.lists.values())


def test_every_connection_is_paged() -> None:
    for place, field in fields().items():
        if get_named_type(field.type).name.endswith("Connection"):
            assert {"first", "after"} <= set(field.args), place


def test_a_field_that_is_to_go_says_until_when_and_what_instead() -> None:
    going = next(one for one in OPERATIONS if one.field == "benchmarks")
    farewell = Deprecation(dt.date(2026, 1, 1), dt.date(2027, 1, 31), "club")
    query = Declared([replace(going, deprecation=farewell)]).query
    assert query["benchmarks"].deprecation_reason == "Goes on 2027-01-31: ask club."
    told = "deprecated" in schema.as_str()
    assert told == any(one.deprecation for one in OPERATIONS if one.field)


def test_charges_are_for_fields_that_exist() -> None:
    assert set(CHARGES.computed) <= set(fields())


def test_values_of_closed_sets_say_what_they_mean() -> None:
    """Those that are enumerations here, and text of which only some words are allowed."""
    kinds = [one for one in schema._schema.type_map.values() if isinstance(one, GraphQLEnumType)]
    silent = [
        f"{kind.name}.{name}"
        for kind in kinds
        if not kind.name.startswith("__")
        for name, value in kind.values.items()
        if not value.description
    ]
    assert silent == []
    told = [*fields().values(), *schema._schema.type_map["ShotInput"].fields.values()]  # type: ignore[attr-defined]  # an input
    lists = [one.description or "" for one in told]
    for words in (["tee", "fairway", "green"], ["calm", "from_left"], ["higher", "lower"], ["yd", "ft", "m"]):
        assert any(all(f"- `{word}`: " in text for word in words) for text in lists), words
    described = {name: field.description or "" for name, field in fields().items()}
    for name, hints in declared_text():
        for one in sets_within(hints):
            assert all(
                f"- `{word}`: {meaning}" in described[name] for word, meaning in one.meanings.items()
            ), name


def declared_text() -> Iterator[tuple[str, Any]]:
    """Each field of an answer that the schema has, and its type with marks."""
    for answer in TYPES._made:
        if isinstance(answer, type) and is_dataclass(answer):
            for name, hint in get_type_hints(answer, include_extras=True).items():
                place = f"{answer.__name__}.{camel(name)}"
                if place in fields():
                    yield place, hint


def test_every_type_of_a_clubs_rows_has_the_scoped_base() -> None:
    """Trap: a type without it would show whatever row a resolver reached."""
    shown = {kind.model for kind in ROW_TYPES.values()}
    assert all(issubclass(model, ClubOwned) for model in shown)
    missing = {model.__name__ for model in owned_models() if model not in shown}
    assert missing == set(NOT_SHOWN)
    for name in ROW_TYPES:
        assert schema._schema.type_map[name].is_type_of is not None, name
