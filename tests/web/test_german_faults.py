"""What a German page says of mistakes is German, each at its place."""

from __future__ import annotations

import datetime as dt
import json
import re
from typing import Annotated, Any

import pytest
from django.utils.translation import override
from pydantic import Field

from golfstats.doors.pages.forms import fault_words
from golfstats.ground.faults import ProblemError
from golfstats.ground.inputs import Body, Day, checked
from golfstats.ground.outbox import worker
from golfstats.ground.outbox.worker import WORKER_DIED
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.words import spoken
from golfstats.sentences import Sentence, as_kept, from_kept
from players.record import services
from players.record.models import RecordExport
from tests import factories
from tests.players.conftest import client_of
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page
from tests.web.test_scorecards import card
from tests.web.test_tomorrow import where

GERMAN = {"Accept-Language": "de"}

TYPED = """\
course: Long course
tee: White
date: {day}
1 T380(driver) G20 G3
2 T200 Q5
3 =2/4
"""


class Asked(Body):
    played_on: Day
    wind_mph: float


class Bounded(Body):
    share: Annotated[float, Field(le=0.5)]
    celsius: Annotated[float, Field(ge=-30)]
    day: Day
    note: Annotated[str, Field(max_length=1)]
    many: Annotated[list[int], Field(max_length=2)]


def test_a_round_in_the_notation(place: Place) -> None:
    client = signed_in(place.player_member)
    refused = client.post(where(place, "rounds/new"), {"text": TYPED.format(day="soon")}, headers=GERMAN)
    text = Page.of(refused.content).text
    assert "Der Text ist nicht in Kurzschrift. Nichts wurde gespeichert" in text
    assert "date ist ein Tag wie 2026-06-14" in text
    assert "'Q' ist keine Lage; die Lagen sind T tee" in text


def test_a_card_whose_stroke_indexes_are_every_second_number(place: Place) -> None:
    client = signed_in(place.player_member)
    odd = {f"h{number}-stroke_index_men": str(2 * number - 1) for number in range(1, 10)}
    refused = client.post(where(place, "courses/from-a-scorecard"), card(**odd), headers=GERMAN)
    text = Page.of(refused.content).text
    assert "Herren: jeder Stroke Index von 1 bis 9 einmal; wo die Karte jede zweite Nummer hat" in text


def test_a_fault_on_a_card_names_its_field_in_german(place: Place) -> None:
    client = signed_in(place.player_member)
    wrong = {"tee": "", "h2-length": "long", "h3-par_men": "x", "r-men-18-slope_rating": "x"}
    refused = client.post(where(place, "courses/from-a-scorecard"), card(**wrong), headers=GERMAN)
    text = Page.of(refused.content).text
    for told in (
        "Name der Abschläge: Diese Angabe fehlt.",
        "Loch 2, Länge: Geben Sie eine Zahl ein.",
        "Loch 3, Par der Herren: Geben Sie eine ganze Zahl ein.",
        "Rating, Slope Rating: Geben Sie eine ganze Zahl ein.",
    ):
        assert told in text
    # And the label by which a field is heard.
    assert 'aria-label="Herren, 18 Löcher: Slope Rating"' in refused.content.decode()


def test_an_address_that_is_none_and_a_round_without_words(place: Place) -> None:
    client = signed_in(place.player_member)
    account = client.post(
        "/account", {"change-email": "1", "present": "x", "email": "none"}, headers=GERMAN, follow=True
    )
    text = Page.of(account.content).text
    assert "Eine E-Mail-Adresse wird wie name@example.org geschrieben." in text
    assert "^[" not in text
    empty = client.post(where(place, "rounds/new"), {"text": ""}, headers=GERMAN)
    assert "The request is not valid" not in Page.of(empty.content).text


def test_a_committee_reads_an_index_with_a_comma(place: Place) -> None:
    with club_scope(place.club.id):
        for day in range(1, 4):
            factories.make_round(place.manager, place.player, dt.date(2026, 6, day))
    worker.drain()
    page = signed_in(place.manager).get(
        where(place, f"members/players/{place.player.id}/committee"), headers=GERMAN
    )
    text = Page.of(page.content).text
    assert re.search(r"Index \+?\d+,\d\.", text)
    assert not re.search(r"Index \+?\d+\.\d", text)


def test_a_name_that_is_taken(place: Place) -> None:
    refused = signed_in(place.manager).post(
        where(place, "courses"), {"name": "Long Course", "hole_count": "18"}, headers=GERMAN
    )
    assert "gibt es schon." in Page.of(refused.content).text


