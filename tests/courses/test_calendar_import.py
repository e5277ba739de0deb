"""Planned work from a calendar file: what is taken over, and what hostile files are told."""

from __future__ import annotations

from typing import Any

import pytest
import vobject
from django.test import Client
from hypothesis import given, settings
from hypothesis import strategies as st

from courses.calendars import reading
from courses.greens.answers import known_kinds
from courses.greens.models import GreenWork
from courses.layout.models import Course
from golfstats.doors.rest.problems import status_of
from golfstats.ground.faults import ProblemError
from golfstats.ground.walls.scope import club_scope
from tests.players.conftest import Place, client_of

DAY = "DTSTART;VALUE=DATE:20260824\r\nDTEND;VALUE=DATE:20260826"


def event(
    uid: str = "work-1@club.example", *lines: str, dates: str = DAY, summary: str = "Hollow tine greens"
) -> str:
    extra = "".join(f"{line}\r\n" for line in lines)
    return f"BEGIN:VEVENT\r\nUID:{uid}\r\nDTSTAMP:20260801T080000Z\r\n{dates}\r\nSUMMARY:{summary}\r\n{extra}END:VEVENT\r\n"


def calendar(*parts: str) -> bytes:
    return (
        f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//club//EN\r\n{''.join(parts)}END:VCALENDAR\r\n".encode()
    )


@pytest.fixture
def address(place: Place) -> str:
    with club_scope(place.club.id):
        return f"/api/v1/courses/{Course.objects.get().id}/green-work/import"


def send(place: Place, address: str, body: bytes, query: str = "") -> Any:
    return client_of(place.greenkeeper).generic("POST", address + query, body, content_type="text/calendar")


def saved(place: Place) -> list[tuple[Any, ...]]:
    with club_scope(place.club.id):
        rows = GreenWork.objects.order_by("uid")
        return [
            (row.uid, row.kind, row.starts_on.isoformat(), row.ends_on.isoformat(), row.note) for row in rows
        ]


def test_a_preview_saves_nothing_and_shows_everything(place: Place, address: str) -> None:
    body = calendar(event(), event("work-2@club.example", summary="Captain's lunch"))
    response = send(place, address, body, "?preview=true")
    assert response.status_code == 200, response.content
    shown = response.json()
    assert (shown["saved"], shown["changed"], shown["unchanged"]) == (False, [], 0)
    assert [(new["kind"], new["starts_on"], new["ends_on"]) for new in shown["new"]] == [
        ("coring_medium", "2026-08-24", "2026-08-25")
    ]
    assert [unknown["summary"] for unknown in shown["unknown"]] == ["Captain's lunch"]
    assert saved(place) == []


def test_nothing_is_saved_while_a_kind_is_unknown(place: Place, address: str) -> None:
    body = calendar(event(), event("work-2@club.example", summary="Greens day"))
    refused = send(place, address, body)
    assert (refused.status_code, refused.json()["errors"][0]["code"]) == (422, "unknown_kind")
    assert saved(place) == []
    mapped = send(place, address, body, "?map=greens%20day:venting")
    assert mapped.json()["saved"] is True
    assert [row[:2] for row in saved(place)] == [
        ("work-1@club.example", "coring_medium"),
        ("work-2@club.example", "venting"),
    ]


def test_categories_come_before_the_summary_and_the_mapping_before_both(place: Place, address: str) -> None:
    with_category = event("a@x", "CATEGORIES:Course,Verticutting", summary="Hollow tine greens")
    by_name = event("b@x", "CATEGORIES:turf_repair")
    anything = event("c@x", summary="Work")
    body = calendar(with_category, by_name, anything)
    send(place, address, body, "?map=*:other")
    assert [row[1] for row in saved(place)] == ["verticutting_light", "turf_repair", "other"]
    send(place, address, body, "?map=course:deep_tine&map=*:other")
    assert [row[1] for row in saved(place)] == ["deep_tine", "turf_repair", "other"]


def test_a_calendar_has_words_for_each_kind_of_work() -> None:
    assert {kind for _, kind in reading.WORDS} == set(known_kinds()) - {"other"}


def test_the_same_file_again_changes_nothing_and_a_new_one_changes_what_moved(
    place: Place, address: str
) -> None:
    send(place, address, calendar(event(), event("work-2@club.example")))
    again = send(place, address, calendar(event(), event("work-2@club.example"))).json()
    assert (again["new"], again["changed"], again["unchanged"]) == ([], [], 2)
    moved = event(dates="DTSTART;VALUE=DATE:20260831\r\nDTEND;VALUE=DATE:20260902")
    preview = send(place, address, calendar(moved), "?preview=true").json()
    (change,) = preview["changed"]
    assert change["changed"] == ["starts_on", "ends_on"]
    assert [change["before"][name] for name in change["changed"]] == ["2026-08-24", "2026-08-25"]
    assert [change["after"][name] for name in change["changed"]] == ["2026-08-31", "2026-09-01"]
    assert {name for name, value in change["after"].items() if value != change["before"][name]} == {
        *change["changed"]
    }
    send(place, address, calendar(moved))
    assert [row[2] for row in saved(place)] == ["2026-08-31", "2026-08-24"]


