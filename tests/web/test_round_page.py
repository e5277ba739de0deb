"""What a player reads of a round, and of himself."""

from __future__ import annotations

import datetime as dt
import re

from django.test import Client

from golfstats.clubs.scope import club_scope
from golfstats.outbox import worker
from golfstats.web.pages.assets import library_version
from players.models import Round, RoundFigures
from tests import factories
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page


def test_a_round_shows_each_shot_with_what_its_number_came_from(place: Place, played: Round) -> None:
    client = signed_in(place.player_member)
    text = Page.of(client.get(f"/clubs/{place.club.slug}/rounds/{played.id}").content).text
    with club_scope(place.club.id):
        total = RoundFigures.objects.get(round=played).total
    assert f"{total:+.2f}".replace("-", "−") in text
    # The 18-foot putt of a plain hole, two putts: 1.87 expected from 18 feet less 1.01 from 2 feet less 1 stroke
    # (Broadie 2012, Table 2 has 1.87 at 20 feet; the exact words are the API's).
    assert (
        len(re.findall(r"expected from 18 ft on the green − [\d.]+ expected from 2 ft on the green", text))
        == 18
    )
    assert "from memory and not checked against the paper" in text


def test_a_round_can_be_read_against_another_golfer(place: Place, played: Round) -> None:
    client = signed_in(place.player_member)
    address = f"/clubs/{place.club.slug}/rounds/{played.id}"
    assert "Golfer of handicap 20" in Page.of(client.get(address, {"benchmark": "handicap:20"}).content).text
    assert client.get(address, {"benchmark": "handicap:900"}).status_code == 422


def test_a_players_page_has_figures_rounds_and_too_few_where_it_is_so(place: Place, played: Round) -> None:
    page = Page.of(signed_in(place.player_member).get(f"/clubs/{place.club.slug}/").content)
    assert "14 Jun 2026" in page.text
    assert "No index yet: it needs three scores" in page.text
    assert "In all too few rounds or players: 18 holes Tee too few" in page.text, (
        "one round gives no interval"
    )


def test_the_chart_of_the_index_can_be_read_without_scripts(place: Place) -> None:
    with club_scope(place.club.id):
        for day in range(1, 7):
            factories.make_round(place.manager, place.player, dt.date(2026, 6, day))
    worker.drain()
    html = signed_in(place.player_member).get(f"/clubs/{place.club.slug}/").content.decode()
    assert re.search(r"<svg[^>]*><title>Handicap index \(unofficial\), \d+ points from 2026-06-03", html)
    assert '<th scope="row">2026-06-06</th>' in html, "the same as a table"


def test_a_failed_analysis_says_so(place: Place) -> None:
    with club_scope(place.club.id):
        round_ = factories.make_round(place.manager, place.player)
        Round.objects.filter(id=round_.id).update(analysis="failed", analysis_reason="The tee has no holes.")
    page = Page.of(signed_in(place.player_member).get(f"/clubs/{place.club.slug}/rounds/{round_.id}").content)
    assert "The analysis failed: The tee has no holes." in page.text


def test_the_chart_library_is_kept_by_browsers_and_comes_compressed(db: None) -> None:
    response = Client().get(f"/charts/{library_version()}.js", headers={"Accept-Encoding": "gzip"})
    assert response.headers["Content-Encoding"] == "gzip"
    assert "immutable" in response.headers["Cache-Control"]
    assert len(response.content) < 400_000
    assert Client().get("/charts/another.js").status_code == 404
