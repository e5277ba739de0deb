"""A person moves to another club: the file that the old one gives is taken in by the new one as it is."""

from __future__ import annotations

import datetime as dt
import io
import itertools
import json
import zipfile
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from courses.layout.models import Course
from golfstats.ground.clubs.models import Club, Member, Role
from golfstats.ground.faults import ProblemError
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.files.incoming.taken_along import FILE_LIMIT, TO_POST_AGAIN, csv_within
from players.files.models import ImportKind
from players.record.writing import record_of
from players.rounds.models import PlayedHole, Round, Shot
from tests import factories
from tests.players.conftest import client_of
from tests.players.simulated_golf import play_rounds
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page

ADDRESS = "/api/v1/imports"
SHOTS = TO_POST_AGAIN[ImportKind.SHOTS]
OF_SHOT = ("played_hole__number", "number", "lie", "distance", "penalty_strokes", "club_used", "holed")
OF_HOLE = ("number", "score", "putts", "penalties", "picked_up")


def shots_of(club: Club) -> list[tuple[Any, ...]]:
    with club_scope(club.id):
        found = Shot.objects.order_by("played_hole__round__played_on", "played_hole__number", "number")
        return list(found.values_list("played_hole__round__played_on", *OF_SHOT))


def holes_of(club: Club) -> list[tuple[Any, ...]]:
    with club_scope(club.id):
        found = PlayedHole.objects.order_by("round__played_on", "number")
        return list(found.values_list("round__played_on", *OF_HOLE))


@pytest.fixture
def record(place: Place) -> bytes:
    """Everything that the first club keeps of somebody: three rounds of simulated shots, one of scores."""
    with club_scope(place.club.id):
        play_rounds(place.player_member, place.player, 3)
        holes = [{"number": number, "score": 5, "putts": 2} for number in range(1, 19)]
        factories.make_round(place.player_member, place.player, played_on=dt.date(2024, 5, 4), holes=holes)
    worker.drain()
    with club_scope(place.club.id):
        return record_of(place.player_member)


@pytest.fixture
def elsewhere(place: Place) -> Club:
    club = factories.make_club("stonebarrow")
    with club_scope(club.id):
        factories.make_tee_set(factories.make_course())
    return club


def member_of(club: Club, role: Role, name: str, player: str = "") -> Member:
    with club_scope(club.id):
        member = factories.make_member(role, name)
        if player:
            factories.make_player(player, member)
        return member


def send_zip(member: Member, content: bytes) -> Any:
    return client_of(member).post(ADDRESS, content, content_type="application/zip")


def send_form(member: Member, content: bytes, kind: str = "shots", **fields: str) -> Any:
    form = {"kind": kind, "file": SimpleUploadedFile("golf-record.zip", content), **fields}
    return client_of(member).post(ADDRESS, form, format="multipart")


def ended(member: Member, response: Any) -> dict[str, Any]:
    assert response.status_code == 202, response.content
    worker.drain()
    told: dict[str, Any] = client_of(member).get(f"{ADDRESS}/{response.json()['id']}").json()
    return told


def test_strokes_and_shots_are_the_same_under_another_name(
    place: Place, record: bytes, elsewhere: Club
) -> None:
    member = member_of(elsewhere, Role.PLAYER, "ines2", player="I. Aldana")
    assert ended(member, send_zip(member, record))["added"] == 3
    assert shots_of(elsewhere) == shots_of(place.club)
    looked = send_form(member, record, kind="scores", dry_run="true").json()
    assert (looked["new"], looked["already_there"], looked["faults"]) == (1, 3, [])
    assert ended(member, send_form(member, record, kind="scores"))["added"] == 1
    assert holes_of(elsewhere) == holes_of(place.club)
    with club_scope(elsewhere.id):
        assert set(Round.objects.values_list("player__name", "analysis")) == {("I. Aldana", "done")}


def test_the_same_zip_twice_adds_nothing(record: bytes, elsewhere: Club) -> None:
    member = member_of(elsewhere, Role.PLAYER, "ines2", player="Ines Aldana")
    ended(member, send_zip(member, record))
    again = ended(member, send_zip(member, record))
    assert (again["added"], again["already_there"]) == (0, 3)


def test_a_manager_takes_it_in_for_a_player(record: bytes, elsewhere: Club) -> None:
    manager = member_of(elsewhere, Role.MANAGER, "manager2")
    with club_scope(elsewhere.id):
        factories.make_player("Ines of the new club")
    unnamed = send_form(manager, record, dry_run="true").json()
    assert unnamed["new"] == 0
    assert {fault["code"] for fault in unnamed["faults"]} == {"no_such_player"}
    constants = json.dumps({"player": "Ines of the new club"})
    assert ended(manager, send_form(manager, record, constants=constants))["added"] == 3
    with club_scope(elsewhere.id):
        assert set(Round.objects.values_list("player__name", flat=True)) == {"Ines of the new club"}


def test_nobody_takes_it_in_for_another_player(record: bytes, elsewhere: Club) -> None:
    member = member_of(elsewhere, Role.PLAYER, "ines2", player="Ines Aldana")
    with club_scope(elsewhere.id):
        other = factories.make_player("Somebody else")
    constants = json.dumps({"player": other.name})
    looked = send_form(member, record, dry_run="true", constants=constants).json()
    assert looked["new"] == 0
    assert {fault["code"] for fault in looked["faults"]} == {"no_such_player"}


