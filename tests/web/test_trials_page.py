"""What a trial cannot rule out stands beside its answer, once."""

from __future__ import annotations

from urllib.parse import urlencode

from django.test import Client

from golfstats.ground.walls.scope import club_scope
from players.conditions import analysis
from players.rounds import services as posting
from players.rounds.input import RoundInput
from tests.players.coaching.seasons import season_bodies
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page

ROUNDS = 12


def trials_of(place: Place) -> tuple[Client, str]:
    return signed_in(place.player_member), f"/clubs/{place.club.slug}/players/{place.player.id}/trials"


def test_who_has_noted_no_ball_reads_what_can_be_compared(place: Place) -> None:
    client, address = trials_of(place)
    page = client.get(address).content
    assert "two clubs can be compared at once" in Page.of(page).text
    # And these are what the form begins with.
    assert b'<option value="club" selected>' in page


def test_balls_that_were_played_one_after_the_other_in_unknown_wind(place: Place) -> None:
    bodies = season_bodies(place.player, ROUNDS)
    for number, body in enumerate(bodies):
        body["ball"] = "Alpha" if number < ROUNDS / 2 else "Beta"
        body.pop("wind_mph", None)
        for hole in body["holes"]:
            for shot in hole.get("shots", []):
                shot.pop("wind_mph", None)
    with club_scope(place.club.id):
        posting.post_rounds(place.manager, [RoundInput.model_validate(body) for body in bodies])
        analysis.analyse_pending()
    client, address = trials_of(place)
    page = client.get(address).content
    assert "rounds so far: Alpha, Beta." in Page.of(page).text
    assert b'<option value="ball" selected>' in page
    asked = urlencode({"tag": "ball", "a": "Alpha", "b": "Beta", "outcome": "strokes_gained"})
    text = Page.of(client.get(f"{address}?{asked}").content).text
    assert "This trial cannot tell Alpha from Beta." in text
    assert text.count("The two were used at different times") == 1
    assert text.count("The wind was seldom noted") == 1
