"""How a club writes days, when its week begins, and the language that a person chose for themselves."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.test import Client

from courses.layout.models import Course
from golfstats.ground.clock import today_at, week_began
from golfstats.ground.clubs.models import Club
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.words import FORMS, dated, dates_as
from players.club.services import change_settings
from players.rounds.models import Round
from tests import factories
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page


def text(client: Client, address: str) -> str:
    return " ".join(Page.of(client.get(address).content).text.split())


def keep(place: Place, **settings: object) -> None:
    with club_scope(place.club.id):
        change_settings(Club.objects.get(), settings)


@pytest.mark.parametrize(
    ("style", "written"),
    [("day_month", "{d.day} {d:%B} {d.year}"), ("month_day", "{d:%B} {d.day}, {d.year}"), ("iso", "{d}")],
)
def test_a_round_says_its_day_as_the_club_writes_days(
    place: Place, played: Round, style: str, written: str
) -> None:
    keep(place, date_style=style)
    page = text(signed_in(place.player_member), f"/clubs/{place.club.slug}/rounds/{played.id}")
    assert written.format(d=played.played_on) in page


def test_sentences_of_answers_write_days_as_the_club_does(place: Place, played: Round) -> None:
    keep(place, date_style="iso")
    client = signed_in(place.player_member)
    address = f"/api/v1/players/{place.player.id}/summary"
    assert played.played_on.isoformat() in client.get(address).json()["window"]["words"]
    keep(place, date_style="day_month")
    assert f"{played.played_on:%Y}" in client.get(address).json()["window"]["words"]
    assert played.played_on.isoformat() not in client.get(address).json()["window"]["words"]


@pytest.mark.parametrize(("begins", "weekday"), [("monday", "Monday"), ("sunday", "Sunday")])
def test_a_coachs_week_begins_where_the_clubs_does(place: Place, begins: str, weekday: str) -> None:
    keep(place, first_weekday=begins)
    with club_scope(place.club.id):
        since = week_began(Club.objects.get(), today_at(place.club)) - dt.timedelta(days=7)
    page = text(signed_in(place.coach), f"/clubs/{place.club.slug}/")
    assert f"since {weekday} {since.day} {since:%B}" in page


@pytest.mark.parametrize("day", [dt.date(2026, 11, 22) + dt.timedelta(days=one) for one in range(8)])
def test_the_first_day_of_a_week(place: Place, day: dt.date) -> None:
    """22 November 2026 is a Sunday."""
    monday, sunday = Club(first_weekday="monday"), Club(first_weekday="sunday")
    assert week_began(monday, day) == dt.date.fromisocalendar(*day.isocalendar()[:2], 1)
    assert week_began(sunday, day) == dt.date(2026, 11, 29 if day.day == 29 else 22)


def test_a_club_without_course_or_people_says_what_to_do_first(place: Place, settings: Any) -> None:
    settings.OPEN_FOUNDING = True  # an installation with a database of its own has it off
    founder = signed_in(place.manager)
    form = {"name": "Brackwater Links", "slug": "brackwater-links", "time_zone": "UTC"}
    assert founder.post("/found", form).status_code == 302
    start = "/clubs/brackwater-links/"
    assert "Add the first one" in text(founder, f"{start}rounds/new")
    assert "Invite people" in text(founder, f"{start}players")
    assert "Compare" not in text(founder, f"{start}players")


def test_a_greenkeeper_flags_work_from_their_first_page(place: Place) -> None:
    with club_scope(place.club.id):
        course = Course.objects.order_by("name").first()
        factories.make_course("Second course")
    page = signed_in(place.greenkeeper).get(f"/clubs/{place.club.slug}/greens").content.decode()
    assert course is not None
    assert f"/courses/{course.id}/green-work/new" in page


def test_every_form_of_a_day_says_the_same_day() -> None:
    day = dt.datetime(2026, 11, 14, 9, 5)
    for form in FORMS:
        for style in ("day_month", "month_day", "iso"):
            with dates_as(style):
                assert "14" in dated(day, form)


def test_a_manager_chooses_how_days_are_written_and_when_weeks_begin(place: Place) -> None:
    manager = signed_in(place.manager)
    address = f"/clubs/{place.club.slug}/club/settings"
    form = {
        "name": "Larkmoor",
        "time_zone": "UTC",
        "distance_unit": "yards",
        "date_style": "month_day",
        "first_weekday": "sunday",
        "benchmark": "professional",
        "short_game_yards": "100",
        "erased_golf": "gone",
    }
    assert manager.post(address, form).status_code == 302
    told = manager.get("/api/v1/club").json()
    assert (told["date_style"], told["first_weekday"]) == ("month_day", "sunday")


def test_a_person_is_spoken_to_in_their_language_wherever_they_sign_in(place: Place, settings: Any) -> None:
    settings.LANGUAGES = [("en-gb", "English"), ("de", "Deutsch")]
    signed_in(place.coach).post("/language", {"language": "de", "next": "/account"})
    elsewhere = signed_in(place.coach)
    assert "Ihr Konto" in text(elsewhere, "/account")
    assert "Your account" in text(signed_in(place.manager), "/account")
    elsewhere.post("/language", {"language": "", "next": "/account"})
    assert "Your account" in text(signed_in(place.coach), "/account")
