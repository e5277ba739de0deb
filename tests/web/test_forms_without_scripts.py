"""Every form does its work by plain HTML, and shows each fault where it belongs."""

from __future__ import annotations

import datetime as dt
import json
import re
from typing import TypeVar

import pytest
from django.db.models import Model
from django.test import Client

from courses.calendars.models import CalendarFeed, Event
from courses.calendars.services import EventBody
from courses.greens.models import GreenReading, GreenWork
from courses.greens.services import GreenReadingBody, GreenWorkBody
from courses.layout.bodies import PlayingConditionsBody
from courses.layout.models import Course, PlayingConditions
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.ground.clock import today_at
from golfstats.ground.clubs.models import Club, Member
from golfstats.ground.inputs import Body
from golfstats.ground.walls.scope import club_scope
from players.coaching.models import AttentionDismissal, Goal, PracticeNote
from players.coaching.questions import NoteBody
from players.rounds.models import PlayedHole, Round
from tests import factories
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page

RowT = TypeVar("RowT", bound=Model)
HOLES = "\n".join(f"{number} =5/2" for number in range(1, 19))
ROUND = f"course: Long course\ntee: White\ndate: 2026-06-14\n{HOLES}\n"


@pytest.fixture
def course(place: Place) -> Course:
    with club_scope(place.club.id):
        return Course.objects.get()


def make_round(place: Place) -> Round:
    with club_scope(place.club.id):
        return factories.make_round(place.manager, place.player)


def stored(place: Place, rows: type[RowT]) -> list[RowT]:
    """All rows of a table in the club, in the order in which they were made."""
    with club_scope(place.club.id):
        return list(rows._default_manager.order_by("id"))


def score_of_first_hole(place: Place) -> int:
    return next(hole.score for hole in stored(place, PlayedHole) if hole.number == 1)


def start(place: Place) -> str:
    return f"/clubs/{place.club.slug}/"


@pytest.mark.parametrize(
    ("page", "body"),
    [
        ("courses/{course}/green-work/new", GreenWorkBody),
        ("courses/{course}/readings/new", GreenReadingBody),
        ("courses/{course}/events/new", EventBody),
        ("courses/{course}/playing-conditions", PlayingConditionsBody),
        ("players/{player}/notes/new", NoteBody),
    ],
)
def test_a_form_asks_for_each_field_that_it_saves(
    place: Place, course: Course, page: str, body: type[Body]
) -> None:
    """What a form leaves out cannot be said, and would be lost whenever somebody corrects the rest."""
    address = start(place) + page.format(course=course.id, player=place.player.id)
    html = signed_in(place.manager).get(address).content.decode()
    assert set(body.model_fields) - set(re.findall(r'name="(\w+)"', html)) == set()


def test_a_round_typed_in_the_notation_is_saved_and_shown(place: Place) -> None:
    client = signed_in(place.player_member)
    response = client.post(f"{start(place)}rounds/new", {"text": ROUND, "key": "one"})
    (saved,) = stored(place, Round)
    assert saved.player_id == place.player.id
    assert response["Location"] == f"{start(place)}rounds/{saved.id}"
    page = Page.of(client.get(response["Location"]).content)
    assert "has not analysed this round yet" in page.text


def test_the_same_form_sent_twice_saves_one_round(place: Place) -> None:
    client = signed_in(place.player_member)
    first, second = (
        client.post(f"{start(place)}rounds/new", {"text": ROUND, "key": "twice"}) for _ in range(2)
    )
    assert len(stored(place, Round)) == 1
    assert first["Location"] == second["Location"]
    other = client.post(f"{start(place)}rounds/new", {"text": ROUND.replace("=5/2", "=4/2"), "key": "twice"})
    assert other.status_code == 422
    assert "correct that round on its own page" in Page.of(other.content).text


