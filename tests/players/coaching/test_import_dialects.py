"""Files as the programs of other countries write them: separators, encodings, days, decimal commas, names of columns."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from golfstats.ground.clubs.models import Member
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.files.incoming.dialect import day_of
from players.people.models import Player
from players.rounds.models import Round, Shot
from tests.players.conftest import Place, client_of

HOLES = range(1, 19)
CONSTANTS = json.dumps({"course": "Long course", "tee": "White"})


def sheet(days: list[str], separator: str = ";", player: str = "Ines Aldana") -> str:
    header = ["Golfer", "Datum", *(f"Bahn {hole}" for hole in HOLES)]
    lines = [header, *([player, day, *["5"] * 18] for day in days)]
    return "".join(separator.join(line) + "\r\n" for line in lines)


def send(member: Member, file: bytes, address: str = "imports", **fields: str) -> Any:
    form = {"file": SimpleUploadedFile("rounds.csv", file)} | fields
    return client_of(member).post(f"/api/v1/{address}", form, format="multipart")


def look(member: Member, file: bytes, **more: str) -> Any:
    columns = {"player": "Golfer", "played_on": "Datum", "score": "Bahn {n}"}
    fields = {"kind": "scores", "dry_run": "true", "constants": CONSTANTS, "columns": json.dumps(columns)}
    response = send(member, file, **(fields | more))
    assert response.status_code in (200, 202), response.content
    return response.json()


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "windows-1252", "utf-16"])
def test_separators_and_encodings_are_seen(place: Place, separator: str, encoding: str) -> None:
    with club_scope(place.club.id):
        Player.objects.create(name="Pádraic Müller", rating_gender="men")
    file = sheet(["2026-05-03", "2026-05-10"], separator, "Pádraic Müller").encode(encoding)
    looked = look(place.manager, file)
    assert (looked["new"], looked["faults"]) == (2, [])


def test_days_are_written_as_the_file_says_and_arrive(place: Place) -> None:
    file = sheet(["3.4.2026", "14.06.2026", "30/11/25"]).encode()
    began = look(place.manager, file, dates="day_first", dry_run="false")
    worker.drain()
    done = client_of(place.manager).get(f"/api/v1/imports/{began['id']}").json()
    assert (done["state"], done["added"]) == ("done", 3)
    with club_scope(place.club.id):
        days = {str(day) for day in Round.objects.values_list("played_on", flat=True)}
    assert days == {"2026-04-03", "2026-06-14", "2025-11-30"}


def test_what_is_no_day_is_said_in_words_with_the_way_out(place: Place) -> None:
    file = sheet(["14.6.2026", "31.4.2026", "3 May"]).encode()
    faults = look(place.manager, file)["faults"]
    assert [(one["code"], one["line"], one["column"]) for one in faults] == [
        ("not_a_day", line, 2) for line in (2, 3, 4)
    ]
    assert "day_first (14.6.2026)" in faults[0]["detail"]
    assert "month_first" not in faults[0]["detail"]  # there is no 14th month
    assert faults[1]["detail"] == "'31.4.2026' is no day of any month, read as in 2026-06-14"
    assert faults[2]["detail"] == "'3 May' is no day as in 2026-06-14"


@pytest.mark.parametrize(
    ("cell", "order", "day"),
    [
        ("2026-06-14", "year_first", "2026-06-14"),
        ("14-06-2026", "day_first", "2026-06-14"),
        ("6/14/26", "month_first", "2026-06-14"),
        ("2026.6.14", "day_first", "None"),
        ("26-06-14", "year_first", "None"),
        ("14.6.026", "day_first", "None"),
        ("29.2.2025", "day_first", "None"),
    ],
)
def test_days(cell: str, order: str, day: str) -> None:
    assert str(day_of(cell, order)) == day


def test_a_decimal_comma_is_a_number(place: Place) -> None:
    lines = ["player;course;tee;played_on;hole;lie;distance;temperature_c"]
    for hole in range(1, 10):
        facts = f"Ines Aldana;Long course;White;2026-05-03;{hole}"
        lines += [f"{facts};{shot};14,5" for shot in ("tee;150,5", "green;18,25")]
    began = send(place.manager, "\n".join(lines).encode(), kind="shots")
    assert began.status_code == 202, began.content
    worker.drain()
    with club_scope(place.club.id):
        assert Round.objects.get().temperature_c == 14.5
        feet = {
            round(3 * yards, 4)
            for yards in Shot.objects.filter(lie="green").values_list("distance", flat=True)
        }
    assert feet == {18.25}


def test_a_guess_is_good_enough_to_send_on(place: Place) -> None:
    file = sheet(["3.4.2026", "14.06.2026"]).replace("Bahn", "Hole").replace("Datum", "Date").encode("cp1252")
    guessed = send(place.manager, file, "imports/guess").json()
    assert guessed["columns"] == [
        {"ours": "player", "theirs": "Golfer"},
        {"ours": "played_on", "theirs": "Date"},
        {"ours": "score", "theirs": "Hole {n}"},
    ]
    assert (guessed["kind"], guessed["delimiter"], guessed["dates"]) == ("scores", ";", "day_first")
    assert (guessed["missing"], guessed["not_taken"]) == (["course", "tee"], [])
    columns = {one["ours"]: one["theirs"] for one in guessed["columns"]}
    looked = look(place.manager, file, columns=json.dumps(columns), dates=guessed["dates"])
    assert (looked["new"], looked["faults"]) == (2, [])


def test_days_that_could_be_two_are_left_to_a_person(place: Place) -> None:
    guessed = send(place.manager, b"Date,H1\n3/4/2026,4\n5/6/2026,5\n", "imports/guess").json()
    assert (guessed["dates"], guessed["days"]) == (None, ["3/4/2026", "5/6/2026"])


@pytest.mark.parametrize(
    ("scores", "putts"),
    [("H{n}", "P{n}"), ("{n}", "{n} putts"), ("Score {n}", "Putts {n}"), ("S{n}", "Putts, hole {n}")],
)
def test_numbered_columns_of_several_kinds(place: Place, scores: str, putts: str) -> None:
    names = [pattern.replace("{n}", str(hole)) for pattern in (scores, putts) for hole in HOLES]
    header = ";".join(["Name", "Played on", "Course", "Tees", *names, "Handicap"])
    guessed = send(place.manager, header.encode(), "imports/guess").json()
    found = {one["ours"]: one["theirs"] for one in guessed["columns"]}
    assert (found["score"], found["putts"]) == (scores, putts)
    assert {name: found[name] for name in ("player", "played_on", "course", "tee")} == {
        "player": "Name",
        "played_on": "Played on",
        "course": "Course",
        "tee": "Tees",
    }
    assert guessed["not_taken"] == ["Handicap"]


def test_our_own_export_is_guessed_whole(place: Place) -> None:
    client = client_of(place.manager)
    for name, kind in (("rounds.csv", "scores"), ("shots.csv", "shots")):
        guessed = send(place.manager, client.get(f"/api/v1/export/{name}").getvalue(), "imports/guess").json()
        assert (guessed["kind"], guessed["missing"]) == (kind, [])
        assert all(one["ours"] == one["theirs"].replace("_{n}", "") for one in guessed["columns"])


def test_what_is_no_text_is_refused(place: Place) -> None:
    response = send(place.manager, b"a;b\x81\n", "imports/guess")
    assert (response.status_code, response.json()["type"]) == (400, "/problems/not-text")
