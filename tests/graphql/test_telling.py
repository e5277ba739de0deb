"""The shorter way through plain objects tells what graphql-core's own execution tells, faults and their places included."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from enum import Enum
from typing import Any
from uuid import UUID

import pytest
import strawberry
from strawberry.schema.config import StrawberryConfig

from golfstats.doors.graphql.rows import read
from golfstats.doors.graphql.telling import Telling
from tests.counting import calls_of


@strawberry.enum
class Wind(Enum):
    CALM = "calm"
    HELPING = "helping"


@strawberry.type
class Shot:
    lie: str
    distance: float | None
    wind: Wind | None


@strawberry.type
class Hole:
    id: UUID
    number: int
    played_on: dt.date
    shots: list[Shot]
    best: Shot | None
    marks: list[list[int]] | None
    following: Hole | None

    @strawberry.field
    def double(self: Any, times: int = 2) -> int:
        return int(times * read(self, "number"))


@dataclass
class Found:
    """What a room answers with: no type of GraphQL's."""

    id: UUID
    number: Any
    played_on: Any
    shots: Any
    best: Any = None
    marks: Any = None
    following: Any = None


def found(number: Any = 1, **changed: Any) -> Found:
    shots = [
        {"lie": "tee", "distance": 381.5, "wind": Wind.HELPING},
        {"lie": "green", "distance": None, "wind": None},
    ]
    whole = {
        "id": UUID(int=7),
        "number": number,
        "played_on": dt.date(2026, 5, 2),
        "shots": shots,
        "best": shots[0],
        "marks": [[1, 2], []],
    }
    return Found(**(whole | changed))


def schema(holes: list[Found], execution: Any) -> strawberry.Schema:
    @strawberry.type
    class Query:
        @strawberry.field(graphql_type=list[Hole])
        @staticmethod
        def holes() -> Any:
            return holes

    return strawberry.Schema(
        query=Query,
        execution_context_class=execution,
        config=StrawberryConfig(default_resolver=read, disable_field_suggestions=True),
    )


def both_ways(holes: list[Found], document: str, **variables: Any) -> tuple[Any, Any]:
    """The answer by the shorter way, and by the library alone."""
    answers = []
    for execution in (Telling, None):
        result = schema(holes, execution).execute_sync(document, variable_values=variables)
        answers.append((result.data, [error.formatted for error in result.errors or []]))
    return answers[0], answers[1]


WHOLE = "{ holes { __typename id number playedOn marks best { lie } shots { lie distance wind } } }"
DOCUMENTS = {
    "whole": WHOLE,
    "aliases": "{ holes { a: number b: number shots { where: lie } } }",
    "fragments": "{ holes { ...one shots { ... on Shot { wind } ...two } } } fragment one on Hole { number shots { lie } } fragment two on Shot { distance }",
    "a resolver beside": "{ holes { number double(times: 3) shots { lie } } }",
    "nothing of it": "query Q($want: Boolean!) { holes { number playedOn @include(if: $want) shots @skip(if: $want) { lie } } }",
}


@pytest.mark.parametrize("name", DOCUMENTS)
@pytest.mark.parametrize("want", [True, False])
def test_both_ways_tell_the_same(name: str, want: bool) -> None:
    given = {"want": want} if "$want" in DOCUMENTS[name] else {}
    shorter, whole = both_ways([found(1), found(2, best=None, marks=None)], DOCUMENTS[name], **given)
    assert shorter == whole
    assert len(shorter[0]["holes"]) == 2
    assert shorter[1] == []


@pytest.mark.parametrize(
    "fault",
    [
        {"number": None},
        {"number": "seventeen"},
        {"shots": None},
        {"shots": [{"lie": "tee", "distance": 3.0, "wind": "a gale"}]},
        {"shots": [{"lie": "tee"}]},
        {"best": {"lie": None, "distance": 1.0, "wind": None}},
        {"marks": [[1, None]]},
    ],
    ids=str,
)
def test_a_fault_is_told_in_its_place(fault: dict[str, Any]) -> None:
    shorter, whole = both_ways([found(1), found(**({"number": 2} | fault))], WHOLE)
    assert shorter == whole
    assert shorter[1]


def test_a_fault_of_an_object_within_one_of_its_kind_is_told_in_its_place() -> None:
    within = found(2, following=found(None))
    shorter, whole = both_ways(
        [found(1, following=within)], "{ holes { double following { number following { number } } } }"
    )
    assert shorter == whole
    assert shorter[1]


def test_the_shorter_way_calls_a_third_of_the_functions() -> None:
    """For each object that there is more: what a document costs beside its objects is not compared."""

    def more_for_a_hundred(execution: Any) -> int:
        few, many = (schema([found(number) for number in range(holes)], execution) for holes in (20, 120))
        few.execute_sync(WHOLE), many.execute_sync(WHOLE)
        return calls_of(lambda: many.execute_sync(WHOLE)) - calls_of(lambda: few.execute_sync(WHOLE))

    assert 3 * more_for_a_hundred(Telling) < more_for_a_hundred(None)
