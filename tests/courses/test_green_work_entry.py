"""Green work and green readings as staff enter them."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from courses.greens.models import GreenReading, GreenWork
from courses.layout.models import Course
from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.webhooks.models import Delivery, Destination
from tests.players.conftest import Place, client_of

CORING: dict[str, Any] = {
    "kind": "coring_medium",
    "starts_on": "2026-08-24",
    "ends_on": "2026-08-25",
    "tine_diameter_mm": 12.7,
    "spacing_along_mm": 38.1,
    "note": "sand brushed in",
}
READING: dict[str, Any] = {
    "measured_at": "2026-08-29T06:30:00Z",
    "hole": 7,
    "roll_one_way_ft": [10, 10, 10],
    "roll_other_way_ft": [8.8, 8.8, 8.8],
    "bobble_score": 3,
}


@pytest.fixture
def address(place: Place) -> str:
    with club_scope(place.club.id):
        return f"/api/v1/courses/{Course.objects.get().id}"


def enter(place: Place, address: str, body: dict[str, Any], what: str = "green-work") -> Any:
    return client_of(place.greenkeeper).post(f"{address}/{what}", body, format="json")


def test_green_work_is_entered_read_and_corrected_with_its_history(place: Place, address: str) -> None:
    entered = enter(place, address, CORING)
    assert entered.status_code == 201, entered.content
    work = f"{address}/green-work/{entered.json()['id']}"
    # Half-inch tines at 1.5 in spacing are what full disturbance is defined by.
    assert entered.json()["disturbance_at_once"] == 1.0
    corrected = client_of(place.manager).patch(work, {"holes": [3, 1, 3]}, format="json")
    assert (corrected.json()["holes"], corrected.json()["sequence"]) == ([1, 3], 1)
    assert corrected.json()["uid"] == entered.json()["uid"]
    assert client_of(place.greenkeeper).delete(work).status_code == 204
    assert client_of(place.player_member).get(work).status_code == 404
    history = client_of(place.player_member).get(f"{work}/history").json()["results"]
    assert [change["action"] for change in history] == ["deleted", "edited", "created"]
    assert (history[1]["before"]["holes"], history[1]["after"]["holes"]) == ([], [1, 3])
    assert history[1]["changed_by"] == "manager"


def test_saying_the_same_again_is_no_change(place: Place, address: str) -> None:
    work = f"{address}/green-work/{enter(place, address, CORING).json()['id']}"
    again = client_of(place.manager).patch(work, {"note": "sand brushed in"}, format="json")
    assert again.json()["sequence"] == 0
    assert len(client_of(place.manager).get(f"{work}/history").json()["results"]) == 1


def test_somebody_elses_correction_is_not_overwritten(place: Place, address: str) -> None:
    entered = enter(place, address, CORING)
    work = f"{address}/green-work/{entered.json()['id']}"
    client_of(place.manager).patch(work, {"note": "no sand"}, format="json")
    late = client_of(place.greenkeeper).patch(
        work, {"note": "much sand"}, format="json", headers={"If-Match": entered.headers["ETag"]}
    )
    assert (late.status_code, late.headers["ETag"]) == (412, '"1"')
    assert client_of(place.manager).get(work).json()["note"] == "no sand"


@pytest.mark.parametrize(
    ("change", "pointer", "code"),
    [
        ({"kind": "ploughing"}, "/kind", "unknown_kind"),
        ({"ends_on": "2026-08-23"}, "", "ends_before_start"),
        ({"ends_on": "2028-08-23"}, "", "too_long"),
        ({"holes": [19]}, "/holes/0", "less_than_equal"),
        ({"tine_diameter_mm": 60}, "", "tines_overlap"),
        ({"severity": 1.5}, "/severity", "less_than_equal"),
        ({"status": "perhaps"}, "/status", "enum"),
        ({"depth": 3}, "/depth", "extra_forbidden"),
    ],
)
def test_work_that_cannot_be_is_refused(
    place: Place, address: str, change: dict[str, Any], pointer: str, code: str
) -> None:
    response = enter(place, address, CORING | change)
    assert response.status_code == 422
    assert [(fault["pointer"], fault["code"]) for fault in response.json()["errors"]] == [(pointer, code)]
    with club_scope(place.club.id):
        assert not GreenWork.objects.exists()


def test_a_green_that_the_course_does_not_have(place: Place) -> None:
    with club_scope(place.club.id):
        short = Course.objects.create(name="Short course", hole_count=9)
    response = enter(place, f"/api/v1/courses/{short.id}", CORING | {"holes": [10]})
    assert response.json()["errors"][0]["code"] == "no_such_green"


def test_players_and_coaches_read_green_work_but_do_not_write_it(place: Place, address: str) -> None:
    work = f"{address}/green-work/{enter(place, address, CORING).json()['id']}"
    reading = f"{address}/green-readings/{enter(place, address, READING, 'green-readings').json()['id']}"
    for member in (place.player_member, place.coach):
        client = client_of(member)
        assert client.get(work).status_code == client.get(f"{address}/green-readings").status_code == 200
        refused = [
            client.post(f"{address}/green-work", CORING, format="json"),
            client.patch(work, {"note": ""}, format="json"),
            client.delete(work),
            client.post(f"{address}/green-readings", READING, format="json"),
            client.delete(reading),
            client.post(f"{address}/calendar-feeds"),
            client.get(f"{address}/calendar-feeds"),
        ]
        assert [response.status_code for response in refused] == [403] * 7
    with club_scope(place.club.id):
        assert GreenWork.objects.get().note == "sand brushed in"
        assert GreenReading.objects.count() == 1


def test_the_days_that_work_touches_are_told(place: Place, address: str) -> None:
    """Hydro-injection is healed for certain two days later; what was moved leaves its old days as well."""
    course = address.rsplit("/", 1)[1]
    body = {"kind": "water_injection", "starts_on": "2026-08-24"}
    work = f"{address}/green-work/{enter(place, address, body).json()['id']}"
    client_of(place.manager).patch(work, {"starts_on": "2026-09-01", "ends_on": "2026-09-01"}, format="json")
    asked = set(OutstandingWork.objects.filter(kind="greens_changed").values_list("key", flat=True))
    assert asked == {f"{course}:2026-08-24:2026-08-26", f"{course}:2026-09-01:2026-09-03"}


def test_green_work_is_announced_to_those_who_asked(place: Place, address: str) -> None:
    with club_scope(place.club.id):
        Destination.objects.create(
            url="https://greens.example/hook", secret="s", happenings=["green_work_announced"]
        )
    enter(place, address, CORING)
    with club_scope(place.club.id):
        body = Delivery.objects.get().body
    assert (body["action"], body["course"]["name"]) == ("created", "Long course")
    assert body["after"]["starts_on"] == "2026-08-24"


def test_a_reading_gives_the_speed_of_a_sloped_green(place: Place, address: str) -> None:
    """8 and 12 ft read 9.6 by 2·8·12 ÷ 20 (Green Section Record 28(6), 1990), and are too far apart to trust."""
    response = enter(
        place, address, READING | {"roll_one_way_ft": 12, "roll_other_way_ft": 8}, "green-readings"
    ).json()
    assert response["speed_ft"] == 9.6
    assert response["doubts"] == ["the two ways differ by more than 18 in"]
    straight = enter(place, address, READING, "green-readings").json()
    assert (straight["doubtful"], straight["roll_one_way_ft"]) == (False, [10, 10, 10])


def test_balls_that_stop_far_apart_make_a_reading_doubtful(place: Place, address: str) -> None:
    """Three balls more than 8 in apart are rolled again (USGA Stimpmeter booklet)."""
    reading = enter(place, address, READING | {"roll_one_way_ft": [9.5, 9.6, 10.4]}, "green-readings").json()
    assert reading["doubts"] == ["balls rolled the same way stopped more than 8 in apart"]


def test_readings_are_found_by_the_day_at_the_club(place: Place, address: str) -> None:
    with club_scope(place.club.id):
        Club.objects.update(time_zone="Pacific/Auckland")
    enter(place, address, READING | {"measured_at": "2026-08-29T18:30:00Z"}, "green-readings")
    client = client_of(place.player_member)
    found = [
        len(client.get(f"{address}/green-readings?from={day}&to={day}").json()["results"])
        for day in ("2026-08-29", "2026-08-30")
    ]
    assert found == [0, 1]


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"roll_other_way_ft": []}, "rolled_one_way_only"),
        ({"roll_one_way_ft": [], "roll_other_way_ft": [], "bobble_score": None}, "nothing_measured"),
        ({"bobble_score": 6}, "less_than_equal"),
        ({"measured_at": "2190-01-01T06:30:00Z"}, "in_the_future"),
        ({"measured_at": "2026-08-29T06:30:00"}, "timezone_aware"),
    ],
)
def test_readings_that_cannot_be_are_refused(
    place: Place, address: str, change: dict[str, Any], code: str
) -> None:
    response = enter(place, address, READING | change, "green-readings")
    assert response.status_code == 422
    assert response.json()["errors"][0]["code"] == code


def test_condition_of_the_greens_falls_as_they_recover(place: Place, address: str) -> None:
    """(1 - days ÷ recovery)² with the usual 10.5 days of medium coring; two greens were not cored."""
    enter(place, address, CORING | {"holes": list(range(1, 17))})
    client = client_of(place.player_member)
    state = client.get(f"{address}/condition?on=2026-08-30").json()
    left = (1 - 5 / 10.5) ** 2
    assert state["greens"][0]["disturbance"] == pytest.approx(left, abs=0.001)
    assert state["greens"][17]["disturbance"] == 0
    assert state["disturbance"] == pytest.approx(16 / 18 * left, abs=0.001)
    assert state["work"][0]["days_since"] == 5
    assert state["recovery_days"] == [{"kind": "coring_medium", "days": 10.5, "known_from": "usual"}]
    assert [day["day"] for day in state["coming"]][::29] == ["2026-08-30", "2026-09-28"]
    assert state["coming"][6]["disturbance"] == 0
    assert client.get(f"{address}/condition?on=2026-08-23").json()["disturbance"] == 0


def test_overlapping_work_is_combined_and_cancelled_work_is_not_counted(place: Place, address: str) -> None:
    for severity, status in ((0.5, "confirmed"), (0.4, "tentative"), (0.9, "cancelled")):
        body = {"kind": "other", "starts_on": "2026-08-24", "severity": severity, "status": status}
        assert enter(place, address, body).status_code == 201
    state = client_of(place.coach).get(f"{address}/condition?on=2026-08-24").json()
    assert state["disturbance"] == pytest.approx(1 - 0.5 * 0.6, abs=0.001)


def test_temporary_greens_are_named(place: Place, address: str) -> None:
    enter(place, address, CORING | {"holes": [4], "temporary_greens": True})
    greens = client_of(place.coach).get(f"{address}/condition?on=2026-08-25").json()["greens"]
    assert [green["hole"] for green in greens if green["temporary"]] == [4]
    assert not any(
        g["temporary"]
        for g in client_of(place.coach).get(f"{address}/condition?on=2026-08-26").json()["greens"]
    )


def test_the_number_of_queries_does_not_grow_with_green_work(place: Place, address: str) -> None:
    paths = ["green-work", "green-readings", "condition?on=2026-08-30", "events", "playing-conditions"]

    def queries() -> list[int]:
        counts = []
        for path in paths:
            with CaptureQueriesContext(connection) as found:
                assert client_of(place.player_member).get(f"{address}/{path}").status_code == 200
            counts.append(len(found))
        return counts

    enter(place, address, CORING)
    enter(place, address, READING, "green-readings")
    few = queries()
    for day in range(10, 24):
        enter(place, address, CORING | {"starts_on": date(2026, 8, day).isoformat()})
        enter(place, address, READING, "green-readings")
    assert queries() == few
