"""Importing rounds: looked at first, saved as a whole or not at all, and never twice."""

from __future__ import annotations

import csv
import datetime as dt
import gc
import io
import json
import re
import time
from collections.abc import Iterable
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db.models import Count
from django.test import Client

from golfstats.ground.clubs.models import Club, Member, Role
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.files import services as imports
from players.files.incoming.parsing import FileReader, Layout
from players.files.models import ImportKind
from players.rounds.models import PlayedHole, Round, Shot
from tests import factories
from tests.factories import make_round
from tests.players.coaching.seasons import play_season
from tests.players.conftest import Place, client_of

ADDRESS = "/api/v1/imports"
HOLES = range(1, 19)
COLUMNS = {"player": "Golfer", "played_on": "Day", "score": "H{n}", "putts": "P{n}"}
CONSTANTS = {"course": "Long course", "tee": "White"}


def as_csv(lines: Iterable[Iterable[object]]) -> str:
    text = io.StringIO()
    csv.writer(text).writerows(lines)
    return text.getvalue()


def history(days: Iterable[str], player: str = "Ines Aldana", score: int = 5) -> list[list[object]]:
    """Somebody's own spreadsheet: other names, no course."""
    header = ["Golfer", "Day", *(f"H{hole}" for hole in HOLES), *(f"P{hole}" for hole in HOLES)]
    return [header, *([player, day, *[score] * 18, *[2] * 18] for day in days)]


def send(member: Member, text: str, kind: str = "scores", **fields: Any) -> Any:
    form = {"kind": kind, "file": SimpleUploadedFile("rounds.csv", text.encode())}
    for name, value in fields.items():
        form[name] = json.dumps(value) if isinstance(value, dict) else value
    return client_of(member).post(ADDRESS, form, format="multipart")


def finished(member: Member, response: Any) -> dict[str, Any]:
    """Let the worker do it, and read how it went."""
    assert response.status_code == 202, response.content
    worker.drain()
    return client_of(member).get(f"{ADDRESS}/{response.json()['id']}").json()


def rounds(place: Place) -> int:
    with club_scope(place.club.id):
        return Round.objects.count()


DAYS = [f"2025-0{month}-{day:02}" for month in (5, 6, 7) for day in (3, 10, 17)]


def test_a_history_of_hole_scores_with_columns_of_its_own(place: Place) -> None:
    text = as_csv(history(DAYS))
    fields = {"columns": COLUMNS, "constants": CONSTANTS}
    looked = send(place.coach, text, dry_run="true", **fields)
    assert looked.status_code == 200
    assert looked.json() == {"rounds": 9, "new": 9, "already_there": 0, "faults": [], "warnings": []}
    assert rounds(place) == 0
    done = finished(place.coach, send(place.coach, text, **fields))
    assert (done["state"], done["rounds"], done["checked"], done["added"]) == ("done", 9, 9, 9)
    with club_scope(place.club.id):
        assert set(Round.objects.values_list("player__name", "analysis")) == {("Ines Aldana", "done")}
        assert set(PlayedHole.objects.values_list("score", "putts")) == {(5, 2)}


def test_the_same_file_twice_adds_nothing(place: Place) -> None:
    text = as_csv(history(DAYS))
    fields = {"columns": COLUMNS, "constants": CONSTANTS}
    finished(place.coach, send(place.coach, text, **fields))
    again = finished(place.coach, send(place.coach, text, **fields))
    assert (again["state"], again["added"], again["already_there"]) == ("done", 0, 9)
    assert rounds(place) == 9
    # One more round in the file is the only one added; a second round of a day is another round.
    longer = as_csv([*history([*DAYS, "2025-08-02"]), *history(["2025-08-02"], score=6)[1:]])
    third = finished(place.coach, send(place.coach, longer, **fields))
    assert (third["added"], third["already_there"]) == (2, 9)


def test_a_round_twice_in_one_file_comes_once(place: Place) -> None:
    text = as_csv(history(["2025-05-03", "2025-05-03"]))
    looked = send(place.coach, text, dry_run="true", columns=COLUMNS, constants=CONSTANTS).json()
    assert (looked["new"], looked["already_there"]) == (1, 1)


