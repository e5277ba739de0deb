"""Courses, tees, holes and ratings through the API: what is saved, who may, and what is computed again."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from courses.layout.models import Course, Hole, TeeSet
from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.outbox.work import handlers
from golfstats.ground.walls.scope import club_scope
from players.figures.models import ShotFigures
from tests import factories
from tests.players.conftest import Place, client_of

COURSES = "/api/v1/courses"


def nine_holes(**changes: Any) -> list[dict[str, Any]]:
    indexes = [7, 3, 9, 5, 6, 1, 8, 4, 2]
    return [
        {"number": n, "length": 300.0 + n, "par_men": 4, "stroke_index_men": indexes[n - 1]} | changes
        for n in range(1, 10)
    ]


@pytest.fixture
def tee(place: Place) -> str:
    """Address of a tee set of a nine-hole course that a manager made through the API."""
    manager = client_of(place.manager)
    course = manager.post(COURSES, {"name": "Short course", "hole_count": 9}, format="json").json()
    tee = manager.post(f"{COURSES}/{course['id']}/tees", {"name": "Red"}, format="json").json()
    return f"{COURSES}/{course['id']}/tees/{tee['id']}"


def codes(response: Any) -> list[tuple[str, str]]:
    assert response.headers["Content-Type"] == "application/problem+json", response.content
    return [(fault["pointer"], fault["code"]) for fault in response.json()["errors"]]


def long_course(place: Place) -> tuple[str, Course]:
    with club_scope(place.club.id):
        course = Course.objects.get(name="Long course")
    return f"{COURSES}/{course.id}", course


def test_a_course_is_made_with_tees_holes_and_ratings(place: Place, tee: str) -> None:
    manager = client_of(place.manager)
    saved = manager.put(f"{tee}/holes", {"holes": nine_holes()}, format="json")
    assert saved.status_code == 200, saved.content
    rating = {"gender": "men", "section": "front", "course_rating": 33.4, "slope_rating": 118, "par": 36}
    assert manager.put(f"{tee}/ratings", {"ratings": [rating]}, format="json").status_code == 200
    read = client_of(place.player_member).get(tee.split("/tees/", maxsplit=1)[0]).json()
    assert read["tees"][0]["ratings"] == [rating]
    assert [hole["stroke_index_men"] for hole in read["tees"][0]["holes"]] == [7, 3, 9, 5, 6, 1, 8, 4, 2]
    assert read["tees"][0]["length"] == sum(300 + n for n in range(1, 10))


def test_holes_are_replaced_all_at_once(place: Place, tee: str) -> None:
    """Two stroke indexes change places: hole by hole, the first write would break the permutation."""
    manager = client_of(place.manager)
    manager.put(f"{tee}/holes", {"holes": nine_holes()}, format="json")
    swapped = nine_holes()
    swapped[0]["stroke_index_men"], swapped[1]["stroke_index_men"] = 3, 7
    assert manager.put(f"{tee}/holes", {"holes": swapped}, format="json").status_code == 200
    read = client_of(place.player_member).get(tee).json()
    assert [hole["stroke_index_men"] for hole in read["holes"]][:2] == [3, 7]


def test_lengths_are_in_the_clubs_unit(place: Place, tee: str) -> None:
    with club_scope(place.club.id):
        Club.objects.update(distance_unit="metres")
    client_of(place.manager).put(f"{tee}/holes", {"holes": nine_holes(length=100)}, format="json")
    read = client_of(place.player_member).get(tee).json()
    assert (read["unit"], read["holes"][0]["length"]) == ("metres", 100.0)
    with club_scope(place.club.id):
        assert Hole.objects.filter(tee_set__name="Red").first().length == pytest.approx(109.361, abs=0.001)


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({8: None}, ("/holes", "wrong_numbers")),
        ({0: {"stroke_index_men": 3}}, ("/holes", "stroke_indexes_not_a_permutation")),
        ({4: {"par_men": None}}, ("/holes/4/par_men", "missing")),
        ({4: {"par_women": 4, "stroke_index_women": 2}}, ("/holes/0/par_women", "missing")),
        ({2: {"par_men": 7}}, ("/holes/2/par_men", "less_than_equal")),
        ({2: {"colour": "red"}}, ("/holes/2/colour", "extra_forbidden")),
    ],
)
def test_holes_that_do_not_fit_are_named(place: Place, tee: str, change: Any, expected: Any) -> None:
    holes = [
        hole | (change.get(n) or {}) for n, hole in enumerate(nine_holes()) if change.get(n, {}) is not None
    ]
    response = client_of(place.manager).put(f"{tee}/holes", {"holes": holes}, format="json")
    assert response.status_code == 422
    assert expected in codes(response)
    assert client_of(place.player_member).get(tee).json()["holes"] == []


def test_ratings_that_do_not_fit_are_named(place: Place, tee: str) -> None:
    rating = {"gender": "men", "section": "18", "course_rating": 33.4, "slope_rating": 118, "par": 36}
    response = client_of(place.manager).put(f"{tee}/ratings", {"ratings": [rating, rating]}, format="json")
    assert codes(response) == [
        ("/ratings/0/section", "no_such_section"),
        ("/ratings/1", "rated_twice"),
        ("/ratings/1/section", "no_such_section"),
    ]


def test_only_managers_change_courses_and_every_member_reads_them(place: Place, tee: str) -> None:
    course = tee.split("/tees/", maxsplit=1)[0]
    for member in (place.player_member, place.coach, place.greenkeeper):
        client = client_of(member)
        assert client.get(COURSES).status_code == client.get(course).status_code == 200
        refused = [
            client.post(COURSES, {"name": "Another"}, format="json"),
            client.patch(course, {"grass": "fescue"}, format="json"),
            client.delete(course),
            client.post(f"{course}/tees", {"name": "Blue"}, format="json"),
            client.put(f"{tee}/holes", {"holes": nine_holes()}, format="json"),
            client.put(f"{tee}/ratings", {"ratings": []}, format="json"),
            client.delete(tee),
        ]
        assert [response.status_code for response in refused] == [403] * 7
    with club_scope(place.club.id):
        assert Course.objects.count() == 2
        assert Hole.objects.filter(tee_set__name="Red").count() == 0


def test_another_clubs_courses_do_not_exist(place: Place, tee: str) -> None:
    other = factories.make_club("stonebarrow")
    with club_scope(other.id):
        stranger = factories.make_member("manager", "stranger")
    client = client_of(stranger)
    course = tee.split("/tees/", maxsplit=1)[0]
    assert client.get(COURSES).json()["results"] == []
    assert [
        client.get(course).status_code,
        client.delete(course).status_code,
        client.get(tee).status_code,
    ] == [404] * 3


def test_names_are_taken_once(place: Place, tee: str) -> None:
    manager = client_of(place.manager)
    again = manager.post(COURSES, {"name": "SHORT COURSE"}, format="json")
    assert codes(again) == [("/name", "name_taken")]
    assert codes(manager.post(f"{tee.rsplit('/', 1)[0]}", {"name": "red"}, format="json")) == [
        ("/name", "name_taken")
    ]


def test_a_course_with_rounds_stays(place: Place) -> None:
    address, course = long_course(place)
    with club_scope(place.club.id):
        factories.make_round(place.player_member, place.player)
    response = client_of(place.manager).delete(address)
    assert (response.status_code, response.json()["type"]) == (409, "/problems/has-rounds")
    with club_scope(place.club.id):
        assert TeeSet.objects.filter(course=course).exists()


def test_changed_holes_change_what_was_computed_from_them(place: Place) -> None:
    """Par decides whether a tee shot counts as a drive or an approach: a par 4 made a par 3 moves its strokes."""
    address, course = long_course(place)
    with club_scope(place.club.id):
        round_ = factories.make_round(place.player_member, place.player)
        handlers["round_analysis"].work(str(round_.id))
        tee = TeeSet.objects.get(course=course)
        first = ShotFigures.objects.get(shot__played_hole__number=1, shot__number=1)
        assert first.part == "tee"
    holes = client_of(place.manager).get(f"{address}/tees/{tee.id}").json()["holes"]
    holes[0]["par_women"] = 3
    OutstandingWork.objects.all().delete()
    client_of(place.manager).put(f"{address}/tees/{tee.id}/holes", {"holes": holes}, format="json")
    asked = [("course_changed", str(course.id)), ("holes_drawn_anew", str(tee.id))]
    assert sorted(OutstandingWork.objects.values_list("kind", "key")) == asked
    with club_scope(place.club.id):
        handlers["course_changed"].work(str(course.id))
        first = ShotFigures.objects.get(shot__played_hole__number=1, shot__number=1)
        assert first.part == "approach"
    assert {"kind": "handicap", "key": str(place.player.id)} in list(
        OutstandingWork.objects.values("kind", "key")
    )


def test_the_number_of_queries_does_not_grow_with_courses(place: Place) -> None:
    address, course = long_course(place)

    def queries() -> tuple[int, int]:
        counts = []
        for path in (COURSES, address):
            with CaptureQueriesContext(connection) as found:
                assert client_of(place.player_member).get(path).status_code == 200
            counts.append(len(found))
        return counts[0], counts[1]

    few = queries()
    with club_scope(place.club.id):
        for name in ("Blue", "Red", "Gold"):
            factories.make_tee_set(course, name)
            factories.make_tee_set(factories.make_course(name))
    assert queries() == few
