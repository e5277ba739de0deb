"""Pictures of greens, holes and plans: the specification that a program gets is of the page's own data."""

from __future__ import annotations

import datetime as dt
import html
import json
import re
from typing import Any

import pytest
import vl_convert
from django.test import Client

from courses.calendars.models import Event
from courses.greens import services as greens
from courses.greens.services import GreenWorkBody
from courses.layout.models import Course, TeeSet
from golfstats.ground.clock import today_at
from golfstats.ground.walls.scope import club_scope
from players.pictures.colours import PALETTES, Scheme
from players.pictures.questions import CoursePictureName
from players.plans.models import RoundPlan
from players.rounds.models import Round
from tests.graphql.asking import data
from tests.players.pictures.test_vega_lite import drawn_words
from tests.web.conftest import Place, signed_in
from tests.web.test_hole_costs import tee
from tests.web.test_tomorrow import made

__all__ = ["made", "tee"]


@pytest.fixture
def course(place: Place, tee: TeeSet) -> Course:
    """With coring four days ago and an event in five."""
    with club_scope(place.club.id):
        course = Course.objects.get()
        today = today_at(place.club)
        body = GreenWorkBody(kind="coring_medium", starts_on=today - dt.timedelta(days=4))
        greens.add_work(place.greenkeeper, course, body)
        day = today + dt.timedelta(days=5)
        Event.objects.create(course=course, name="Autumn Cup", starts_on=day, ends_on=day)
    return course


def told(client: Client, address: str) -> dict[str, Any]:
    answer = client.get(f"/api/v1/{address}")
    assert answer.status_code == 200, answer.content
    picture: dict[str, Any] = json.loads(answer.content)
    return picture | {"specification": json.loads(picture["specification"])}


def marks(page: str) -> list[str]:
    """What the marks of a page's pictures say."""
    return [html.unescape(one) for one in re.findall(r"<title>([^<]+)</title>", page)]


@pytest.mark.parametrize("scheme", Scheme)
@pytest.mark.parametrize("name", CoursePictureName)
def test_vega_lite_draws_every_picture_of_a_course(
    place: Place, course: Course, name: CoursePictureName, scheme: Scheme
) -> None:
    asked = "&gender=women" if name is CoursePictureName.HOLE_COSTS else ""
    picture = told(signed_in(place.manager), f"courses/{course.id}/pictures/{name}?scheme={scheme}{asked}")
    spec = picture["specification"]
    words = drawn_words(spec)
    assert picture["title"] in words
    assert course.name in words
    assert picture["sample"] in words
    assert "NaN" not in words
    assert "undefined" not in words
    assert spec["background"] == PALETTES[scheme].sheet
    assert '"url"' not in json.dumps(spec)
    for one in spec["data"]["values"]:
        assert one["words"] in picture["description"]


def test_the_season_and_the_days_to_come_are_those_of_the_page(place: Place, course: Course) -> None:
    client = signed_in(place.greenkeeper)
    page = client.get(f"/clubs/{place.club.slug}/courses/{course.id}").content.decode()
    season = told(client, f"courses/{course.id}/pictures/season")
    coming = told(client, f"courses/{course.id}/pictures/coming-days")
    drawn = [one["words"] for one in season["specification"]["data"]["values"]]
    assert len(drawn) == 1
    assert drawn[0] in marks(page)
    days = [one["words"] for one in coming["specification"]["data"]["values"]]
    assert len(days) == 30
    assert [one for one in days if one not in marks(page)] == []
    assert "Autumn Cup" in season["description"]
    assert "Autumn Cup" in coming["description"]


def test_what_holes_cost_is_that_of_the_page_and_better_is_right(
    place: Place, course: Course, tee: TeeSet
) -> None:
    client = signed_in(place.coach)
    page = client.get(f"/clubs/{place.club.slug}/courses/{course.id}/tees/{tee.id}/costs?gender=women")
    picture = told(client, f"courses/{course.id}/pictures/hole-costs?gender=women&tee={tee.id}&hole=1")
    spec = picture["specification"]
    drawn = [one["words"] for one in spec["data"]["values"]]
    assert len(drawn) == 18
    assert [one for one in drawn if one not in marks(page.content.decode())] == []
    scales = vl_convert.vegalite_to_vega(spec, vl_version="5.21")["scales"]
    assert next(one for one in scales if one["name"] == "x")["reverse"] is True
    assert "not worked out" in told(client, f"courses/{course.id}/pictures/hole-costs")["sample"].lower()