def test_the_page_takes_it(record: bytes, elsewhere: Club) -> None:
    manager = member_of(elsewhere, Role.MANAGER, "manager2")
    with club_scope(elsewhere.id):
        factories.make_player("Ines Aldana")
    fields = {
        "kind": "shots",
        "constants": "player = Ines Aldana",
        "dates": "year_first",
        "step": "look",
        "file": SimpleUploadedFile("golf-record.zip", record),
    }
    answer = signed_in(manager).post(f"/clubs/{elsewhere.slug}/imports", fields)
    assert "3 rounds: 3 new, 0 there already, 0 faults" in Page.of(answer.content).text


def bring(member: Member, content: bytes, kind: str, **fields: str) -> Page:
    """Send the file on the player's own page, and read what it says."""
    page = f"/clubs/{member.club.slug}/record/bring"
    browser = signed_in(member)
    assert page in Page.of(browser.get(f"/clubs/{member.club.slug}/record").content).links
    form = {"kind": kind, "file": SimpleUploadedFile("golf-record.zip", content), **fields}
    answer = browser.post(page, form)
    if answer.status_code == 302:
        worker.drain()
        answer = browser.get(answer.headers["Location"])
    return Page.of(answer.content)


def test_a_player_moves_with_their_history_by_pages_alone(
    place: Place, record: bytes, elsewhere: Club
) -> None:
    old = signed_in(place.player_member)
    old.post(f"/clubs/{place.club.slug}/record")
    worker.drain()
    content = old.get(f"/clubs/{place.club.slug}/record/file").getvalue()

    member = member_of(elsewhere, Role.PLAYER, "ines2", player="I. Aldana")
    looked = bring(member, content, "shots", look="on")
    assert "3 rounds: 3 new, 0 there already, 0 faults. Nothing was saved." in looked.text
    assert holes_of(elsewhere) == []
    assert "3 added, 0 there already" in bring(member, content, "shots").text
    assert "1 added, 3 there already" in bring(member, content, "scores").text
    assert shots_of(elsewhere) == shots_of(place.club)
    assert holes_of(elsewhere) == holes_of(place.club)
    with club_scope(elsewhere.id):
        assert set(Round.objects.values_list("player__name", flat=True)) == {"I. Aldana"}


def test_the_player_s_page_names_what_is_wrong(record: bytes, elsewhere: Club) -> None:
    member = member_of(elsewhere, Role.PLAYER, "ines2", player="Ines Aldana")
    with club_scope(elsewhere.id):
        Course.objects.update(name="Renamed")
    assert "Line 2" in bring(member, record, "shots", look="on").text
    assert "This is no zip" in bring(member, b"PK and nothing else", "shots").text
    other = member_of(elsewhere, Role.PLAYER, "tomas2")
    assert "Line 2" in bring(other, record, "shots", look="on").text
    assert "look again" not in bring(other, record, "shots", look="on").text, (
        "imports of others are not shown"
    )


def test_a_course_that_is_not_there_is_told_by_line(record: bytes, elsewhere: Club) -> None:
    member = member_of(elsewhere, Role.PLAYER, "ines2", player="Ines Aldana")
    with club_scope(elsewhere.id):
        elsewhere_course = factories.make_course("Short course")
        type(elsewhere_course).objects.exclude(id=elsewhere_course.id).update(name="Renamed")
    faults = send_form(member, record, dry_run="true").json()["faults"]
    assert {(fault["code"], fault["pointer"]) for fault in faults} == {("no_such_course", "/course")}
    assert faults[0]["line"] == 2


# Wrong zips ------------------------------------------------------------------------------------------------


def zip_of(**files: bytes) -> bytes:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as file:
        for name, content in files.items():
            file.writestr(name, content)
    return target.getvalue()


BOMB = zip_of(**{SHOTS: b"0" * (FILE_LIMIT * 20)})


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"hole,lie\r\n", "not_a_zip"),
        (b"PK\x03\x04 and nothing else", "not_a_zip"),
        (zip_of(**{"shots.csv": b"hole\r\n"}), "file_missing"),
        (BOMB, "too_large"),
        (BOMB.replace((FILE_LIMIT * 20).to_bytes(4, "little"), (9).to_bytes(4, "little")), "not_a_zip"),
        (zip_of(**{SHOTS: b"hole\r\n"}), "column_missing"),
    ],
    ids=["a CSV", "cut off", "another zip", "a bomb", "a bomb that claims nine bytes", "not our columns"],
)
def test_a_wrong_zip_is_refused_with_its_reason(place: Place, content: bytes, code: str) -> None:
    answer = send_zip(place.player_member, content)
    assert answer.status_code == 422, answer.content
    assert code in {error["code"] for error in answer.json()["errors"]}


def test_a_zip_broken_anywhere_is_read_or_refused() -> None:
    """Nothing but a problem comes of it, which is what a request answers with 422."""
    whole = zip_of(**{SHOTS: b"hole,lie,player\r\n1,tee,Ines\r\n" * 3})
    refused = 0
    for place, value in itertools.product(range(len(whole)), (0, 1, 8, 255)):
        broken = whole[:place] + bytes([value]) + whole[place + 1 :]
        try:
            csv_within(broken, ImportKind.SHOTS)
        except ProblemError:
            refused += 1
    assert refused > len(whole)
