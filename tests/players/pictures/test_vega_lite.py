"""Pictures as Vega-Lite: compiled and drawn by Vega-Lite itself, and telling what answers and pages tell."""

from __future__ import annotations

import datetime as dt
import html
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import vl_convert
from django.db import transaction
from django.test import Client
from pytest_django import DjangoDbBlocker
from rest_framework.test import APIClient

import golfstats.doors.pages
from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.walls.scope import club_scope
from players.coaching.models import Goal
from players.coaching.reports.report import write_player_report
from players.conditions import analysis
from players.people.models import Player
from players.pictures.answers import VEGA_LITE
from players.pictures.colours import PALETTES, Scheme
from players.pictures.questions import PictureName
from tests import factories
from tests.players.conftest import client_of
from tests.players.simulated_golf import play_rounds

VERSION = "5.21"
"""Of Vega-Lite; the last of the fifth."""
PAGES = {
    PictureName.PARTS: "parts",
    PictureName.APPROACH: "approach",
    PictureName.SHORT_GAME: "short-game",
    PictureName.PUTTS_MISSED: "putting",
    PictureName.MISSED_GREENS: "misses",
    PictureName.MISSED_FAIRWAYS: "misses",
}
"""The page that draws the same, where it says each figure in the same words."""


OVER_TIME = (PictureName.TREND, PictureName.INDEX, PictureName.LEVEL, PictureName.GOAL)
ASKED = {
    PictureName.TRIAL: "tag=club&a=driver&b=7-iron&outcome=strokes_gained",
    PictureName.COMPARE: "others={new}&figure=gained.putting",
}
"""What pictures that say nothing by themselves are asked."""


class Season:
    """A coach, a player with twelve analysed rounds, and one with none."""

    def __init__(self) -> None:
        self.club = factories.make_club("pictured")
        with club_scope(self.club.id):
            factories.make_tee_set(factories.make_course())
            member = factories.make_member(Role.PLAYER, "ines")
            self.player = factories.make_player("Ines Aldana", member)
            self.new = factories.make_player("Tomas Rehn", factories.make_member(Role.PLAYER, "tomas"))
            self.coach: Member = factories.make_member(Role.COACH, "coach")
            factories.make_squad("First team", self.coach, self.player)
            self.manager: Member = factories.make_member(Role.MANAGER, "manager")
            play_rounds(member, self.player, 12, 8.0)
            analysis.analyse_pending()
            write_player_report(self.player.id)

    def get(self, path: str, player: Player | None = None, **headers: str) -> Any:
        client: APIClient = client_of(self.manager)
        return client.get(f"/api/v1/players/{(player or self.player).id}/{path}", headers=headers)

    def specification(self, name: str, asked: str = "", player: Player | None = None) -> dict[str, Any]:
        more = ASKED.get(PictureName(name), "").format(new=(self.player if player else self.new).id)
        joined = "&".join(one for one in (asked.removeprefix("?"), more) if one)
        answer = self.get(f"pictures/{name}?{joined}", player, Accept=VEGA_LITE)
        assert answer.status_code == 200, answer.content
        assert answer["Content-Type"].startswith(VEGA_LITE)
        told: dict[str, Any] = json.loads(answer.content)
        return told