def test_faults_of_a_round_name_their_hole_and_line_and_nothing_is_saved(place: Place) -> None:
    client = signed_in(place.player_member)
    text = ROUND.replace("7 =5/2", "7 T190 G900").replace("9 =5/2", "9 W30")
    page = client.post(f"{start(place)}rounds/new", {"text": text, "key": "faulty"})
    assert page.status_code == 422
    assert "Hole 9" in Page.of(page.content).text
    assert "'W' is no lie" in Page.of(page.content).text
    assert "T190 G900" in Page.of(page.content).text, "what was typed stays in the form"
    text = text.replace("9 W30", "9 =5/2")
    page = client.post(f"{start(place)}rounds/new", {"text": text, "key": "faulty"})
    assert "Hole 7, shot 2" in Page.of(page.content).text
    assert "longer than any green" in Page.of(page.content).text
    assert stored(place, Round) == []


def test_a_round_is_corrected_in_the_notation_unless_somebody_was_quicker(place: Place) -> None:
    round_ = make_round(place)
    client = signed_in(place.player_member)
    address = f"{start(place)}rounds/{round_.id}/edit"
    html = client.get(address).content.decode()
    text = re.search(r'<textarea id="text"[^>]*>(.*?)</textarea>', html, re.DOTALL)[1]
    assert "1 T390 F140 G18 G2" in text
    changed = re.sub(r"(?m)^1 .*$", "1 T390 F140 G18 G3 G1", text)
    assert client.post(address, {"text": changed, "version": "1"}).status_code == 302
    assert score_of_first_hole(place) == 5
    again = client.post(address, {"text": text, "version": "1"})
    assert again.status_code == 422
    assert "changed since you read it" in Page.of(again.content).text
    assert score_of_first_hole(place) == 5


def test_a_round_is_deleted_after_asking(place: Place) -> None:
    round_ = make_round(place)
    client = signed_in(place.player_member)
    address = f"{start(place)}rounds/{round_.id}/delete"
    assert "Delete the round of Ines Aldana" in Page.of(client.get(address).content).text
    assert stored(place, Round) == [round_]
    client.post(address)
    assert stored(place, Round) == []


def test_a_round_of_somebody_else_cannot_be_changed(place: Place) -> None:
    round_ = make_round(place)
    other = signed_in(place.other_member)
    for action in ("edit", "delete"):
        assert other.post(f"{start(place)}rounds/{round_.id}/{action}", {}).status_code == 404
    assert [one.version for one in stored(place, Round)] == [1]


def test_green_work_is_entered_corrected_and_taken_back(place: Place, course: Course) -> None:
    client = signed_in(place.greenkeeper)
    address = f"{start(place)}courses/{course.id}"
    form = {"kind": "coring_medium", "starts_on": "2026-09-01", "holes": ["3", "5"], "status": "confirmed"}
    assert client.post(f"{address}/green-work/new", form).status_code == 302
    (work,) = stored(place, GreenWork)
    assert (work.holes, work.ends_on) == ([3, 5], dt.date(2026, 9, 1))
    page = Page.of(client.get(address).content)
    assert "Coring, medium tines" in page.text
    assert "greens 3, 5" in page.text
    assert "label and your local codes" in page.text
    client.post(f"{address}/green-work/{work.id}", form | {"ends_on": "2026-09-02"})
    (work,) = stored(place, GreenWork)
    assert (work.ends_on, work.sequence) == (dt.date(2026, 9, 2), 1)
    client.post(f"{address}/green-work/{work.id}/delete")
    assert stored(place, GreenWork) == []


def test_faults_of_green_work_stand_at_their_fields(place: Place, course: Course) -> None:
    client = signed_in(place.greenkeeper)
    form = {"kind": "coring_medium", "starts_on": "2026-09-01", "holes": ["3", "27"], "severity": "4"}
    response = client.post(f"{start(place)}courses/{course.id}/green-work/new", form)
    assert response.status_code == 422
    wrong = re.findall(r'class="field wrong">.*?name="(\w+)"', response.content.decode(), re.DOTALL)
    assert wrong == ["holes"]
    del form["holes"]
    response = client.post(f"{start(place)}courses/{course.id}/green-work/new", form)
    wrong = re.findall(r'class="field wrong">.*?name="(\w+)"', response.content.decode(), re.DOTALL)
    assert wrong == ["severity"]
    assert "Enter 1 or less." in Page.of(response.content).text
    del form["kind"]
    response = client.post(f"{start(place)}courses/{course.id}/green-work/new", form)
    assert "“What is done” is missing." in Page.of(response.content).text
    assert stored(place, GreenWork) == []


