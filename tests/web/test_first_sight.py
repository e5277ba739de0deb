"""What somebody who has read nothing would misread: which way is better, of whom, and how many."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from courses.layout.models import TeeSet
from golfstats.doors.pages.screens import people
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.coaching.reports.week import SquadWeek, squad_weeks
from tests import factories
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page
from tests.web.test_tomorrow import where


@pytest.fixture
def season(place: Place) -> None:
    with club_scope(place.club.id):
        for day in range(1, 9):
            factories.make_round(place.manager, place.player, dt.date(2026, 6, day))
    worker.drain()


def test_the_chapters_say_what_their_figures_are_of(place: Place, season: None) -> None:
    client = signed_in(place.player_member)

    def text(chapter: str) -> str:
        return Page.of(client.get(where(place, f"players/{place.player.id}/{chapter}")).content).text

    # The best two of eight scores make the index.
    assert "from the best 2 of 8 scores" in text("index")
    # Whatever the sign, a band is not said to cost what it gains; here one band alone is known well enough.
    assert "cost least" not in text("approach")
    # The same part reads otherwise under "Parts", so the page says why.
    assert "otherwise here than under “Parts”" in text("priorities")


def test_a_round_begins_on_the_tees_that_were_played_last(place: Place, season: None) -> None:
    with club_scope(place.club.id):
        played = TeeSet.objects.get()
        # Its name comes first, so that it would be chosen.
        TeeSet.objects.create(course=played.course, name="Above")
    client = signed_in(place.player_member)
    places = client.get(where(place, "rounds/new")).content.decode()
    assert f'"last": {{"course": "{played.course.name}", "tee": "{played.name}"}}' in places
    for page in ("tomorrow", "rounds/in-play"):
        assert f'<option value="{played.id}" selected>' in client.get(where(place, page)).content.decode()


def test_a_squad_on_a_phone_tells_of_how_many_rounds(place: Place, season: None) -> None:
    page = signed_in(place.manager).get(where(place, f"squads/{place.squad.id}")).content.decode()
    assert '<span class="interval-words narrow">8 rounds</span>' in page


def test_the_two_averages_of_a_squad_say_why_they_differ(
    place: Place, season: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    def with_levels(*asked: Any) -> list[SquadWeek]:
        return [replace(week, average=0.2) for week in squad_weeks(*asked)]

    # Rounds that are all alike have no level.
    monkeypatch.setattr(people, "squad_weeks", with_levels)
    client = signed_in(place.manager)
    start = Page.of(client.get(where(place, "")).content).text
    squad = Page.of(client.get(where(place, f"squads/{place.squad.id}")).content).text
    assert (
        "Squad average +0.2: the mean of these levels, and so another number than on the squad's page"
        in start
    )
    assert "The start page's average is that of today's levels" in squad
    # Which rounds the column of rounds counts.
    assert "Of each player's last 20 rounds those count that have their shots recorded." in squad