@pytest.fixture(scope="module")
def season(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[Season]:
    with django_db_blocker.unblock(), transaction.atomic():
        yield Season()
        transaction.set_rollback(True)


def data(spec: dict[str, Any]) -> list[dict[str, Any]]:
    values: list[dict[str, Any]] = spec["data"]["values"]
    return values


def drawn_words(spec: dict[str, Any]) -> str:
    """All that stands in the drawing that Vega-Lite makes of it; it may fetch nothing for that."""
    svg = vl_convert.vegalite_to_svg(spec, vl_version=VERSION, allowed_base_urls=[])
    return html.unescape(" ".join(re.findall(r">([^<]+)</(?:text|tspan)>", svg)))


@pytest.mark.parametrize("scheme", Scheme)
@pytest.mark.parametrize("name", PictureName)
def test_vega_lite_draws_every_picture(season: Season, name: PictureName, scheme: Scheme) -> None:
    spec = season.specification(name, f"?scheme={scheme}")
    words = drawn_words(spec)
    assert spec["title"]["text"] in words
    assert "Ines Aldana" in words
    assert spec["usermeta"]["sample"] in words
    assert "NaN" not in words
    assert "undefined" not in words
    assert spec["background"] == PALETTES[scheme].sheet


@pytest.mark.parametrize("name", PictureName)
def test_a_picture_has_all_that_it_needs(season: Season, name: PictureName) -> None:
    """No address but the name of the language, and words for who cannot see it."""
    spec = season.specification(name)
    text = json.dumps(spec | {"$schema": ""})
    assert "://" not in text
    assert '"url"' not in text
    assert spec["$schema"] == "https://vega.github.io/schema/vega-lite/v5.json"
    for one in data(spec):
        said = one["words"].partition(": ")[2] or one["words"]
        assert name in OVER_TIME or said in spec["description"]
    told = season.get(f"pictures/{name}?{ASKED.get(name, '').format(new=season.new.id)}").json()
    assert json.loads(told["specification"]) == spec
    assert told["description"] == spec["description"]


@pytest.mark.parametrize("name", PictureName)
def test_who_has_not_played_has_a_picture_that_says_so(season: Season, name: PictureName) -> None:
    spec = season.specification(name, player=season.new)
    words = drawn_words(spec)
    assert spec["title"]["text"] in words
    if name not in (PictureName.BAG, PictureName.COMPARE):  # a usual golfer's clubs; the other's golf
        assert all(one["value"] is None for one in data(spec) if "value" in one)
    if name in (PictureName.PARTS, PictureName.PUTTS_MISSED):
        assert "too few" in words


def test_the_parts_are_those_of_the_summary(season: Season) -> None:
    gained = season.get("summary").json()["strokes_gained"]
    figures = [gained[part] for part in ("total", "tee", "approach", "short_game", "putting")]
    told = data(season.specification("parts"))
    assert [(one["value"], one["low"], one["high"], one["words"]) for one in told] == [
        (one["value"], one["low"], one["high"], one["words"]) for one in figures
    ]


def test_a_trend_is_that_of_the_answer_and_better_is_up(season: Season) -> None:
    key = "approach.50-125.proximity"
    (trend,) = season.get(f"trends?keys={key}").json()["trends"]
    spec = season.specification("trend", f"?figure={key}")
    known = [one for one in trend["rounds"] if one["value"] is not None]
    assert known
    assert [(one["day"][:10], one["value"], one["level"]) for one in data(spec)] == [
        (one["played_on"], one["value"], one["level"]) for one in known
    ]
    scales = vl_convert.vegalite_to_vega(spec, vl_version=VERSION)["scales"]
    (up,) = [one for one in scales if one["name"] == "y"]
    assert up["reverse"] is True, "feet left to the hole: less is better"


def test_numbers_have_a_true_minus(season: Season) -> None:
    words = drawn_words(season.specification("parts", "?benchmark=professional"))
    assert re.search(r"−\d", words)
    assert not re.search(r"-\d", words.replace(season.specification("parts")["usermeta"]["sample"], ""))


@pytest.mark.parametrize("name", PAGES)
def test_the_page_says_each_figure_alike(season: Season, name: PictureName) -> None:
    client = Client()
    client.force_login(season.manager.user)
    page = client.get(f"/clubs/{season.club.slug}/players/{season.player.id}/{PAGES[name]}")
    assert page.status_code == 200
    said = html.unescape(page.content.decode())
    drawn = [one["words"] for one in data(season.specification(name)) if one["words"]]
    assert drawn
    assert [one for one in drawn if one not in said] == []


def test_the_window_is_that_which_was_asked_for(season: Season) -> None:
    assert "last 5 rounds" in season.specification("parts", "?last=5")["usermeta"]["sample"]
    assert season.get("pictures/parts?last=5&from=2026-01-01").status_code == 422
    assert season.get("pictures/portrait").status_code == 422


def test_the_list_names_each_picture_with_its_question(season: Season) -> None:
    told = season.get("pictures").json()["results"]
    assert [one["name"] for one in told] == list(PictureName)
    assert all("?" in one["question"] for one in told)
    assert client_of(season.coach).get(told[0]["address"]).status_code == 200


def test_a_coach_sees_no_picture_of_another_squads_player(season: Season) -> None:
    for name in PictureName:
        answer = client_of(season.coach).get(f"/api/v1/players/{season.new.id}/pictures/{name}")
        assert answer.status_code == 404
    others = f"others={season.new.id}"
    assert (
        client_of(season.coach)
        .get(f"/api/v1/players/{season.player.id}/pictures/compare?{others}")
        .status_code
        == 404
    )


def test_what_a_picture_needs_to_be_told_is_said(season: Season) -> None:
    assert season.get("pictures/trial").status_code == 422
    assert season.get("pictures/compare").status_code == 422
    nobodys = "00000000-0000-4000-8000-000000000000"
    assert season.get(f"pictures/goal?goal={nobodys}").status_code == 404
    assert season.get(f"pictures/plan-scores?plan={nobodys}").status_code == 404


def test_a_goals_picture_shows_where_it_is_going(season: Season) -> None:
    with club_scope(season.club.id):
        goal = Goal.objects.create(
            player=season.player,
            figure="gained.putting",
            target=0.5,
            window_rounds=5,
            due_on=dt.date(2027, 6, 1),
            set_by=season.coach,
        )
    (told,) = season.get("goals").json()["results"]
    spec = season.specification("goal", f"?goal={goal.id}")
    assert "goal +0.50 strokes" in drawn_words(spec)
    assert [one["value"] for one in data(spec)] == [
        one["value"] for one in told["history"] if one["value"] is not None
    ]
    assert told["progress"]["now"]["words"] in spec["usermeta"]["sample"]


def test_the_level_is_the_one_of_the_coachs_week(season: Season) -> None:
    (squad,) = client_of(season.coach).get("/api/v1/squads").json()["results"]
    week = client_of(season.coach).get(f"/api/v1/squads/{squad['id']}/week").json()
    (line,) = [one for one in week["players"] if one["player"]["id"] == str(season.player.id)]
    levels = [one["level"] for one in line["level"]["rounds"] if one["value"] is not None]
    assert levels
    assert [one["level"] for one in data(season.specification("level"))] == levels


def test_colours_are_those_of_the_pages() -> None:
    sheet = (Path(golfstats.doors.pages.__file__).parent / "static/web/style.css").read_text()
    light, dark, _ = re.findall(r":root \{(.*?)\}", sheet, re.DOTALL)  # the third is print
    for scheme, css in ((Scheme.LIGHT, light), (Scheme.DARK, dark)):
        colours = dict(re.findall(r"--([\w-]+): (#\w+)", css))
        own = vars(PALETTES[scheme])
        assert own == {name: colours[name.replace("_", "-")] for name in own}
