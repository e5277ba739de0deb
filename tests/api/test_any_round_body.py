"""Whatever is sent as a round, the answer is never that the service broke."""

from __future__ import annotations

import copy
import json
from typing import Any
from urllib.parse import urlencode

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from courses.layout.models import Course, TeeSet
from golfstats.ground.clubs.models import Role
from players.rounds.notation import HEADERS, LIE_LETTERS
from tests import factories
from tests.api.conftest import Worlds
from tests.api.requests import Sent, send, undone
from tests.api.world import World

ROUNDS = "/api/v1/rounds"
bounded = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)

leaves = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(2**70), 2**70),
    st.floats(),
    st.text(max_size=12),
    st.sampled_from(["", "\0", "2026-02-30", "9999-12-31", "24:00", "1e400", "green", "\ud800", "𝒙", "%s"]),
)
values = st.recursive(
    leaves,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=8,
)


def places_of(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place in a JSON value, the whole of it first."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else []
    return [path, *(place for key, one in inner for place in places_of(one, (*path, key)))]


# Hole 1 with every detail that there is, and nothing else: each place is then tried often.
HOLE = {
    "number": 1,
    "score": 5,
    "picked_up": False,
    "putts": 1,
    "penalties": 1,
    "fairway_hit": True,
    "green_in_regulation": False,
    "shots": [
        {
            "lie": "tee",
            "distance": 390.0,
            "club": "driver",
            "travel": 240.0,
            "offline": -12.0,
            "wind_mph": 9.0,
        },
        {"lie": "rough", "distance": 150.0, "penalty_strokes": 1, "penalty_kind": "unplayable"},
        {
            "lie": "sand",
            "distance": 20.0,
            "lie_quality": "poor",
            "swing": "part",
            "elevation": 2.0,
            "tags": ["x"],
        },
        {"lie": "green", "distance": 6.0, "slope": "uphill", "putt_break": "straight", "holed": True},
    ],
}
DETAILS = {"start_time": "08:10", "section": "18", "unit": "yards", "tags": ["windy"], "temperature_c": 12.0}
PLACES = places_of(factories.round_body(holes=[HOLE]) | DETAILS)


def post(world: World, body: str, content_type: str = "application/json") -> int:
    with undone():
        answer = send(world.members[Role.PLAYER], Sent("POST", ROUNDS, body, content_type))
    return answer.status_code


@bounded
@given(body=values)
def test_any_json(worlds: Worlds, body: Any) -> None:
    assert post(worlds.own, json.dumps(body)) in (400, 422)


@pytest.mark.parametrize("shard", range(4))
@bounded
@given(data=st.data())
def test_a_round_with_anything_in_one_place(worlds: Worlds, shard: int, data: st.DataObject) -> None:
    body: Any = copy.deepcopy(factories.round_body(holes=[HOLE]) | DETAILS)
    path = data.draw(st.sampled_from(PLACES[1:][shard::4]))
    inner = body
    for step in path[:-1]:
        inner = inner[step]
    inner[path[-1]] = data.draw(values)
    assert post(worlds.own, json.dumps(body)) in (201, 400, 422)


words = st.sampled_from(
    [
        *LIE_LETTERS,
        *HEADERS,
        *"0123456789 .,:+=/()#x-",
        "\n",
        "sd",
        "fw+",
        "gir-",
        "pen",
        "\0",
        "\u2028",
        "\\n",
        "\\ud800",
        "3 wood",
        "14.6.2026",
        "+2SD",
        "×",
        "–",
        "(left,right)",
    ]
)
NINE = "".join(f"{number} =5/2\n" for number in range(2, 19))


@bounded
@given(text=st.lists(words, max_size=60).map("".join) | st.text(max_size=80))
def test_any_text_as_notation(worlds: Worlds, text: str) -> None:
    assert post(worlds.own, text, "text/plain") in (400, 422)


@bounded
@given(hole=st.lists(words, max_size=30).map("".join))
def test_a_round_with_anything_as_its_first_hole(worlds: Worlds, hole: str) -> None:
    place = f"course: {worlds.own.id(Course)}\ntee: {worlds.own.id(TeeSet)}\ndate: 1 July 2026\n"
    text = f"{place}1 T390{hole.replace(chr(10), ' ')}\n{NINE}"
    assert post(worlds.own, text, "text/plain") in (201, 400, 422)


@bounded
@given(
    query=st.dictionaries(
        st.sampled_from(["player", "played_from", "counting", "cursor", "page_size"]), st.text()
    )
)
def test_any_filter(worlds: Worlds, query: dict[str, str]) -> None:
    address = f"{ROUNDS}?{urlencode(query, errors='replace')}"
    assert send(worlds.own.members[Role.PLAYER], Sent("GET", address)).status_code in (200, 422)