def test_a_broken_file_saves_nothing_and_names_line_and_column(place: Place) -> None:
    lines = history(DAYS)
    lines[3][1] = "3 May"
    lines[5][2 + 6] = "none"  # hole 7
    lines[6][2 + 18 + 2] = 9  # nine putts in five strokes on hole 3
    lines[7][0] = "Tomas Rehn"  # not of this coach's squad
    lines[8][1] = "2190-01-01"
    text = as_csv(lines)
    fields = {"columns": COLUMNS, "constants": CONSTANTS}
    expected = [
        ("/Day", "not_a_day", 4, 2),
        ("/H7", "int_parsing", 6, 9),
        ("/P3", "more_putts_than_score", 7, 23),
        ("/Golfer", "no_such_player", 8, 1),
        ("/Day", "in_the_future", 9, 2),
    ]

    def places(faults: list[dict[str, Any]]) -> list[tuple[Any, ...]]:
        return [(f["pointer"], f["code"], f["line"], f["column"]) for f in faults]

    looked = send(place.coach, text, dry_run="true", **fields).json()
    assert places(looked["faults"]) == expected
    done = finished(place.coach, send(place.coach, text, **fields))
    assert (done["state"], done["added"]) == ("refused", 0)
    assert places(done["faults"]) == expected
    assert [fault["detail"] for fault in done["faults"]] == [fault["detail"] for fault in looked["faults"]]
    assert rounds(place) == 0


def test_the_faults_of_a_finished_import_are_told_in_the_readers_language(
    place: Place, settings: Any
) -> None:
    lines = history(DAYS)
    lines[6][2 + 18 + 2] = 9
    lines[7][0] = "Nobody"
    lines[8][1] = "2190-01-01"
    finished(place.manager, send(place.manager, as_csv(lines), columns=COLUMNS, constants=CONSTANTS))
    settings.LANGUAGES = [("en-gb", "English"), ("de", "Deutsch")]
    browser = Client(headers={"Accept-Language": "de"})
    browser.force_login(place.manager.user)
    said = browser.get(f"/clubs/{place.club.slug}/imports").content.decode()
    assert "Zeile 7: mehr Putts als Schläge" in said
    assert re.search(r"Zeile 9: der 1\. Jan 2190 liegt nach heute, dem \d+\. \w+ \d{4}", said)
    assert "more putts" not in said


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "column_missing"),
        ("Golfer,Day\r\nInes Aldana,2025-05-03\r\n", "no_such_column"),
        ("Day," + as_csv(history([])), "column_twice"),
        (as_csv(history(DAYS)) + "short,line\r\n", "wrong_number_of_cells"),
        (as_csv(history(DAYS)) + '"never closed\r\n', "not_csv"),
    ],
)
def test_what_is_no_such_file_is_refused_at_once(place: Place, text: str, code: str) -> None:
    response = send(place.coach, text, columns=COLUMNS, constants=CONSTANTS)
    assert response.status_code == 422
    assert code in {fault["code"] for fault in response.json()["errors"]}
    assert client_of(place.coach).get(ADDRESS).json()["results"] == []


def test_bytes_that_are_no_text_and_forms_without_a_file(place: Place) -> None:
    client = client_of(place.coach)
    for content in (b"\xff\xfe\x00", b"a\x00b"):
        form = {"kind": "scores", "file": SimpleUploadedFile("x.csv", content)}
        assert client.post(ADDRESS, form, format="multipart").status_code == 400
    assert client.post(ADDRESS, {"kind": "scores"}, format="multipart").status_code == 422
    assert send(place.coach, "x", kind="moons").status_code == 422
    assert send(place.coach, "x", columns="{").status_code == 422
    unknown = send(place.coach, as_csv(history(DAYS)), columns=COLUMNS | {"moon": "H1"}, constants=CONSTANTS)
    assert [fault["pointer"] for fault in unknown.json()["errors"]] == ["/columns/moon"]


@pytest.mark.parametrize("field", ["columns", "constants"])
def test_a_nul_that_json_hides_is_refused_and_named(place: Place, field: str) -> None:
    given = {"columns": COLUMNS, "constants": CONSTANTS}
    given[field] = given[field] | {"note": "a\0b"}
    refused = send(place.coach, as_csv(history(DAYS)), **given)
    assert refused.status_code == 422
    faults = [(fault["pointer"], fault["code"]) for fault in refused.json()["errors"]]
    assert faults == [(f"/{field}/note", "not_text")]


def shots_on_holes(numbers: Iterable[object]) -> str:
    header = ["player", "course", "tee", "played_on", "hole", "lie", "distance"]
    about = ["Ines Aldana", "Long course", "White", "2025-05-03"]
    return as_csv([header, *([*about, number, "tee", 380] for number in numbers)])