def test_times_become_days_at_the_club(place: Place, address: str) -> None:
    """From 22:00 UTC it is the next day in Helsinki; an end at midnight there belongs to the day before."""
    with club_scope(place.club.id):
        place.club.time_zone = "Europe/Helsinki"
        place.club.save()
    zone = (
        "BEGIN:VTIMEZONE\r\nTZID:Europe/Dublin\r\nBEGIN:STANDARD\r\nDTSTART:19700101T000000\r\n"
        "RRULE:FREQ=SECONDLY\r\nTZOFFSETFROM:+0000\r\nTZOFFSETTO:+0000\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n"
    )
    body = calendar(
        zone,
        event("a@x", dates="DTSTART:20260824T220000Z\r\nDTEND:20260825T210000Z"),
        event("b@x", dates="DTSTART;TZID=Europe/Dublin:20260824T070000\r\nDURATION:PT6H"),
        event("c@x", dates="DTSTART;VALUE=DATE:20260824"),
    )
    response = send(place, address, body)
    assert response.status_code == 200, response.content
    assert [row[2:4] for row in saved(place)] == [
        ("2026-08-25", "2026-08-25"),
        ("2026-08-24", "2026-08-24"),
        ("2026-08-24", "2026-08-24"),
    ]


def test_our_own_calendar_comes_back_as_it_was(place: Place, address: str) -> None:
    """Written by one library, through another parser and writer (vobject), and taken over: nothing is different."""
    send(place, address, calendar(event("a@x", "DESCRIPTION:sand\\, then water", "STATUS:TENTATIVE")))
    course = address.removesuffix("/green-work/import")
    work = {"kind": "overseeding", "starts_on": "2026-09-20", "ends_on": "2026-09-24", "holes": [2, 5]}
    client_of(place.greenkeeper).post(f"{course}/green-work", work, format="json")
    feed = client_of(place.greenkeeper).post(f"{course}/calendar-feeds").json()
    written = Client().get(feed["address"].removeprefix("http://testserver")).content
    through = vobject.readOne(written.decode()).serialize().encode()
    answer = send(place, address, through).json()
    assert (answer["new"], answer["changed"], answer["unchanged"]) == ([], [], 2)
    with club_scope(place.club.id):
        GreenWork.objects.all().delete()
    assert len(send(place, address, through).json()["new"]) == 2
    assert [row[:4] for row in saved(place)][1:] == [("a@x", "coring_medium", "2026-08-24", "2026-08-25")]
    with club_scope(place.club.id):
        assert GreenWork.objects.get(kind="overseeding").holes == [2, 5]
        assert GreenWork.objects.get(uid="a@x").status == "tentative"


FAR_TOO_MANY = calendar(*(event(f"{n}@x") for n in range(reading.MAX_EVENTS + 1)))
DEEP = b"BEGIN:VCALENDAR\r\n" + b"BEGIN:VEVENT\r\n" * 5000 + b"END:VEVENT\r\n" * 5000 + b"END:VCALENDAR\r\n"


@pytest.mark.parametrize(
    ("body", "status", "kind"),
    [
        pytest.param(b"x" * (reading.MAX_BYTES + 1), 413, "too-large", id="huge"),
        pytest.param(FAR_TOO_MANY, 413, "too-large", id="thousands of events"),
        pytest.param(DEEP, 413, "too-large", id="nested"),
        pytest.param(calendar("X-A:" + "a" * 300_000 + "\r\n"), 413, "too-large", id="endless line"),
        pytest.param(calendar("X-A:a\r\n" + " a\r\n" * 50_000), 413, "too-large", id="endless folds"),
        pytest.param(calendar("X:\r\n" * 21_000), 413, "too-large", id="many lines"),
        pytest.param(
            b"BEGIN:VCALENDAR\r\nSUMMARY:\xff\xfe\r\nEND:VCALENDAR", 400, "not-utf-8", id="bad bytes"
        ),
        pytest.param("BEGIN:VCALENDAR".encode("utf-16"), 400, "not-utf-8", id="utf-16"),
        pytest.param(b"", 400, "not-a-calendar", id="empty"),
        pytest.param(b"{}", 400, "not-a-calendar", id="json"),
        pytest.param(b"BEGIN:VCALENDAR\r\n", 400, "not-a-calendar", id="no end"),
        pytest.param(b"BEGIN:VCALENDAR\r\nEND:VEVENT\r\nEND:VCALENDAR", 400, "not-a-calendar", id="crossed"),
        pytest.param(
            b"BEGIN:VCALENDAR\r\nno colon here\r\nEND:VCALENDAR", 400, "not-a-calendar", id="no colon"
        ),
        pytest.param(b"BEGIN:VCALENDAR\r\n\x00:\x00\r\nEND:VCALENDAR", 400, "not-a-calendar", id="nul"),
    ],
)
def test_hostile_files_are_refused_before_they_are_parsed(
    place: Place, address: str, body: bytes, status: int, kind: str
) -> None:
    response = send(place, address, body)
    assert (response.status_code, response.json()["type"]) == (status, f"/problems/{kind}")
    assert saved(place) == []