def test_faults_are_said_as_people_say_them(place: Place, course: Course) -> None:
    client = signed_in(place.greenkeeper)
    form = {"measured_at": "2026-06-14T08:30", "hole": "two", "roll_one_way_ft": "9.5 x"}
    text = Page.of(client.post(f"{start(place)}courses/{course.id}/readings/new", form).content).text
    assert "Enter a number." in text
    assert "is not a number" in text
    assert "Input should" not in text
    assert "parse" not in text


def test_kinds_of_green_work_stand_in_groups_each_once_with_one_forecast(
    place: Place, course: Course
) -> None:
    client = signed_in(place.greenkeeper)
    html = client.get(f"{start(place)}courses/{course.id}/green-work/new").content.decode()
    kinds = re.findall(r'name="kind" value="(\w+)"', html)
    assert sorted(kinds) == sorted(work_types())
    assert html.count("felt for ") + html.count("not felt") == len(kinds)


def test_a_player_reads_of_todays_coring_before_teeing_off(place: Place, course: Course) -> None:
    client = signed_in(place.greenkeeper)
    with club_scope(place.club.id):
        today = today_at(place.club)
    form = {"kind": "coring_medium", "starts_on": today.isoformat()}
    assert client.post(f"{start(place)}courses/{course.id}/green-work/new", form).status_code == 302
    player = signed_in(place.player_member)
    for page in ("", "rounds/new"):
        assert "medium tines today" in Page.of(player.get(start(place) + page).content).text, page


def test_a_speed_is_noted_by_one_tap_and_removed(place: Place, course: Course) -> None:
    client = signed_in(place.greenkeeper)
    address = f"{start(place)}courses/{course.id}"
    assert client.post(f"{address}/readings/quick", {"speed": "9.5", "hole": "4"}).status_code == 302
    (reading,) = stored(place, GreenReading)
    assert (reading.hole, reading.roll_one_way_ft, reading.roll_other_way_ft) == (4, [9.5], [9.5])
    assert signed_in(place.player_member).post(f"{address}/readings/{reading.id}/delete").status_code == 403
    assert client.post(f"{address}/readings/{reading.id}/delete").status_code == 302
    assert stored(place, GreenReading) == []


def test_a_reading_is_taken_in_the_clubs_own_time(place: Place, course: Course) -> None:
    with club_scope(place.club.id):
        Club.objects.update(time_zone="Europe/Madrid")
    client = signed_in(place.greenkeeper)
    form = {"measured_at": "2026-06-14T08:30", "roll_one_way_ft": "9.5 9.6 9.4", "roll_other_way_ft": "9.1"}
    assert client.post(f"{start(place)}courses/{course.id}/readings/new", form).status_code == 302
    (reading,) = stored(place, GreenReading)
    # Madrid is two hours ahead of UTC in June.
    assert reading.measured_at == dt.datetime(2026, 6, 14, 6, 30, tzinfo=dt.UTC)
    assert reading.roll_one_way_ft == [9.5, 9.6, 9.4]


def test_an_event_and_the_dates_that_would_meet_it(place: Place, course: Course) -> None:
    client = signed_in(place.greenkeeper)
    address = f"{start(place)}courses/{course.id}"
    client.post(
        f"{address}/events/new", {"name": "Autumn cup", "starts_on": "2027-09-05", "competition": "yes"}
    )
    assert stored(place, Event)[0].ends_on == dt.date(2027, 9, 5)
    plan = {"kind": "coring_medium", "from": "2027-09-04", "to": "2027-09-06", "days": "1"}
    text = Page.of(client.get(address, plan).content).text
    # Work begun on the 4th or 5th meets the event of the 5th; begun on the 6th it does not.
    assert "Monday 6 September" in text.split("When would it hurt least?")[1]
    assert "none" in text
    (event,) = stored(place, Event)
    client.post(f"{address}/events/{event.id}/delete")
    assert stored(place, Event) == []


