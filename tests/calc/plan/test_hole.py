import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from golfstats.calc.plan.choices import near_green
from golfstats.calc.plan.hole.drawing import (
    Drawing,
    Surface,
    centroid,
    facing_the_green,
    inside,
    pin_position,
)
from golfstats.calc.plan.hole.generic import generic_hole
from golfstats.calc.plan.hole.places import aim_words
from golfstats.calc.plan.hole.shape import shape_of
from golfstats.calc.plan.hole.words import Hazard, HoleWords, HoleWordsFault, read_words
from golfstats.calc.vocabulary import Lie
from tests.calc.plan.holes import box, shape, strip_hole


def test_words_of_a_hole_as_a_golfer_says_them():
    said = read_words(
        "dogleg right 240, bunker left 230-260; water right 180-300\ngreen 28 deep, slopes front"
    )
    assert said == HoleWords(
        dogleg="right",
        bend=240,
        hazards=(Hazard(Surface.SAND, "left", 230, 260), Hazard(Surface.WATER, "right", 180, 300)),
        green_deep=28,
        slopes="front",
    )
    assert read_words("out of bounds left, bunker green front, fairway 30 wide").hazards == (
        Hazard(Surface.OUT, "left"),
        Hazard(Surface.SAND, "front", by_green=True),
    )


def test_words_in_metres_become_yards():
    assert read_words("dogleg left 200", yards=1 / 0.9144).bend == pytest.approx(218.7, abs=0.1)


@pytest.mark.parametrize(
    ("text", "clause"),
    [
        ("lake left", 1),
        ("bunker left, water across", 2),
        ("bunker left 260-230", 1),
        ("green 28 deep, green 300 wide", 2),
    ],
)
def test_words_that_cannot_be_read_name_their_clause(text, clause):
    with pytest.raises(HoleWordsFault) as fault:
        read_words(text)
    assert fault.value.clause == clause


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused_with_words(text):
    try:
        said = read_words(text)
    except HoleWordsFault as fault:
        said = fault
    assert isinstance(said, HoleWords) or str(said).startswith("clause ")


def test_a_generic_hole_has_what_was_said_where_it_was_said():
    drawing = generic_hole(4, 400, read_words("bunker left 230-260, water right 180-300, out left 300-350"))
    assert drawing.generic
    grid = shape_of(drawing, drawing.middle)

    def at(x, y):
        return Surface(int(grid.surface_at(np.array([x]), np.array([y]))[0]))

    assert at(-22, 245) == Surface.SAND
    assert at(-22, 215) == Surface.ROUGH
    assert at(30, 240) == Surface.WATER
    assert at(-30, 325) == Surface.OUT
    assert at(0, 200) == Surface.FAIRWAY
    assert at(0, 60) == Surface.ROUGH
    assert at(0, 400) == Surface.GREEN
    assert at(-55, 200) == Surface.WOODS
    assert at(0, 900) == Surface.OUT


@pytest.mark.parametrize(("side", "sign"), [("left", -1), ("right", 1)])
def test_a_dogleg_keeps_its_length_along_the_hole_and_bends_the_right_way(side, sign):
    drawing = generic_hole(4, 400, read_words(f"dogleg {side} 240 40"))
    # Law of cosines for two legs of 240 and 160 with 140 degrees between them.
    straight = math.sqrt(240**2 + 160**2 - 2 * 240 * 160 * math.cos(math.radians(140)))
    assert drawing.length == pytest.approx(straight, abs=1e-6)
    assert drawing.middle[0] == pytest.approx(0.0, abs=1e-9)
    grid = shape_of(drawing, drawing.middle)
    rows, columns = np.nonzero(grid.surface == Surface.FAIRWAY)
    corner = np.abs(grid.y[rows] - 230) < 10
    # Facing the green, the corner of a dogleg right lies left of the straight line.
    assert np.mean(grid.x[columns[corner]]) * sign < -20


def test_no_hole_is_torn_at_its_corner():
    grid = shape_of(d := generic_hole(5, 520, read_words("dogleg right 250 60")), d.middle)
    fairway = grid.surface == Surface.FAIRWAY
    rows = np.flatnonzero(fairway.any(axis=1))
    # The fairway runs without a gap from its start to the green.
    assert np.all(np.diff(rows) == 1)


