"""The compact notation says everything that JSON says, and its errors point at the place."""

from __future__ import annotations

import datetime as dt
import re
import string
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from courses.layout.models import Section
from golfstats.calc import vocabulary
from golfstats.calc.clubs import one_name
from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.faults import Fault
from players.files import csv_format
from players.rounds import notation
from players.rounds.answers import RoundAsPosted
from players.rounds.fields import SHOT_FIELDS, Finite, Kind, ShotField
from players.rounds.input import RoundInput
from players.rounds.models import RoundFormat
from players.rounds.notation.grammar import FIELD_OF_WORD, FLAG_DETAILS, HEADERS

numbers = st.integers(min_value=5, max_value=60_000).map(lambda hundredths: hundredths / 100)
signed = st.integers(min_value=-30_000, max_value=30_000).map(lambda hundredths: hundredths / 100)
words = st.text(string.ascii_letters + string.digits, min_size=1, max_size=8)
line = st.text(string.ascii_letters + " .:-=/#", max_size=30).map(str.strip)


def maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | strategy


def anything(of: ShotField) -> st.SearchStrategy[Any]:
    """Whatever can be said in this field of a shot, or nothing."""
    if of.words is not None:
        return maybe(st.sampled_from(of.words.words()))
    if of.kind is Kind.FLAG:
        return maybe(st.booleans())
    if of.kind is Kind.NUMBER:
        return maybe(st.integers(0, 80))
    return maybe(signed if of.type is Finite else numbers)


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
            "tags": st.lists(words, max_size=3),
            **{one.name: anything(one) for one in SHOT_FIELDS if one.noted},
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
        "greens_found": line,
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


def as_a_phone_writes(text: str, draw: st.DrawFn) -> str:
    """The same round with capitals at random, ``1.`` for 1, commas and blanks between shots."""
    return "\n".join(_phone_line(line, draw) for line in text.splitlines())


def _phone_line(line: str, draw: st.DrawFn) -> str:
    name, separator, value = line.partition(": ")
    if separator and name.isalpha():
        if name in {"section", "unit", "format", "counting", "competition"}:
            value = any_case(value.replace("_", draw(st.sampled_from("_- "))), draw)
        return f"{any_case(name, draw)}{draw(st.sampled_from([': ', ':', ' :  ']))}{value}"
    number, *tokens = line.split(" ")
    dot = draw(st.sampled_from(["", ".", ")", ":"]))
    between = draw(st.sampled_from([" ", ", ", " , ", "  ", "; "]))
    return f"{number}{dot} " + between.join(_phone_token(token, draw) for token in tokens)


def _phone_token(token: str, draw: st.DrawFn) -> str:
    """Tags stay as they are: they are the player's own words."""
    token = "".join(
        part if part.startswith("#") else any_case(part, draw) for part in re.split(r"(#[^,)]+)", token)
    )
    if draw(st.booleans()):
        token = token.replace(",", draw(st.sampled_from([", ", " , "])))
    if draw(st.booleans()):
        token = token.replace("(", " (").replace(")+", ") +")
    return token


def any_case(text: str, draw: st.DrawFn) -> str:
    upper = draw(st.lists(st.booleans(), min_size=len(text), max_size=len(text)))
    return "".join(one.upper() if up else one.lower() for one, up in zip(text, upper, strict=True))


def kept(posted: RoundInput) -> RoundInput:
    """With each club under its one name, as it is stored and written again."""
    for hole in posted.holes:
        for shot in hole.shots:
            given: Any = shot
            given.club = one_name(given.club) if given.club else None
    return posted


@given(rounds, st.data())
@settings(max_examples=150, deadline=None)
def test_what_phones_make_of_a_round_reads_as_the_plain_one(
    fields: dict[str, Any], data: st.DataObject
) -> None:
    for number, hole in enumerate(fields["holes"], start=1):
        hole["number"] = number
    written = notation.write(kept(RoundInput.model_validate(fields)))
    phone = as_a_phone_writes(written, data.draw)
    plain, forgiven = (kept(RoundInput.model_validate(notation.read(text))) for text in (written, phone))
    assert forgiven == plain