@pytest.mark.parametrize(
    ("lines", "code"),
    [
        (["RRULE:FREQ=SECONDLY"], "repeating"),
        (["RRULE:FREQ=DAILY;COUNT=999999999"], "repeating"),
        (["RDATE;VALUE=DATE:20260901,20260902"], "repeating"),
        (["RECURRENCE-ID;VALUE=DATE:20260824"], "repeating"),
        (["STATUS:MAYBE"], "unknown_status"),
        (["X-GREENS:1 44"], "no_such_green"),
        (["X-GREENS:" + " ".join(["1"] * 2000)], "no_such_green"),
    ],
)
def test_events_that_cannot_be_taken_over_are_named(
    place: Place, address: str, lines: list[str], code: str
) -> None:
    response = send(place, address, calendar(event("ok@x"), event("bad@x", *lines, summary="Weekly sand")))
    assert response.status_code == 422
    (fault,) = response.json()["errors"]
    assert (fault["pointer"], fault["code"]) == ("/events/1", code)
    assert fault["detail"].startswith("Weekly sand: ")
    assert saved(place) == []


@pytest.mark.parametrize(
    ("dates", "code"),
    [
        ("SEQUENCE:1", "no_dates"),
        ("DTSTART:tomorrow", "no_dates"),
        ("DTSTART;VALUE=DATE:20260824\r\nDTEND;VALUE=DATE:20260820", "ends_before_start"),
        ("DTSTART;VALUE=DATE:20260824\r\nDTEND:20260825T080000Z", "no_dates"),
        ("DTSTART:20260824T080000Z\r\nDURATION:P99999999999D", "no_dates"),
        ("DTSTART:00010101T000000Z", "implausible_dates"),
        ("DTSTART;VALUE=DATE:20260824\r\nDTEND;VALUE=DATE:20300101", "implausible_dates"),
    ],
)
def test_dates_that_cannot_be_are_named(place: Place, address: str, dates: str, code: str) -> None:
    response = send(place, address, calendar(event(dates=dates)))
    assert (response.status_code, [fault["code"] for fault in response.json()["errors"]]) == (422, [code])


VALID = calendar(
    event("a@x", "CATEGORIES:Coring,Sand", "STATUS:TENTATIVE", "X-GREENS:1 2"),
    event("b@x", dates="DTSTART;TZID=Europe/Dublin:20260824T070000\r\nDURATION:PT6H"),
).decode()
PIECES = st.sampled_from(
    [
        ";",
        ":",
        ",",
        "\r\n",
        " ",
        "=",
        '"',
        "\\",
        ";VALUE=PERIOD",
        ";TZID=Europe",
        "99999999",
        "-1",
        "^n",
        "P",
        "ü",
        "",
    ]
)


@settings(max_examples=150, deadline=None)
@given(
    edits=st.lists(st.tuples(st.integers(0, len(VALID)), st.integers(0, 12), PIECES), min_size=1, max_size=4)
)
def test_whatever_a_file_says_it_is_read_or_refused(edits: list[tuple[int, int, str]]) -> None:
    text = VALID
    for place, cut, piece in edits:
        text = text[:place] + piece + text[place + cut :]
    try:
        found, status = reading.read_calendar(text.encode(), "UTC", {}), 200
    except ProblemError as problem:
        found, status = [], status_of(problem)
    assert status in (200, 400, 413, 422)
    assert all(one.starts_on <= one.ends_on and one.uid for one in found)


def test_a_time_zone_that_is_a_folder(place: Place, address: str) -> None:
    body = calendar(event(dates="DTSTART;TZID=Europe:20260824T070000\r\nDURATION:PT6H"))
    response = send(place, address, body)
    assert (response.status_code, response.json()["detail"]) == (400, "a TZID that names no time zone")


def test_an_event_twice_or_without_a_name_is_refused(place: Place, address: str) -> None:
    nameless = event().replace("UID:work-1@club.example\r\n", "")
    response = send(place, address, calendar(event("a@x"), event("a@x"), nameless))
    assert sorted(fault["code"] for fault in response.json()["errors"]) == ["no_uid", "uid_twice"]


def test_only_staff_take_over_calendars(place: Place, address: str) -> None:
    for member in (place.player_member, place.coach):
        response = client_of(member).generic("POST", address, calendar(event()), content_type="text/calendar")
        assert response.status_code == 403
    assert saved(place) == []


def test_what_is_asked_wrongly_is_refused(place: Place, address: str) -> None:
    assert send(place, address, calendar(), "?colour=red").status_code == 422
    assert send(place, address, calendar(), "?preview=maybe").status_code == 422
    assert send(place, address, calendar(event()), "?map=hollow:ploughing").status_code == 422
    json = client_of(place.greenkeeper).post(address, {}, format="json")
    assert json.status_code == 415
