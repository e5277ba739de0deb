"""What a player reads of a round, and of himself."""

from __future__ import annotations

import datetime as dt
import re

from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.figures.models import RoundFigures
from players.rounds.models import Round
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
    client, start = signed_in(place.player_member), f"/clubs/{place.club.slug}/"
    assert "14 Jun 2026" in Page.of(client.get(start).content).text
    page = Page.of(client.get(f"{start}players/{place.player.id}").content)
    assert "No index yet: it needs three scores" in page.text
    parts = Page.of(client.get(f"{start}players/{place.player.id}/parts").content).text
    assert "In all too few" in parts, "one round gives no interval"


def test_a_picture_can_be_read_without_scripts_and_has_its_numbers_beneath(place: Place) -> None:
    with club_scope(place.club.id):
        for day in range(1, 7):
            factories.make_round(place.manager, place.player, dt.date(2026, 6, day))
    worker.drain()
    address = f"/clubs/{place.club.slug}/players/{place.player.id}"
    client = signed_in(place.player_member)
    html = client.get(f"{address}/index").content.decode()
    assert re.search(r'<svg[^>]*aria-label="Handicap index \(unofficial\), \d+ points from 3 Jun 2026', html)
    assert re.search(r'<th scope="row"><a [^>]*>6 Jun 2026</a>\s*</th>', html), "the same as a table"
    assert "style=" not in html


def test_every_chapter_answers_and_its_figures_lead_to_their_shots(place: Place) -> None:
    with club_scope(place.club.id):
        for day in range(1, 9):
            factories.make_round(place.manager, place.player, dt.date(2026, 6, day))
    worker.drain()
    address = f"/clubs/{place.club.slug}/players/{place.player.id}"
    client = signed_in(place.coach)
    first = Page.of(client.get(address).content)
    chapters = [link for link in first.links if link.startswith(address)]
    assert len(set(chapters)) >= 14
    for chapter in set(chapters):
        page = Page.of(client.get(chapter, {"benchmark": "handicap:20"}).content)
        assert len(page.headings) == 1, chapter
    parts = Page.of(client.get(f"{address}/parts", {"last": "10"}).content)
    behind = [link for link in parts.links if "/shots?" in link]
    assert behind, "no figure leads anywhere"
    shots = Page.of(client.get(behind[0]).content)
    assert "8 Jun 2026" in shots.text


def test_a_chosen_golfer_changes_every_chapter(place: Place, played: Round) -> None:
    address = f"/clubs/{place.club.slug}/players/{place.player.id}"
    client = signed_in(place.player_member)
    for chapter in ("", "/parts", "/approach", "/putting"):
        text = Page.of(client.get(address + chapter, {"benchmark": "handicap:20"}).content).text
        assert "Golfer of handicap 20" in text, chapter


def test_a_failed_analysis_says_so(place: Place) -> None:
    with club_scope(place.club.id):
        round_ = factories.make_round(place.manager, place.player)
        Round.objects.filter(id=round_.id).update(analysis="failed", analysis_reason="The tee has no holes.")
    page = Page.of(signed_in(place.player_member).get(f"/clubs/{place.club.slug}/rounds/{round_.id}").content)
    assert "The analysis failed: The tee has no holes." in page.text
