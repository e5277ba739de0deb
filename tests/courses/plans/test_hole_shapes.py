import math
import re

import numpy as np
import pytest
from django.utils.translation import override

from courses.layout.models import Hole
from courses.plans import answers, services
from courses.plans.maps import drawing_of_map
from courses.plans.models import HoleShape
from golfstats.calc.plan.hole.drawing import Surface
from golfstats.calc.plan.hole.shape import shape_of
from golfstats.ground.clubs.models import Role
from golfstats.ground.faults import ProblemError
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import spoken
from tests import factories

TEE = (8.0, 47.0)
"""Longitude and latitude of an invented tee. A metre there is 1/111,320 of a degree north and 1/(111,320 cos 47°) east."""


def degrees(east: float, north: float) -> list[float]:
    """Position so many metres from the tee."""
    return [TEE[0] + east / (111_320 * math.cos(math.radians(TEE[1]))), TEE[1] + north / 111_320]


def area(tags, west, east, south, north):
    corners = [(west, south), (east, south), (east, north), (west, north), (west, south)]
    ring = [degrees(*corner) for corner in corners]
    return {"type": "Feature", "properties": tags, "geometry": {"type": "Polygon", "coordinates": [ring]}}


def hole_map(*more):
    tee = {
        "type": "Feature",
        "properties": {"golf": "tee"},
        "geometry": {"type": "Point", "coordinates": list(TEE)},
    }
    # The hole runs due east, 350 m; the bunker lies north of the line, so on the left.
    features = [
        tee,
        area({"golf": "green"}, 340, 360, -10, 10),
        area({"golf": "fairway"}, 120, 340, -15, 15),
        area({"golf": "bunker"}, 200, 215, 18, 30),
        *more,
    ]
    return {"type": "FeatureCollection", "features": features}


def codes(error) -> set[str]:
    return {fault.code for fault in error.value.faults}


def test_a_map_becomes_a_drawing_in_yards_facing_the_green():
    drawing = drawing_of_map(hole_map())
    assert not drawing.generic
    assert drawing.length == pytest.approx(350 / 0.9144, abs=0.5)
    grid = shape_of(drawing, drawing.middle)

    def at(x, y):
        return Surface(int(grid.surface_at(np.array([x / 0.9144]), np.array([y / 0.9144]))[0]))

    assert at(-24, 207) == Surface.SAND
    assert at(24, 207) == Surface.ROUGH
    assert at(0, 200) == Surface.FAIRWAY
    assert at(0, 350) == Surface.GREEN
    assert drawing.bearing == pytest.approx(math.pi / 2)


def test_faults_of_a_map_are_named():
    bow_tie = area({"golf": "bunker"}, 0, 10, 0, 10)
    ring = bow_tie["geometry"]["coordinates"][0]
    ring[1], ring[2] = ring[2], ring[1]
    line = {
        "type": "Feature",
        "properties": {"golf": "fairway"},
        "geometry": {"type": "LineString", "coordinates": [list(TEE), degrees(9, 9)]},
    }
    nonsense = {"type": "Feature", "properties": {"golf": "rough"}, "geometry": {"type": "Polygon"}}
    with pytest.raises(ProblemError) as error:
        drawing_of_map(
            hole_map(bow_tie, line, nonsense, {"type": "Feature"}, area({"golf": "green"}, 0, 9, 0, 9))
        )
    assert codes(error) == {"crosses_itself", "not_an_area", "not_a_geometry", "no_properties", "one_green"}
    (crossed,) = [one for one in error.value.faults if one.code == "crosses_itself"]
    assert crossed.detail.startswith("the outline crosses or touches itself at longitude 8.0")
    with override("de"):
        words = spoken(crossed.detail)
    assert re.fullmatch(r"der Umriss kreuzt oder berührt sich selbst bei Länge 8,\d+, Breite 47,\d+", words)
    with pytest.raises(ProblemError) as error:
        drawing_of_map({"type": "Feature"})
    assert "not_a_collection" in codes(error)
    with pytest.raises(ProblemError) as error:
        drawing_of_map(hole_map(area({"golf": "rough"}, 5000, 6000, 0, 10)))
    assert codes(error) == {"not_one_hole"}


@pytest.fixture
def tee_set(club):
    return factories.make_tee_set(factories.make_course())


def hole_of(tee_set, number):
    return Hole.objects.get(tee_set=tee_set, number=number)


def test_holes_are_drawn_by_map_by_words_or_from_the_scorecard(tee_set, django_assert_num_queries):
    manager = factories.make_member(Role.MANAGER)
    services.describe_holes(manager, tee_set, [(1, "", hole_map())])
    services.describe_holes(manager, tee_set, [(2, "dogleg left 240, water right 180-300", None)])
    with django_assert_num_queries(2):
        drawn = answers.drawn_holes([tee_set.id], "women")[tee_set.id]
    assert [hole.number for hole in drawn] == list(range(1, 19))
    assert [hole.drawing.generic for hole in drawn] == [False] + [True] * 17
    # A corner brings the green nearer in a straight line than the scorecard says.
    assert drawn[1].drawing.length < drawn[1].yards - 10
    assert drawn[2].drawing.length == pytest.approx(drawn[2].yards)


def test_words_that_say_nothing_are_refused_and_nothing_is_stored(tee_set):
    manager = factories.make_member(Role.MANAGER)
    with pytest.raises(ProblemError) as error:
        services.describe_holes(manager, tee_set, [(1, "windmill left", None)])
    assert codes(error) == {"not_understood"}
    assert error.value.faults[0].hole == 1
    assert not HoleShape.objects.exists()


def test_a_description_replaces_the_last_one(tee_set):
    manager = factories.make_member(Role.MANAGER)
    for words in ("trees left", "trees right"):
        services.describe_holes(manager, tee_set, [(1, words, None)])
    assert HoleShape.objects.get().words == "trees right"


@pytest.mark.parametrize("length", [25.0, 760.0])
def test_a_hole_that_only_a_map_can_draw_waits_for_one(club, length):
    tee_set = factories.make_tee_set(factories.make_course("Short course", 9))
    tee_set.holes.filter(number=2).update(length=length)
    (told,) = answers.shaped_holes(Asker(factories.make_member(Role.PLAYER)), [tee_set], Query())
    assert [hole.number for hole in told] == [1, 3, 4, 5, 6, 7, 8, 9]
    assert [fault.hole for fault in answers.not_drawn(tee_set, range(1, 10))] == [2]
    services.describe_holes(factories.make_member(Role.MANAGER), tee_set, [(2, "", hole_map())])
    assert answers.not_drawn(tee_set, range(1, 10)) == []
    (told,) = answers.shaped_holes(Asker(factories.make_member(Role.PLAYER)), [tee_set], Query())
    assert len(told) == 9
