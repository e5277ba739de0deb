"""Rules that every type of the schema keeps, and the schema file that clients read."""

from __future__ import annotations

import os
from pathlib import Path

from graphql import GraphQLField, GraphQLList, GraphQLNonNull, GraphQLObjectType, get_named_type

import golfstats
from golfstats.clubs.owned import ClubOwned
from golfstats.graphql.rows import ClubType
from golfstats.schema import CHARGES, schema
from tests.rows import owned_models

SCHEMA_FILE = Path(golfstats.__file__).parent / "schema.graphql"
ROW_TYPES = {kind.__name__: kind for kind in ClubType.__subclasses__()}

NOT_SHOWN = {
    "AnsweredRequest": "answers kept for repeated requests",
    "AttentionDismissal": "seen as items that are put aside",
    "CalendarFeed": "secret addresses; handed out by REST alone",
    "ClubBenchmark": "seen as benchmarks",
    "ConditionEffect": "fitted parameters; seen as what they come to",
    "PlayerReport": "seen as priorities and attention",
    "RecoveryTime": "seen in the condition of a course",
    "RoundNote": "told as the round's condition note",
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


def test_charges_are_for_fields_that_exist() -> None:
    assert set(CHARGES.computed) <= set(fields())


def test_every_type_of_a_clubs_rows_has_the_scoped_base() -> None:
    """Trap: a type without it would show whatever row a resolver reached."""
    shown = {kind.model for kind in ROW_TYPES.values()}
    assert all(issubclass(model, ClubOwned) for model in shown)
    missing = {model.__name__ for model in owned_models() if model not in shown}
    assert missing == set(NOT_SHOWN)
    for name in ROW_TYPES:
        assert schema._schema.type_map[name].is_type_of is not None, name


def test_the_schema_file_is_current() -> None:
    """``UPDATE_SCHEMA=1`` writes it anew."""
    text = schema.as_str() + "\n"
    if os.environ.get("UPDATE_SCHEMA") == "1":
        SCHEMA_FILE.write_text(text, encoding="utf-8")
    assert SCHEMA_FILE.read_text(encoding="utf-8") == text