def test_a_manager_invites_a_member_who_then_can_sign_in(place: Place) -> None:
    client = signed_in(place.manager)
    form = {"name": "Nadia Berrin", "role": "coach"}
    shown = client.post(f"{start(place)}members", form, follow=True)
    assert ("Nadia Berrin", "coach") not in [(one.name, one.role) for one in stored(place, Member)]
    (address,) = re.findall(r"http://testserver(/join/\S+)", Page.of(shown.content).text)
    person = Client()
    joined = person.post(address, {"username": "nadia", "password": "a-long-password"}, follow=True)
    (name,) = re.findall(r"nadia\.\d{4}", Page.of(joined.content).text)[:1]
    assert ("Nadia Berrin", "coach") in [(one.name, one.role) for one in stored(place, Member)]
    assert Client().login(username=name, password="a-long-password")
    again = Client().post(address, {"username": "nadia", "password": "a-long-password"})
    assert again.status_code == 404
    assert b"a-long-password" not in again.content


def test_a_days_playing_conditions_are_entered_once(place: Place, course: Course) -> None:
    client = signed_in(place.manager)
    address = f"{start(place)}courses/{course.id}/playing-conditions"
    form = {"played_on": "2026-06-14", "part_of_day": "day", "pcc": "1", "origin": "association"}
    assert client.post(address, form).status_code == 302
    assert client.post(address, form).status_code == 422
    assert client.post(address, form | {"pcc": "9", "played_on": "2026-06-15"}).status_code == 422
    assert [one.pcc for one in stored(place, PlayingConditions)] == [1]


def test_a_coach_sets_a_goal_and_notes_practice(place: Place) -> None:
    client = signed_in(place.coach)
    address = f"{start(place)}players/{place.player.id}"
    goal = {"figure": "putts.three", "target": "0.05", "due_on": "2030-06-01", "rounds": "12"}
    assert client.post(f"{address}/goals/new", goal).status_code == 302
    assert [one.window_rounds for one in stored(place, Goal)] == [12]
    assert client.post(f"{address}/goals/new", goal | {"due_on": "2020-06-01"}).status_code == 422
    assert client.post(f"{address}/goals/new", goal | {"rounds": "0"}).status_code == 422
    note = {"practised_on": "2026-06-01", "text": "Lag putts, forty of them", "figure": "putts.three"}
    assert client.post(f"{address}/notes/new", note).status_code == 302
    assert [one.written_by_id for one in stored(place, PracticeNote)] == [place.coach.id]
    own = signed_in(place.player_member)
    page = Page.of(own.get(f"{address}/goals").content)
    assert "Lag putts, forty of them" in page.text, "the player sees what the coach noted"
    (goal_row,), (note_row,) = stored(place, Goal), stored(place, PracticeNote)
    assert own.post(f"{address}/goals/{goal_row.id}/close").status_code == 302
    assert stored(place, Goal)[0].state == "closed"
    assert client.post(f"{address}/notes/{note_row.id}/delete").status_code == 302
    assert stored(place, PracticeNote) == []


def test_the_target_of_a_share_is_said_in_per_cent_and_taken_as_a_share_too(place: Place) -> None:
    client = signed_in(place.coach)
    address = f"{start(place)}players/{place.player.id}/goals/new"
    goal = {"figure": "putts.three", "due_on": "2030-06-01", "rounds": "12"}
    for target in ("5", "0.05"):
        assert client.post(address, goal | {"target": target}).status_code == 302
    assert [one.target for one in stored(place, Goal)] == [0.05, 0.05]
    page = Page.of(client.get(address).content)
    assert place.player.name in page.text
    assert "Holes with three putts or more, %" in page.text


def test_who_may_do_what_somebody_else_may_not_is_said_in_words(place: Place) -> None:
    answer = signed_in(place.greenkeeper).get(f"{start(place)}rounds/new")
    page = Page.of(answer.content)
    assert (answer.status_code, page.headings) == (403, ["Only a player, coach or manager may do this"])
    assert "as greenkeeper" in page.text