def test_a_hole_number_of_more_digits_than_a_number_has_is_a_fault_of_its_line(place: Place) -> None:
    looked = send(place.coach, shots_on_holes([1, "9" * 5000]), kind="shots", dry_run="true")
    assert looked.status_code == 200
    assert ("/hole", 3) in {(fault["pointer"], fault["line"]) for fault in looked.json()["faults"]}


def test_a_file_of_many_holes_is_read_about_as_soon_as_one_of_many_shots() -> None:
    """Five megabytes have room for hundreds of thousands."""

    def seconds(numbers: Iterable[int]) -> float:
        text = shots_on_holes(numbers)
        gc.disable()  # it would go through all that the tests before have left, more often for more objects
        began = time.process_time()
        assert FileReader(text, Layout(ImportKind.SHOTS)).count() == 1
        took = time.process_time() - began
        gc.enable()
        return took

    many_holes = min(seconds(range(20_000)) for _ in range(3))
    many_shots = min(seconds([1] * 20_000) for _ in range(3))
    assert many_holes < 3 * many_shots


def test_progress_shows_between_batches(place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(imports, "BATCH", 4)
    started = send(place.coach, as_csv(history(DAYS)), columns=COLUMNS, constants=CONSTANTS).json()
    seen = [(started["state"], started["checked"], started["added"])]
    while seen[-1][0] not in ("done", "refused"):
        worker.drain(limit=1)
        now = client_of(place.coach).get(f"{ADDRESS}/{started['id']}").json()
        seen.append((now["state"], now["checked"], now["added"]))
        assert rounds(place) == now["added"]  # nothing is saved before the end
    assert seen == [
        ("waiting", 0, 0),
        ("checking", 4, 0),
        ("checking", 8, 0),
        ("saving", 9, 0),
        ("done", 9, 9),
    ]


def manager_elsewhere() -> Member:
    """Of another club, with a course and a player of the same names."""
    club = factories.make_club("stonebarrow")
    with club_scope(club.id):
        factories.make_tee_set(factories.make_course())
        factories.make_player("Ines Aldana")
        return factories.make_member(Role.MANAGER, "other manager")


def test_an_export_of_shots_is_an_import_into_another_club(place: Place) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 3)
        shots = list(Shot.objects.order_by("played_hole__round__played_on", "played_hole__number", "number"))
    text = client_of(place.manager).get("/api/v1/export/shots.csv").getvalue().decode()
    here = send(place.manager, text, kind="shots", dry_run="true").json()
    assert here == {"rounds": 3, "new": 0, "already_there": 3, "faults": [], "warnings": []}
    manager = manager_elsewhere()
    done = finished(manager, send(manager, text, kind="shots"))
    assert (done["state"], done["added"], done["faults"]) == ("done", 3, [])
    names = (
        "lie",
        "distance",
        "holed",
        "club_used",
        "penalty_strokes",
        "miss_side",
        "travel",
        "swing",
        "tags",
    )
    with club_scope(manager.club_id):
        copies = list(Shot.objects.order_by("played_hole__round__played_on", "played_hole__number", "number"))
        assert len(copies) == len(shots)
        for shot, copy in zip(shots, copies, strict=True):
            for name in names:
                there, here_ = getattr(shot, name), getattr(copy, name)
                assert there == (pytest.approx(here_, abs=0.01) if isinstance(there, float) else here_), name


OF_HOLE = ("number", "score", "putts", "penalties", "picked_up", "fairway_hit", "green_in_regulation")


def holes_and_shots(club: Club) -> list[tuple[object, ...]]:
    with club_scope(club.id):
        return list(
            PlayedHole.objects.annotate(n=Count("shots")).order_by("number").values_list(*OF_HOLE, "n")
        )


def test_holes_without_shots_go_along_with_a_round_of_shots(place: Place) -> None:
    """Without them half of a round came back, or the file was refused for want of them."""
    every = factories.round_body()["holes"]
    kept = [
        hole if number % 2 else {"number": number, "score": 6, "putts": 3, "penalties": 1}
        for number, hole in enumerate(every, 1)
    ]
    kept[1] = {"number": 2, "picked_up": True, "score": 8}
    kept[3] |= {"fairway_hit": True, "green_in_regulation": False}
    with club_scope(place.club.id):
        make_round(place.manager, place.player, holes=kept)
        only_scores = [{"number": number, "score": 5} for number in range(1, 19)]
        make_round(place.manager, place.player, played_on=dt.date(2026, 6, 1), holes=only_scores)
    there = [
        hole for hole in holes_and_shots(place.club) if hole[1:] != (5, None, None, False, None, None, 0)
    ]
    text = client_of(place.manager).get("/api/v1/export/shots.csv").getvalue().decode()
    manager = manager_elsewhere()
    done = finished(manager, send(manager, text, kind="shots"))
    assert (done["state"], done["added"], done["faults"]) == ("done", 1, [])
    assert holes_and_shots(manager.club) == there
    assert len(there) == 18


