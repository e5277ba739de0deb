"""The calendar that a phone subscribes to, read back by another iCalendar parser (vobject)."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any
from uuid import uuid4

import pytest
import vobject
from django.test import Client

from courses.calendars.models import CalendarFeed
from courses.layout.models import Course
from golfstats.ground.ids import new_id
from golfstats.ground.walls.scope import club_scope
from tests.players.conftest import Place, client_of

TODAY = dt.date.today()
WORK: dict[str, Any] = {
    "kind": "coring_medium",
    "starts_on": (TODAY + dt.timedelta(days=20)).isoformat(),
    "ends_on": (TODAY + dt.timedelta(days=21)).isoformat(),
    "holes": [3, 7],
    "note": "sand; then water, then roll\nif dry – über alle Grüns " + "x" * 200,
}


@pytest.fixture
def address(place: Place) -> str:
    with club_scope(place.club.id):
        return f"/api/v1/courses/{Course.objects.get().id}"


@pytest.fixture
def feed(place: Place, address: str) -> dict[str, Any]:
    response = client_of(place.greenkeeper).post(f"{address}/calendar-feeds")
    assert response.status_code == 201, response.content
    return response.json()


def path_of(feed: dict[str, Any]) -> str:
    return feed["address"].removeprefix("http://testserver")


def events(content: bytes) -> list[Any]:
    return list(vobject.readOne(content.decode()).contents.get("vevent", []))


def enter(place: Place, address: str, **changes: Any) -> str:
    response = client_of(place.greenkeeper).post(f"{address}/green-work", WORK | changes, format="json")
    return f"{address}/green-work/{response.json()['id']}"


def test_another_parser_reads_the_calendar(place: Place, address: str, feed: dict[str, Any]) -> None:
    enter(place, address)
    response = Client().get(path_of(feed))
    assert response.status_code == 200
    assert response.headers["Content-Type"] == "text/calendar; charset=utf-8"
    (event,) = events(response.content)
    assert event.dtstart.value == TODAY + dt.timedelta(days=20)
    assert event.dtend.value == TODAY + dt.timedelta(days=22)  # the day after the last (RFC 5545, 3.6.1)
    assert event.summary.value == "Coring, medium tines, greens 3 and 7"
    assert event.description.value == WORK["note"]
    assert event.categories.value == ["coring_medium"]
    assert (event.status.value, event.transp.value, event.sequence.value) == ("CONFIRMED", "TRANSPARENT", "0")
    assert event.location.value == "Long course"


def test_the_bytes_keep_to_the_standard(place: Place, address: str, feed: dict[str, Any]) -> None:
    """RFC 5545, 3.1 and 3.6: CRLF, lines of at most 75 octets, what a calendar and an event must have once."""
    enter(place, address)
    content = Client().get(path_of(feed)).content
    lines = content.split(b"\r\n")
    assert b"\n" not in b"".join(lines)
    assert max(len(line) for line in lines) <= 75
    assert lines[0] == b"BEGIN:VCALENDAR"
    for name in (b"PRODID", b"VERSION", b"UID", b"DTSTAMP", b"DTSTART;VALUE=DATE"):
        assert len(re.findall(rb"^" + name + rb"[:;]", content, re.MULTILINE)) == 1


def test_a_correction_keeps_the_uid_and_counts_up(place: Place, address: str, feed: dict[str, Any]) -> None:
    work = enter(place, address)
    (before,) = events(Client().get(path_of(feed)).content)
    client_of(place.greenkeeper).patch(work, {"status": "cancelled"}, format="json")
    (after,) = events(Client().get(path_of(feed)).content)
    assert after.uid.value == before.uid.value
    assert (after.sequence.value, after.status.value) == ("1", "CANCELLED")


def test_a_phone_that_has_the_calendar_is_told_so(place: Place, address: str, feed: dict[str, Any]) -> None:
    work = enter(place, address)
    first = Client().get(path_of(feed))
    again = Client().get(path_of(feed), headers={"If-None-Match": first.headers["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    client_of(place.greenkeeper).patch(work, {"note": "no sand"}, format="json")
    changed = Client().get(path_of(feed), headers={"If-None-Match": first.headers["ETag"]})
    assert changed.status_code == 200


def test_the_secret_is_told_once_and_kept_nowhere(place: Place, address: str, feed: dict[str, Any]) -> None:
    secret = feed["address"].rsplit("/", 1)[1].removesuffix(".ics")
    assert len(secret) >= 43  # 256 bits
    listed = client_of(place.manager).get(f"{address}/calendar-feeds")
    assert listed.json()["results"][0]["id"] == feed["id"]
    assert secret not in listed.content.decode()
    with club_scope(place.club.id):
        assert secret not in str(CalendarFeed.objects.values().get())


def test_a_revoked_address_is_gone(place: Place, address: str, feed: dict[str, Any]) -> None:
    other = client_of(place.manager).post(f"{address}/calendar-feeds").json()
    for member, status in ((place.coach, 403), (place.greenkeeper, 204)):
        response = client_of(member).delete(f"{address}/calendar-feeds/{feed['id']}")
        assert response.status_code == status
    assert Client().get(path_of(feed)).status_code == 404
    assert Client().get(path_of(other)).status_code == 200


def test_whatever_is_no_address_answers_404_and_nothing_else(place: Place, feed: dict[str, Any]) -> None:
    secret = feed["address"].rsplit("/", 1)[1]
    wrong = [
        f"/calendar/{place.club.id}/{'a' * 43}.ics",
        f"/calendar/{new_id()}/{secret}",
        f"/calendar/{uuid4()}/{secret}",
        f"/calendar/{place.club.id}/{secret.removesuffix('.ics').swapcase()}.ics",
        f"/calendar/{place.club.id}/%00.ics",
    ]
    answers = [Client().get(path) for path in wrong]
    assert [answer.status_code for answer in answers] == [404] * 5
    assert {answer.headers["Content-Type"] for answer in answers} == {"application/problem+json"}
    assert Client().post(path_of(feed)).status_code == 405


def test_a_calendar_shows_its_own_course_only(place: Place, address: str, feed: dict[str, Any]) -> None:
    with club_scope(place.club.id):
        other = Course.objects.create(name="Short course", hole_count=9)
    enter(place, f"/api/v1/courses/{other.id}")
    assert events(Client().get(path_of(feed)).content) == []
