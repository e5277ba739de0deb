"""Words of a picture stand apart, and inside it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest

from golfstats.doors.pages.pictures.frame import Span
from golfstats.doors.pages.pictures.intervals import WIDTH, rows_on_one_axis
from golfstats.doors.pages.pictures.target import sides
from players.pictures.shapes import Row


@dataclass(frozen=True)
class Known:
    value: float
    low: float
    high: float


def parsed(svg: str) -> ET.Element:
    return ET.fromstring(svg)  # noqa: S314 - our own


def axis(*rows: Row, **ends: str) -> ET.Element:
    return parsed(rows_on_one_axis("A picture", rows, str, **ends))


def reach(text: ET.Element, letter: float) -> tuple[float, float]:
    """Where a text begins and ends with letters of this width."""
    x, width = float(text.attrib["x"]), letter * len(text.text or "")
    kinds = text.attrib["class"].split()
    if "end" in kinds:
        return x - width, x
    return (x - width / 2, x + width / 2) if "mid" in kinds else (x, x + width)


@pytest.mark.parametrize("name", ["Tee", "pitching-wedge", "Par or better after a missed green"])
def test_a_name_is_never_cut(name: str) -> None:
    """Letters of a phone are 19 units high, about 11 wide (measured in Chromium)."""
    drawn = axis(Row(name, Known(0.4, 0.2, 0.6)))
    named = next(text for text in drawn.iter("text") if text.text == name)
    start, end = reach(named, 11)
    assert start >= 0
    assert end <= WIDTH


@pytest.mark.parametrize("middle", [-0.9, -0.4, 0.0, 0.4, 0.9])
def test_the_name_of_zero_stands_on_no_other_word(middle: float) -> None:
    row = Row("50-75 yards", Known(middle, middle - 0.2, middle + 0.2))
    drawn = axis(row, zero="Woman of handicap 10", low="loses strokes", high="gains")
    heads = [text for text in drawn.iter("text") if float(text.attrib["y"]) < 40]
    by_line: dict[str, list[tuple[float, float]]] = {}
    for text in heads:
        by_line.setdefault(text.attrib["y"], []).append(reach(text, 11))
    assert len(heads) == 3
    lines = sorted(float(y) for y in by_line)
    assert all(lower - upper >= 19 for upper, lower in pairwise(lines))
    for told in by_line.values():
        told.sort()
        assert all(one[1] < other[0] for one, other in pairwise(told))


@pytest.mark.parametrize(
    "shares", [{"left": 0.5, "right": 0.5}, dict.fromkeys(("left", "long", "short"), 0.3)]
)
def test_target_and_discs_are_whole(shares: dict[str, float]) -> None:
    drawn = parsed(sides("Misses", shares, {}))
    _, top, _, height = (float(edge) for edge in drawn.attrib["viewBox"].split())
    for shape in [*drawn.iter("ellipse"), *drawn.iter("circle")]:
        radius = float(shape.attrib.get("ry") or shape.attrib["r"])
        assert top <= float(shape.attrib["cy"]) - radius
        assert float(shape.attrib["cy"]) + radius <= top + height


def test_ticks_of_a_share_are_few_and_round() -> None:
    assert re.fullmatch(r"\[0.0, 0.2, 0.4, 0.6, 0.8, 1.0\]", str(Span(0.0, 1.0).ticks(6)))
