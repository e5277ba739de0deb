"""Names on the picture of a hole can be read."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import combinations

import pytest

from golfstats.calc.plan.hole.generic import generic_hole
from golfstats.calc.plan.hole.picture import Mark, hole_picture

PAR_THREE = generic_hole(3, 172)
PIN = PAR_THREE.middle


def names(marks: list[Mark]) -> list[tuple[str, float, float, float]]:
    """Each name with its left and right end and its base line; a letter is taken as wide as an average capital."""
    root = ET.fromstring(hole_picture(PAR_THREE, PIN, marks))  # noqa: S314 - our own
    told = []
    for one in root.iter("{http://www.w3.org/2000/svg}text"):
        x, y, size, label = (
            float(one.get("x", 0)),
            float(one.get("y", 0)),
            float(one.get("font-size", 0)),
            one.text or "",
        )
        wide = 0.65 * size * len(label)
        left = x if one.get("text-anchor") == "start" else x - wide
        told.append((label, left, left + wide, y))
    return told


def aim(club: str, across: float = 0.0, beyond: float = 0.0, kind: str = "tie") -> Mark:
    return Mark(PIN[0] + across, PIN[1] + beyond, kind=kind, label=club)


@pytest.mark.parametrize(
    "marks",
    [
        [aim("5-wood", kind="aim"), aim("3-wood", beyond=2.0)],
        [
            aim("5-iron", kind="aim"),
            aim("4-hybrid", across=-1.0),
            aim("pitching-wedge", across=1.0, beyond=-3.0),
        ],
        [aim("driver", across=-60.0, kind="aim"), aim("3-wood", across=-58.0, beyond=9.0)],
    ],
)
def test_no_name_stands_on_another(marks: list[Mark]) -> None:
    told = names(marks)
    assert [one.label for one in marks] == [label for label, *_ in told]
    for (_, left, right, y), (_, other_left, other_right, other_y) in combinations(told, 2):
        assert abs(y - other_y) >= 22 or right <= other_left or other_right <= left


def test_aims_of_one_club_side_by_side_share_its_name() -> None:
    near = [aim("3-wood", kind="aim"), aim("3-wood", beyond=4.0)]
    apart = [aim("3-wood", kind="aim"), aim("3-wood", beyond=-60.0)]
    assert [label for label, *_ in names(near)] == ["3-wood"]
    assert [label for label, *_ in names(apart)] == ["3-wood", "3-wood"]


def test_a_name_that_gives_way_stands_on_the_very_next_line() -> None:
    (_, *_, first), (_, *_, second), (_, *_, third) = names(
        [aim("5-wood", kind="aim"), aim("3-wood", beyond=10.0), aim("4-hybrid", beyond=-10.0)]
    )
    assert second - first == third - second == 26