def test_a_fault_of_a_hole_without_shots_names_its_own_line(place: Place) -> None:
    holes = factories.round_body()["holes"]
    holes[4] = {"number": 5, "score": 5, "putts": 2}
    with club_scope(place.club.id):
        make_round(place.manager, place.player, holes=holes)
    text = client_of(place.manager).get("/api/v1/export/shots.csv").getvalue().decode()
    lines = list(csv.reader(io.StringIO(text, newline="")))
    (number,) = (at for at, line in enumerate(lines) if line[lines[0].index("hole_putts")] == "2")
    lines[number][lines[0].index("hole_putts")] = "9"
    (fault,) = send(place.manager, as_csv(lines), kind="shots", dry_run="true").json()["faults"]
    found = (fault["pointer"], fault["code"], fault["line"], fault["hole"])
    assert found == ("/hole_putts", "more_putts_than_score", number + 1, 5)


def test_a_fault_of_a_shot_names_its_own_line(place: Place) -> None:
    with club_scope(place.club.id):
        make_round(place.manager, place.player)
    text = client_of(place.manager).get("/api/v1/export/shots.csv").getvalue().decode()
    lines = list(csv.reader(io.StringIO(text, newline="")))
    lie, day = lines[0].index("lie"), lines[0].index("played_on")
    for line in lines[1:]:
        line[day] = "2026-06-15"
    lines[9][lines[0].index("distance")] = (
        "700"  # the tee shot of hole 3, after eight lines of four shots each
    )
    looked = send(place.manager, as_csv(lines), kind="shots", dry_run="true").json()
    faults = [(f["pointer"], f["line"], f["hole"], f["shot"]) for f in looked["faults"]]
    assert faults == [("/distance", 10, 3, 1)]
    lines[6][lie] = "bush"  # the second shot of hole 2: nothing else is looked at in such a round
    looked = send(place.manager, as_csv(lines), kind="shots", dry_run="true").json()
    faults = [(f["pointer"], f["line"], f["hole"], f["column"]) for f in looked["faults"]]
    assert faults == [("/lie", 7, 2, lie + 1)]


def test_people_import_for_whom_they_may_post_and_see_their_own_imports(place: Place) -> None:
    text = as_csv(history(DAYS[:1]))
    fields = {"columns": COLUMNS, "constants": CONSTANTS}
    mine = send(place.player_member, text, **fields)
    assert finished(place.player_member, mine)["added"] == 1
    for member in (place.other_member, place.greenkeeper):
        faults = send(member, text, dry_run="true", **fields).json()["faults"]
        assert [fault["code"] for fault in faults] == ["no_such_player"]
        assert client_of(member).get(f"{ADDRESS}/{mine.json()['id']}").status_code == 404
        assert client_of(member).get(ADDRESS).json()["results"] == []
    assert len(client_of(place.manager).get(ADDRESS).json()["results"]) == 1


def test_a_repeated_upload_with_an_idempotency_key_begins_one_import(place: Place) -> None:
    text = as_csv(history(DAYS))
    client = client_of(place.coach)
    body = (
        '--x\r\nContent-Disposition: form-data; name="kind"\r\n\r\nscores\r\n'
        f'--x\r\nContent-Disposition: form-data; name="columns"\r\n\r\n{json.dumps(COLUMNS)}\r\n'
        f'--x\r\nContent-Disposition: form-data; name="constants"\r\n\r\n{json.dumps(CONSTANTS)}\r\n'
        '--x\r\nContent-Disposition: form-data; name="file"; filename="a.csv"\r\nContent-Type: text/csv\r\n\r\n'
        f"{text}\r\n--x--\r\n"
    ).encode()
    answers = [
        client.generic(
            "POST", ADDRESS, body, "multipart/form-data; boundary=x", headers={"Idempotency-Key": "k1"}
        )
        for _ in range(2)
    ]
    assert [answer.status_code for answer in answers] == [202, 202]
    assert answers[0].json()["id"] == answers[1].json()["id"]
    assert len(client.get(ADDRESS).json()["results"]) == 1