@given(st.text(max_size=40))
@settings(max_examples=300, deadline=None)
def test_any_text_of_a_header_is_written_so_that_it_reads_back(text: str) -> None:
    if not text.isascii() and any(0xD800 <= ord(one) <= 0xDFFF for one in text):
        return
    fields = {"course": "A", "tee": "B", "played_on": "2026-06-14", "holes": [{"number": 1, "score": 4}]}
    posted = RoundInput.model_validate(fields | {"note": text, "weather": text.replace("x", "\\n")})
    assert RoundInput.model_validate(notation.read(notation.write(posted))) == posted


@given(st.from_regex(r"[A-Za-z0-9][A-Za-z0-9.+° -]{0,14}", fullmatch=True))
@settings(max_examples=300, deadline=None)
def test_a_club_has_one_name(written: str) -> None:
    assert one_name(one_name(written)) == one_name(written)
    fields = {"lie": "tee", "distance": 380, "club": written}
    hole = {"number": 1, "shots": [fields], "picked_up": True}
    body = {"course": "A", "tee": "B", "played_on": "2026-06-14", "holes": [hole]}
    posted = RoundInput.model_validate(body)
    assert RoundInput.model_validate(notation.read(notation.write(posted))) == posted


@pytest.mark.parametrize(
    ("typed", "plain"),
    [
        ("1. t390, f148 (7 Iron, Left), g18. G2.", "1 T390 F148(7 Iron,left) G18 G2"),
        ("1)T390,F148(7i left),G18,G2", "1 T390 F148(7i,left) G18 G2"),
        ("1 T 390 F 148 +1LD R 140 G4,5", "1 T390 F148+1ld R140 G4.5"),
        ("1 =5/2 FW– Gir+ Pen1", "1 =5/2 fw- gir+ pen1"),
        ("1 T390(3 wood from left) ×8", "1 T390(3 wood,from_left) x8"),
        ("Date : 14.6.2026", "date: 2026-06-14"),
        ("date: 14 June 2026", "date: 2026-06-14"),
        ("date: June 14th, 2026", "date: 2026-06-14"),
        ("date: 6/6/2026", "date: 2026-06-06"),
        ("time: 9.05", "time: 09:05"),
        ("time: 1:05 pm", "time: 13:05"),
        ("section: Front nine", "section: front"),
        ("format: Stroke play", "format: stroke_play"),
        ("counting: YES", "counting: yes"),
        ("temperature: 18,5 °C", "temperature: 18.5"),
        ("wind: 12 mph", "wind: 12"),
        ("tags: #wet, windy", "tags: wet windy"),
    ],
)
def test_what_phones_do_is_forgiven(typed: str, plain: str) -> None:
    assert notation.read(typed) == notation.read(plain)


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
        ("date: 5/6/2026", (1, 7), "day_unclear"),
        ("date: 1780000000", (1, 7), "day_unclear"),
        ("1 T390(7i left sidewinder)", (1, 8), "unknown_detail"),
    ],
)
def test_faults_point_at_line_and_column(text: str, place: tuple[int, int], code: str) -> None:
    with pytest.raises(notation.NotationError) as caught:
        notation.read(text)
    [fault] = caught.value.faults
    assert ((fault.line, fault.column), fault.code) == (place, code)


def test_whatever_is_said_of_a_round_is_told_in_each_of_its_ways() -> None:
    """A correction by the pad goes through the notation: a field without a header would be lost by it."""
    said = set(RoundInput.model_fields) - {"holes"}
    assert set(HEADERS.values()) == said
    assert set(RoundAsPosted.__dataclass_fields__) == said | {"holes"}
    assert set(csv_format.ROUND_COLUMNS) == said - {"unit"}, (
        "columns of files, which have their unit beside them"
    )


def test_the_pad_takes_no_word_of_the_notation_for_a_club() -> None:
    """It would stand in the place of the shot's own club. ``OTHER_WORDS`` of the script has those without a button."""
    script = Path(__file__).parents[2] / "golfstats/doors/pages/static/web/entry/notation.js"
    without_labels = re.sub(r"\bt\([^)]*\)", "", script.read_text(encoding="utf-8"))
    known = set(re.findall(r'"([^"]*)"', without_labels))
    words = [word for word in (*FIELD_OF_WORD, *FLAG_DETAILS) if not word.startswith("not-")]
    assert [word for word in words if word not in known] == []
