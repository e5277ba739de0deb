"""A club is run on its pages: courses, people, squads, settings, decisions, imports, messages."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from courses.layout.models import Course, Hole, Rating, TeeSet
from golfstats.ground.clubs.models import Club, Invitation, Member, User
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.webhooks.models import Destination
from players.handicap.models import CommitteeAction
from players.people.models import Player, Squad
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page
from tests.web.test_forms_without_scripts import stored


@pytest.fixture
def manager(place: Place) -> Client:
    return signed_in(place.manager)


def start(place: Place) -> str:
    return f"/clubs/{place.club.slug}/"


def grid(**changes: str) -> dict[str, str]:
    """What a browser sends for a grid of eighteen plain holes with one rating."""
    values = {}
    for n in range(1, 19):
        values |= {f"h{n}-length": str(300 + n), f"h{n}-par_men": "4", f"h{n}-stroke_index_men": str(n)}
    rating = {"course_rating": "70.1", "slope_rating": "120", "par": "72"}
    return values | {f"r-men-18-{name}": value for name, value in rating.items()} | changes


def test_a_course_is_made_with_tees_holes_and_ratings(place: Place, manager: Client) -> None:
    made = manager.post(f"{start(place)}courses", {"name": "Fen course", "hole_count": "18"})
    layout = made["Location"]
    tee = manager.post(layout, {"name": "blue"})["Location"]
    refused = manager.post(tee, grid(**{"h7-stroke_index_men": "3", "h9-length": "1200"}))
    text = Page.of(refused.content).text
    assert "Hole 9, length: Enter less than 900." in text
    refused = manager.post(tee, grid(**{"h7-stroke_index_men": "3"}))
    assert "each stroke index from 1 to 18 once" in Page.of(refused.content).text
    with club_scope(place.club.id):
        assert not Hole.objects.filter(tee_set__name="blue").exists(), "nothing is saved by halves"
    assert manager.post(tee, grid()).status_code == 302
    with club_scope(place.club.id):
        assert Hole.objects.filter(tee_set__name="blue").count() == 18
        assert Rating.objects.get(tee_set__name="blue").slope_rating == 120
    assert "318" in Page.of(manager.get(layout).content).text
    other = manager.post(layout, {"name": "white"})["Location"]
    shown = manager.get(other).content.decode()
    assert re.search(r'name="h5-par_men"[^>]*value="4"', shown), "pars are those of the other tees"
    assert re.search(r'name="h5-length"[^>]*value=""', shown), "lengths are not"


def test_lines_of_a_spreadsheet_fill_the_grid_and_are_not_saved_yet(place: Place, manager: Client) -> None:
    with club_scope(place.club.id):
        course = Course.objects.get()
        tee = TeeSet.objects.create(course=course, name="Red")
    lines = (
        "Hole\tyd\tpar\tSI\n²\t300\n"
        + "9" * 5000
        + "\t300\n"
        + "\n".join(f"{n}\t{310 + n}\t4\t{n}" for n in range(1, 19))
    )
    address = f"{start(place)}courses/{course.id}/tees/{tee.id}"
    shown = manager.post(address, grid() | {"pasted": lines})
    assert re.search(r'name="h18-length"[^>]*value="328"', shown.content.decode())
    with club_scope(place.club.id):
        assert not Hole.objects.filter(tee_set=tee).exists()


def test_a_member_without_golf_becomes_a_player(place: Place, manager: Client) -> None:
    coach = place.coach
    form = {"rating_gender": "women"}
    assert manager.post(f"{start(place)}members/{coach.id}/player", form).status_code == 302
    assert [one.rating_gender for one in stored(place, Player) if one.member_id == coach.id] == ["women"]


def test_roles_change_and_the_last_manager_stays(place: Place, manager: Client) -> None:
    address = f"{start(place)}members/{place.coach.id}/role"
    manager.post(address, {"role": "greenkeeper"})
    assert {one.id: one.role for one in stored(place, Member)}[place.coach.id] == "greenkeeper"
    refused = manager.post(f"{start(place)}members/{place.manager.id}/role", {"role": "player"}, follow=True)
    assert "at least one manager" in Page.of(refused.content).text
    assert {one.id: one.role for one in stored(place, Member)}[place.manager.id] == "manager"


def test_what_does_not_come_back_is_asked_first(place: Place, manager: Client) -> None:
    page = Page.of(manager.get(f"{start(place)}members").content)
    ending = f"{start(place)}members/{place.coach.id}/remove"
    assert ending in page.links
    asked = Page.of(manager.get(ending).content)
    assert asked.headings == [f"End the membership of {place.coach.name}?"]
    with club_scope(place.club.id):
        course = Course.objects.get()
        assert Member.objects.filter(id=place.coach.id).exists()
    assert (
        f"{start(place)}courses/{course.id}/remove"
        in Page.of(manager.get(f"{start(place)}courses/{course.id}/layout").content).links
    )
    manager.get(f"{start(place)}courses/{course.id}/remove")
    manager.post(ending)
    with club_scope(place.club.id):
        assert Course.objects.filter(id=course.id).exists()
        assert not Member.objects.filter(id=place.coach.id).exists()


def test_an_invitation_is_withdrawn(place: Place, manager: Client) -> None:
    shown = manager.post(f"{start(place)}members", {"name": "Nadia", "role": "coach"}, follow=True)
    (link,) = re.findall(r"http://testserver(/join/\S+)", Page.of(shown.content).text)
    (invitation,) = stored(place, Invitation)
    manager.post(f"{start(place)}members/invitations/{invitation.id}/withdraw")
    assert Client().get(link).status_code == 404


def test_a_squad_is_made_changed_and_dissolved(place: Place, manager: Client) -> None:
    form = {"name": "Second team", "coaches": [str(place.coach.id)], "players": [str(place.other_player.id)]}
    assert manager.post(f"{start(place)}squads", form).status_code == 302
    (made,) = [one for one in stored(place, Squad) if one.name == "Second team"]
    coach = signed_in(place.coach)
    assert "Tomas Rehn" in Page.of(coach.get(start(place)).content).text
    manager.post(f"{start(place)}squads/{made.id}/change", form | {"players": []})
    assert "Tomas Rehn" not in Page.of(coach.get(start(place)).content).text
    asked = Page.of(manager.get(f"{start(place)}squads/{made.id}/remove").content)
    assert asked.headings == ["Dissolve Second team?"]
    assert made in stored(place, Squad), "asking takes nothing away"
    manager.post(f"{start(place)}squads/{made.id}/remove")
    assert [one.name for one in stored(place, Squad)] == ["First team"]


def test_settings_are_changed_and_faults_stand_at_their_fields(place: Place, manager: Client) -> None:
    form = {
        "name": "Larkmoor",
        "time_zone": "Europe/Oslo",
        "distance_unit": "metres",
        "date_style": "day_month",
        "first_weekday": "monday",
        "benchmark": "professional",
        "short_game_yards": "0",
        "erased_golf": "gone",
    }
    refused = manager.post(f"{start(place)}club/settings", form)
    assert "Enter more than 0." in Page.of(refused.content).text
    assert manager.post(f"{start(place)}club/settings", form | {"short_game_yards": "90"}).status_code == 302
    with club_scope(place.club.id):
        club = Club.objects.get()
    assert (club.time_zone, club.distance_unit, club.short_game_yards) == ("Europe/Oslo", "metres", 90)


def test_a_decision_of_the_committee_is_recorded_and_taken_back(place: Place, manager: Client) -> None:
    address = f"{start(place)}members/players/{place.player.id}/committee"
    form = {
        "kind": "set_initial_index",
        "effective_on": "2026-06-01",
        "reason": "Certificate of another club",
    }
    assert "needed" in Page.of(manager.post(address, form).content).text.lower()
    assert manager.post(address, form | {"value": "12.4"}).status_code == 302
    (action,) = stored(place, CommitteeAction)
    assert str(action.value) == "12.4"
    manager.post(f"{address}/{action.id}/withdraw")
    assert stored(place, CommitteeAction)[0].withdrawn_at is not None


def test_a_file_is_looked_at_before_it_is_taken_in(place: Place, manager: Client) -> None:
    holes = ",".join(f"Hole {n}" for n in range(1, 19))
    scores = ",".join("5" for _ in range(18))
    text = f"Who,When,Where,Tee,{holes}\nInes Aldana,2026-06-01,Long course,White,{scores}\nNobody,2026-06-01,Long course,White,{scores}\n"
    text = text.replace("2026-06-01", "14.6.2026").replace(",", ";")

    def form(**more: str) -> dict[str, object]:
        file = SimpleUploadedFile("rounds.csv", text.encode(), "text/csv")
        return {"file": file, "kind": "shots", "dates": "year_first", **more}

    guessed = manager.post(f"{start(place)}imports", form(step="guess"))
    assert "5 columns recognised" in Page.of(guessed.content).text
    filled = guessed.context["form"].initial
    columns = filled["columns"].splitlines()
    assert columns == [
        "player = Who",
        "course = Where",
        "tee = Tee",
        "played_on = When",
        "score = Hole {n}",
    ]
    known = {name: filled[name] for name in ("kind", "columns", "dates")}
    looked = Page.of(manager.post(f"{start(place)}imports", form(**known, step="look")).content).text
    assert "2 rounds: 1 new, 0 there already, 1 fault" in looked
    assert "Line 3:" in looked
    assert manager.post(f"{start(place)}imports", form(**known, step="take")).status_code == 302


def test_an_address_is_told_what_happens(place: Place, manager: Client, settings: Any) -> None:
    settings.WEBHOOKS_ALLOW_PRIVATE = True
    form = {"url": "https://127.0.0.1:9/told", "happenings": ["round_analysed"]}
    shown = manager.post(f"{start(place)}webhooks", form, follow=True)
    assert "shown this once" in Page.of(shown.content).text
    (destination,) = stored(place, Destination)
    assert destination.secret not in Page.of(manager.get(f"{start(place)}webhooks").content).text
    manager.post(f"{start(place)}webhooks/{destination.id}/test")
    assert "Sent lately" in Page.of(manager.get(f"{start(place)}webhooks").content).text
    manager.post(f"{start(place)}webhooks/{destination.id}/switch")
    assert not stored(place, Destination)[0].active
    manager.post(f"{start(place)}webhooks/{destination.id}/remove")
    assert stored(place, Destination) == []


def test_a_club_is_founded_on_a_page_only_where_that_is_let(db: None, settings: Any) -> None:
    form = {"name": "Heronsmere", "slug": "heronsmere", "time_zone": "Europe/Oslo"}
    mine = {"username": "petra", "password": "a-long-password"}
    settings.OPEN_FOUNDING = False
    assert Client().post("/found", form | mine).status_code == 404
    settings.OPEN_FOUNDING = True
    person = Client()
    assert person.post("/found", form | mine | {"password": "short"}).status_code == 422
    assert not User.objects.filter(username__startswith="petra").exists()
    # Nobody's club is on Greenwich's clock because its founder overlooked a list.
    nowhere = person.post("/found", {"name": "Heronsmere", "slug": "heronsmere", **mine})
    assert "“Time zone” is missing." in Page.of(nowhere.content).text
    assert b"selected>UTC" not in person.get("/found").content
    founded = person.post("/found", form | mine, follow=True)
    assert "A course" in Page.of(founded.content).text
    again = Client().post("/found", form | mine)
    assert "There is a club of that address already." in Page.of(again.content).text