def test_a_map_is_turned_to_face_the_green():
    angle = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    green = np.column_stack([300 + 10 * np.cos(angle), 10 * np.sin(angle)])
    hole = facing_the_green(Drawing((box(Surface.SAND, 200, 220, -40, -20),), green, tee=(0.0, 0.0)))
    # Due east becomes straight ahead, and what lay south of the line lies to its right.
    assert hole.middle == pytest.approx((0.0, 300.0))
    assert hole.patches[0].rings[0].mean(axis=0) == pytest.approx((30.0, 210.0))


def test_inside_follows_the_even_odd_rule():
    outer = np.array([[0, 0], [10, 0], [10, 10], [0, 10]], dtype=float)
    inner = np.array([[4, 4], [6, 4], [6, 6], [4, 6]], dtype=float)
    found = inside((outer, inner), np.array([1.0, 5.0, 11.0]), np.array([1.0, 5.0, 5.0]))
    assert found.tolist() == [True, False, False]
    assert centroid(outer) == pytest.approx((5, 5))


def test_rasterised_area_is_the_area_of_the_polygon():
    grid = shape(strip_hole(), step=1.0)
    cells = int((grid.surface == Surface.GREEN).sum())
    # The outline has 32 corners.
    assert cells == pytest.approx(16 * math.sin(2 * math.pi / 32) * 13 * 14, rel=0.02)


def test_pins_lie_on_the_green_and_away_from_its_edge():
    drawing = strip_hole()
    for pin in ("middle", "front", "back", "left", "right"):
        x, y = pin_position(drawing, pin)
        assert inside((drawing.green,), np.array([x]), np.array([y])).all()
    assert pin_position(drawing, "front")[1] == pytest.approx(380 - 8.4, abs=1.0)
    assert pin_position(drawing, "left")[0] == pytest.approx(-8, abs=0.6)
    with pytest.raises(ValueError, match="a pin is"):
        pin_position(drawing, "top")


def test_a_drop_lies_dry_and_no_nearer_the_hole():
    grid = shape(strip_hole(extra=(box(Surface.WATER, -30, 30, 330, 350),)))
    wet = grid.surface == Surface.WATER
    row, column = np.divmod(grid.drop[wet], len(grid.x))
    assert np.all(grid.surface[row, column] != Surface.WATER)
    assert np.all(grid.distance[row, column] >= grid.distance[wet])
    dry = ~wet
    assert np.array_equal(grid.drop[dry], np.arange(wet.size).reshape(wet.shape)[dry])


@pytest.mark.parametrize("pin", ["front", "middle", "back"])
def test_a_drop_is_in_bounds_where_nothing_dry_lies_behind_the_water(pin):
    drawing = near_green(generic_hole(4, 400, read_words("bunker left 230-260, water right 180-300")))
    for step in (2.0, 4.0):
        grid = shape(drawing, pin, step)
        assert not np.isin(grid.surface.ravel()[grid.drop], (Surface.WATER, Surface.OUT))[
            grid.surface != Surface.OUT
        ].any()


def test_the_hole_is_the_middle_of_a_cell():
    for step in (1.0, 2.0, 4.0):
        grid = shape(strip_hole(), "left", step)
        assert grid.distance.min() == pytest.approx(0.0, abs=1e-9)
        assert grid.lie[grid.row(np.array(grid.pin[1])), grid.column(np.array(grid.pin[0]))] == Lie.GREEN


def test_aims_in_words():
    drawing = strip_hole(extra=(box(Surface.SAND, 18, 30, 220, 240),))
    grid = shape(drawing)
    assert aim_words(grid, 0.0, 230.0) == "the middle of the fairway"
    assert aim_words(grid, -7.0, 230.0) == "the left half of the fairway"
    assert aim_words(grid, -15.0, 230.0) == "the left edge of the fairway"
    assert aim_words(grid, 15.0, 230.0) == "the left edge of the right bunker"
    assert aim_words(grid, 15.0, 260.0) == "the right edge of the fairway"
    assert aim_words(grid, 0.0, 380.0) == "the flag"
    assert aim_words(grid, -4.0, 375.0) == "4 yards left of the flag and 5 yards short"