def test_what_the_checks_of_a_body_refuse() -> None:
    with pytest.raises(ProblemError) as refused:
        checked(Asked, {"played_on": "14.6.2026", "wind_mph": "strong"})
    details = {fault.pointer: fault for fault in refused.value.faults}
    day = details["/played_on"]
    assert day.detail == "a day is written as 2026-06-14"
    assert fault_words(day) == "A day is written as 2026-06-14."
    with override("de"):
        assert fault_words(day).startswith("Ein Tag wird als ")
        assert fault_words(details["/wind_mph"]) == "Geben Sie eine Zahl ein."


@pytest.mark.parametrize("kept", [False, True])
def test_days_in_a_sentence_are_written_as_pages_write_them(*, kept: bool) -> None:
    late = Sentence("{played_on} is after today", played_on=dt.date(2026, 6, 14))
    with override("de"):
        assert spoken(from_kept(as_kept(late)) if kept else late) in {
            "der 14. Jun 2026 liegt nach heute",
            "der 14. Juni 2026 liegt nach heute",
        }


@pytest.mark.parametrize(
    ("kept", "told"),
    [
        (WORKER_DIED, "der Arbeiter hat währenddessen aufgehört"),
        ("KeyError: 'course_id'", "ein Fehler des Dienstes"),
    ],
)
def test_why_a_file_could_not_be_written(place: Place, kept: str, told: str) -> None:
    """People are told in their language what they can understand, and nothing of the program's insides."""
    client = signed_in(place.player_member)
    client.post(where(place, "record"))
    with club_scope(place.club.id):
        services.mark_failed(RecordExport.objects.get().id, kept)
    text = Page.of(client.get(where(place, "record"), headers=GERMAN).content).text
    assert told in text
    assert kept not in text


def test_a_phone_hears_in_german_what_its_round_lacks_and_where(place: Place) -> None:
    """The pad posts JSON with the cookie of its session; a program without a language is told the same in English."""
    body = factories.round_body()
    body["holes"][0]["shots"][0] |= {"distance": "far", "lie": "carpet"}
    del body["tee"]
    refused = signed_in(place.coach).post(
        "/api/v1/rounds", json.dumps(body), content_type="application/json", headers=GERMAN
    )
    faults = {fault["pointer"]: fault for fault in refused.json()["errors"]}
    assert faults["/tee"]["detail"] == "diese Angabe fehlt"
    distance, lie = (faults[f"/holes/0/shots/0/{name}"] for name in ("distance", "lie"))
    assert distance["detail"] == "geben Sie eine Zahl ein"
    assert (distance["code"], distance["hole"], distance["shot"]) == ("float_parsing", 1, 1)
    assert lie["detail"].startswith("eines von tee, fairway, rough")
    program = client_of(place.coach).post("/api/v1/rounds", body, format="json")
    said = {fault["pointer"]: (fault["code"], fault["detail"]) for fault in program.json()["errors"]}
    assert said["/tee"] == ("missing", "this is missing")
    assert said["/holes/0/shots/0/distance"] == ("float_parsing", "enter a number")
    assert said["/holes/0/shots/0/lie"][1].startswith("one of tee, fairway, rough")


def test_a_bound_is_told_with_the_marks_of_the_language() -> None:
    with pytest.raises(ProblemError) as refused:
        checked(Bounded, {"share": 2, "celsius": -40, "day": "2300-01-01", "note": "xx", "many": [1, 2, 3]})
    details = {fault.pointer: fault.detail for fault in refused.value.faults}
    assert details["/share"] == "enter 0.5 or less"
    with override("de"):
        told = {place: spoken(detail) for place, detail in details.items()}
    assert told == {
        "/share": "höchstens 0,5",
        "/celsius": "mindestens −30",
        "/day": "spätestens 31. Dez 2199",
        "/note": "höchstens 1 Zeichen",
        "/many": "höchstens 2 Einträge",
    }


def test_a_page_that_asks_too_often_is_told_so_in_german(place: Place, settings: Any) -> None:
    settings.THROTTLE = "1/h"
    client = signed_in(place.coach)
    answers = [client.get("/api/v1/clubs", headers=GERMAN) for _ in range(2)]
    assert answers[-1].status_code == 429
    assert answers[-1].json()["detail"] == "Zu viele Anfragen in kurzer Zeit."
    assert answers[-1].headers["Content-Language"] == "de"


def test_what_is_not_among_the_choices_is_refused_without_the_words_of_programs(place: Place) -> None:
    asked = f"players/{place.player.id}/trials?tag=club&a=driver&b=7-iron&outcome=luck"
    refused = signed_in(place.coach).get(where(place, asked), headers=GERMAN)
    text = Page.of(refused.content).text
    assert refused.status_code == 422
    assert "Das steht nicht zur Wahl" in text
    assert "strokes_gained" not in text
