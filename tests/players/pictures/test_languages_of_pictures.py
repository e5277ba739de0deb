"""A picture that a program draws says its words in the language that was asked for, and English otherwise."""

from __future__ import annotations

import json
from typing import Any

import pytest
import vl_convert
from rest_framework.test import APIClient

from golfstats.ground.clubs.models import Member
from golfstats.ground.walls.scope import club_scope
from players.conditions import analysis
from players.pictures.answers import VEGA_LITE
from players.pictures.questions import PictureName
from tests import factories
from tests.players.conftest import Place, client_of

GERMAN = {"Accept-Language": "de"}


@pytest.fixture
def played(place: Place) -> Place:
    with club_scope(place.club.id):
        factories.make_round(place.manager, place.player)
        analysis.analyse_pending()
    return place


def picture(member: Member, place: Place, name: PictureName, **headers: str) -> tuple[Any, dict[str, Any]]:
    client: APIClient = client_of(member)
    answer = client.get(f"/api/v1/players/{place.player.id}/pictures/{name}", headers=headers)
    assert answer.status_code == 200, answer.content
    return answer, answer.json()


def test_a_german_reader_has_title_axes_and_description_in_german(played: Place) -> None:
    answer, told = picture(played.coach, played, PictureName.PARTS, **GERMAN)
    assert answer.headers["Content-Language"] == "de"
    assert "Accept-Language" in answer.headers["Vary"]
    assert told["title"] == "Gewonnene Schläge je Runde nach Teil des Spiels"
    drawn = json.loads(told["specification"])
    assert drawn["title"]["text"] == told["title"]
    assert drawn["config"]["locale"]["number"]["decimal"] == ","
    assert drawn["config"]["locale"]["time"]["days"][0] == "Sonntag"
    assert "Null ist: " in drawn["description"]
    assert "Zero is" not in told["specification"]
    assert vl_convert.vegalite_to_svg(drawn).startswith("<svg")


def test_without_a_language_it_is_english(played: Place) -> None:
    answer, told = picture(played.coach, played, PictureName.PARTS)
    assert answer.headers["Content-Language"] == "en"
    assert told["title"] == "Strokes gained a round by part of the game"
    assert "locale" not in json.loads(told["specification"])["config"]


def test_the_specification_alone_has_the_same_language(played: Place) -> None:
    answer = client_of(played.coach).get(
        f"/api/v1/players/{played.player.id}/pictures/{PictureName.PARTS}",
        headers={**GERMAN, "Accept": VEGA_LITE},
    )
    assert answer.headers["Content-Language"] == "de"
    assert answer.json()["title"]["text"].startswith("Gewonnene Schläge")