def test_the_address_of_a_button_says_that_nothing_was_done(place: Place) -> None:
    answer = signed_in(place.coach).get(f"{start(place)}attention/put-aside")
    assert (answer.status_code, answer["Allow"]) == (405, "POST, OPTIONS")
    assert Page.of(answer.content).headings == ["Nothing was done yet"]


def test_an_item_is_put_aside(place: Place) -> None:
    client = signed_in(place.coach)
    form = {"player": str(place.player.id), "item": "no_round"}
    assert client.post(f"{start(place)}attention/put-aside", form).status_code == 302
    assert [one.dismissed_by_id for one in stored(place, AttentionDismissal)] == [place.coach.id]
    assert "Put aside for Ines Aldana." in Page.of(client.get(start(place)).content).text
    client.post(f"{start(place)}attention/put-aside", form | {"undo": "yes"})
    assert stored(place, AttentionDismissal) == []
    form["player"] = str(place.other_player.id)
    assert client.post(f"{start(place)}attention/put-aside", form).status_code == 404


def test_players_are_compared_among_those_one_may_see(place: Place) -> None:
    manager, coach = signed_in(place.manager), signed_in(place.coach)
    both = {"player": [str(place.player.id), str(place.other_player.id)], "figure": "gained.total"}
    page = Page.of(manager.get(f"{start(place)}compare", both).content)
    assert "Ines Aldana" in page.text
    assert "Tomas Rehn" in page.text
    assert "too few" in page.text
    assert coach.get(f"{start(place)}compare", both).status_code == 404
    one = manager.get(f"{start(place)}compare", {"player": [str(place.player.id)]})
    assert one.status_code == 422


@pytest.mark.parametrize("kind", ["text/plain; charset=utf-8", "application/json"])
def test_the_api_takes_a_round_of_a_signed_in_browser(place: Place, kind: str) -> None:
    """As the guided entry sends it: by session, with the token against forged requests in a header."""
    client = Client(enforce_csrf_checks=True)
    client.force_login(place.player_member.user)
    page = client.get(f"{start(place)}rounds/new").content.decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="(\w+)"', page)[1]
    body = ROUND if kind.startswith("text") else json.dumps(factories.round_body())
    headers = {"Club": place.club.slug, "Idempotency-Key": "browser", "X-CSRFToken": token}
    answer = client.post("/api/v1/rounds", body, content_type=kind, headers=headers)
    assert answer.status_code == 201, answer.content
    forged = client.post("/api/v1/rounds", body, content_type=kind, headers={"Club": place.club.slug})
    assert forged.status_code == 403
    assert len(stored(place, Round)) == 1


def test_a_calendar_address_is_shown_once_answers_and_is_revoked(place: Place, course: Course) -> None:
    client = signed_in(place.greenkeeper)
    page = f"{start(place)}courses/{course.id}/calendar"
    opened = re.search(
        r"<pre>(http://testserver/calendar/\S+\.ics)</pre>", client.post(page).content.decode()
    )[1]
    assert opened.encode() not in client.get(page).content
    assert Client().get(opened).status_code == 200
    (feed,) = stored(place, CalendarFeed)
    client.post(f"{page}/{feed.id}/revoke")
    assert Client().get(opened).status_code == 404
    assert signed_in(place.player_member).post(page).status_code == 403


def test_what_looks_wrong_in_a_round_is_shown_until_somebody_says_that_it_is_so(place: Place) -> None:
    client = signed_in(place.player_member)
    text = ROUND.replace("\n1 =5/2\n", "\n1 T38 F150 G18 G2\n")
    saved = client.post(f"{start(place)}rounds/new", {"text": text, "key": "one"})["Location"]
    words = "Hole 1, shot 1: T38 – the hole is 390 yards long from this tee. Did you mean T380?"
    assert words in Page.of(client.get(saved).content).text
    (round_,) = stored(place, Round)
    client.post(f"{saved}/warnings", {"warning": round_.warnings[0]["id"]})
    assert words not in Page.of(client.get(saved).content).text
