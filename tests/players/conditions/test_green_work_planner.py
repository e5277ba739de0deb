"""When work on the greens would hurt least: what staff are told, and what is refused."""

from __future__ import annotations

from typing import Any

import pytest

from courses.calendars.models import Event
from courses.greens.models import RecoveryTime
from courses.layout.models import Course
from golfstats.ground.walls.scope import club_scope
from tests.players.conditions.conftest import GreenClub
from tests.players.conftest import Place, client_of


def get(member: Any, path: str) -> Any:
    return client_of(member).get(f"/api/v1/{path}")


def test_the_planner_counts_rounds_and_events_until_the_greens_are_back(green_club: GreenClub) -> None:
    place, course = green_club.place, green_club.course
    with club_scope(place.club.id):
        Event.objects.create(course=course, name="Cup", starts_on="2027-04-20", ends_on="2027-04-21")
        RecoveryTime.objects.update(days=10)
    path = f"courses/{course.id}/planner?from=2027-04-05&to=2027-04-21&kind=coring_medium"
    assert get(place.coach, path).status_code == 403
    plan = get(place.manager, path).json()
    dates = {date["starts_on"]: date for date in plan["dates"]}
    assert len(dates) == 17
    assert dates["2027-04-05"]["back_on"] == "2027-04-15"
    # The greens are back on the day of the cup if the work starts ten days before it.
    assert dates["2027-04-10"]["events"] == []
    assert dates["2027-04-11"]["events"] == dates["2027-04-21"]["events"] == ["Cup"]
    assert 0 < dates["2027-04-05"]["disturbed_rounds"] < dates["2027-04-05"]["expected_rounds"]


@pytest.mark.parametrize(
    ("query", "pointer"),
    [
        ("from=2027-04-05&to=2027-04-04&kind=rolling", ""),
        ("from=2027-04-05&to=2028-04-05&kind=rolling", ""),
        ("from=2027-04-05&to=2027-04-06&kind=ploughing", "/kind"),
        ("from=2027-04-05&kind=rolling", "/to"),
        ("from=2027-04-05&to=2027-04-06&kind=rolling&colour=red", "/colour"),
    ],
)
def test_plans_that_cannot_be_are_refused(place: Place, query: str, pointer: str) -> None:
    with club_scope(place.club.id):
        course = Course.objects.get()
    response = get(place.manager, f"courses/{course.id}/planner?{query}")
    assert (response.status_code, response.json()["errors"][0]["pointer"]) == (422, pointer)