def test_pictures_keep_to_whom_their_pages_are_for(place: Place, course: Course) -> None:
    player, coach = signed_in(place.player_member), signed_in(place.coach)
    address = f"/api/v1/courses/{course.id}/pictures"
    assert player.get(f"{address}/hole-costs").status_code == 403
    assert coach.get(f"{address}/by-green").status_code == 403
    assert player.get(f"{address}/recovery").status_code == 200
    assert player.get(f"{address}/portrait").status_code == 422


@pytest.mark.parametrize("scheme", Scheme)
def test_the_pictures_of_a_plan_are_those_of_its_page(place: Place, made: RoundPlan, scheme: Scheme) -> None:
    client = signed_in(place.player_member)
    page = html.unescape(client.get(f"/clubs/{place.club.slug}/plans/{made.id}").content.decode())
    address = f"players/{place.player.id}/pictures"
    scores = told(client, f"{address}/plan-scores?plan={made.id}&scheme={scheme}")
    assert scores["description"].split(". ", 3)[3].partition(".")[0] in page
    assert "strokes" in drawn_words(scores["specification"])
    clubs = told(client, f"{address}/plan-clubs?plan={made.id}&hole=2&scheme={scheme}")
    drawn = clubs["specification"]["data"]["values"]
    assert drawn
    assert all(one["name"] in page for one in drawn)
    assert drawn[0]["value"] == 0
    assert "Hole 2" in drawn_words(clubs["specification"])
    afterwards = client.get(f"/clubs/{place.club.slug}/plans/{made.id}/played").content.decode()
    parts = told(client, f"{address}/plan-parts?plan={made.id}&scheme={scheme}")
    stacked = [one["words"] for one in parts["specification"]["data"]["values"]]
    assert [one for one in stacked if one not in marks(afterwards)] == []
    assert "execution" in drawn_words(parts["specification"])


def test_the_pattern_about_the_aim_is_that_of_the_page_and_says_what_sides_cost(
    place: Place, made: RoundPlan
) -> None:
    client = signed_in(place.player_member)
    page = html.unescape(client.get(f"/clubs/{place.club.slug}/plans/{made.id}").content.decode())
    picture = told(client, f"players/{place.player.id}/pictures/plan-misses?plan={made.id}&hole=4")
    spec = picture["specification"]
    sides = [one["words"] for one in spec["data"]["values"]]
    assert len(sides) == 4
    assert any("strokes" in one for one in sides)
    assert [one for one in sides if one not in marks(page)] == []
    assert "half of the shots finish within" in picture["description"]
    assert picture["description"].partition("With the ")[2].partition(". ")[0] in page
    outer, inner = ([abs(point["x"]) for point in one["data"]["values"]] for one in spec["layer"][:2])
    assert max(outer) > max(inner) > 0


def test_clubs_that_cannot_be_told_apart_are_rings_and_said_to_be(place: Place, made: RoundPlan) -> None:
    client = signed_in(place.player_member)
    for hole in range(1, 10):
        spec = told(client, f"players/{place.player.id}/pictures/plan-clubs?hole={hole}")["specification"]
        if any(one["hollow"] for one in spec["data"]["values"]):
            assert "rings: clubs that cannot be told apart" in spec["usermeta"]["interval"]
            return
    pytest.fail("no tie on any hole")


def test_graphql_gives_the_same_picture(place: Place, course: Course, played: Round) -> None:
    told_by_rest = told(signed_in(place.greenkeeper), f"courses/{course.id}/pictures/coming-days")
    asked = "query($id: UUID!) { coursePicture(id: $id, picture: coming_days) { title specification } }"
    picture = data(place.greenkeeper, asked, id=str(course.id))["coursePicture"]
    assert picture["title"] == told_by_rest["title"]
    assert json.loads(picture["specification"]) == told_by_rest["specification"]
