"""The compact notation says everything that JSON says, and its errors point at the place."""

from __future__ import annotations

import datetime as dt
import string
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from courses.models import Section
from golfstats.api.problems import Fault
from golfstats.calc import vocabulary
from golfstats.clubs.models import DistanceUnit
from players import notation
from players.models import RoundFormat
from players.round_input import RoundInput

numbers = st.integers(min_value=5, max_value=60_000).map(lambda hundredths: hundredths / 100)
signed = st.integers(min_value=-30_000, max_value=30_000).map(lambda hundredths: hundredths / 100)
words = st.text(string.ascii_letters + string.digits, min_size=1, max_size=8)
line = st.text(string.ascii_letters + " .:-=/#", max_size=30).map(str.strip)


def maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | strategy


def one_of(kind: type[vocabulary.Word]) -> st.SearchStrategy[Any]:
    return maybe(st.sampled_from(kind.words()))


penalties = st.just({}) | st.fixed_dictionaries(
    {
        "penalty_strokes": st.integers(1, 4),
        "penalty_kind": st.sampled_from(vocabulary.PenaltyKind.words()),
    }
)
shots = st.builds(
    lambda shot, penalty: shot | penalty,
    st.fixed_dictionaries(
        {
            "lie": st.sampled_from(vocabulary.Lie.words()),
            "distance": numbers,
            "club": maybe(words | st.sampled_from(["left", "short", "into", "full"])),
            "target_distance": maybe(numbers),
            "travel": maybe(numbers),
            "offline": maybe(signed),
            "miss_side": one_of(vocabulary.MissSide),
            "miss_depth": one_of(vocabulary.MissDepth),
            "short_sided": maybe(st.booleans()),
            "lie_quality": one_of(vocabulary.LieQuality),
            "swing": one_of(vocabulary.Swing),
            "wind": one_of(vocabulary.Wind),
            "wind_mph": maybe(st.integers(0, 80)),
            "elevation": maybe(signed),
            "slope": one_of(vocabulary.Slope),
            "putt_break": one_of(vocabulary.PuttBreak),
            "fault": one_of(vocabulary.PuttFault),
            "tags": st.lists(words, max_size=3),
        }
    ),
    penalties,
)
holes = st.fixed_dictionaries(
    {
        "shots": st.lists(shots, max_size=3),
        "score": st.integers(1, 30),
        "picked_up": st.booleans(),
        "putts": maybe(st.integers(0, 15)),
        "penalties": maybe(st.integers(0, 20)),
        "fairway_hit": maybe(st.booleans()),
        "green_in_regulation": maybe(st.booleans()),
    }
)
rounds = st.fixed_dictionaries(
    {
        "player": maybe(words),
        "course": words,
        "tee": words,
        "played_on": st.dates(dt.date(2000, 1, 1), dt.date(2030, 1, 1)),
        "start_time": maybe(st.times().map(lambda time: time.replace(microsecond=0))),
        "section": st.sampled_from(Section.values),
        "unit": maybe(st.sampled_from(DistanceUnit.values)),
        "format": st.sampled_from(RoundFormat.values),
        "counting": st.booleans(),
        "competition": st.booleans(),
        "reason_for_missing_holes": line,
        "ball": line,
        "weather": line,
        "temperature_c": maybe(st.integers(-30, 55)),
        "wind_mph": maybe(st.integers(0, 80)),
        "tags": st.lists(words, max_size=3),
        "note": st.lists(line, max_size=3).map("\n".join),
        "holes": st.lists(holes, min_size=1, max_size=4),
    }
)


@given(rounds)
@settings(max_examples=100, deadline=None)
def test_reading_what_was_written_gives_the_same_round(fields: dict[str, Any]) -> None:
    for number, hole in enumerate(fields["holes"], start=1):
        hole["number"] = number
    posted = RoundInput.model_validate(fields)
    assert RoundInput.model_validate(notation.read(notation.write(posted))) == posted


def faults_of(text: str) -> list[Fault]:
    """What is wrong with a text; nothing if it can be read."""
    try:
        notation.read(text)
    except notation.NotationError as error:
        return error.faults
    return []


@given(st.text(max_size=200))
@settings(max_examples=100, deadline=None)
def test_any_text_is_read_or_refused_with_places(text: str) -> None:
    lines = text.splitlines()
    for fault in faults_of(text):
        assert fault.line is not None
        assert fault.column is not None
        assert 1 <= fault.line <= len(lines)
        assert 1 <= fault.column <= len(lines[fault.line - 1]) + 1


def test_a_hole_as_typed_on_a_phone() -> None:
    hole = notation.read("7 T165(6i,left) S12 G6(low,read) G1.5")["holes"][0]
    assert hole["number"] == 7
    assert hole["shots"] == [
        {"lie": "tee", "distance": 165.0, "club": "6i", "miss_side": "left"},
        {"lie": "sand", "distance": 12.0},
        {"lie": "green", "distance": 6.0, "miss_side": "low", "fault": "read"},
        {"lie": "green", "distance": 1.5},
    ]


@pytest.mark.parametrize(
    ("text", "place", "code"),
    [
        ("1 T390 Q148", (1, 8), "unknown_lie"),
        ("1 T390 F(7i)", (1, 8), "not_a_shot"),
        ("\n1 T390(7i,sidewinder)", (2, 11), "unknown_detail"),
        ("1", (1, 2), "hole_empty"),
        ("course: A\ncourse: B", (2, 1), "header_twice"),
        ("holes: 18", (1, 1), "unknown_line"),
        ("counting: perhaps", (1, 11), "not_yes_or_no"),
    ],
)
def test_faults_point_at_line_and_column(text: str, place: tuple[int, int], code: str) -> None:
    with pytest.raises(notation.NotationError) as caught:
        notation.read(text)
    [fault] = caught.value.faults
    assert ((fault.line, fault.column), fault.code) == (place, code)
