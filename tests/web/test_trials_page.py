"""What a trial cannot rule out stands beside its answer, once."""

from __future__ import annotations

import re
from urllib.parse import urlencode

from django.test import Client

from golfstats.ground.walls.scope import club_scope
from players.conditions import analysis
from players.rounds import services as posting
from players.rounds.input import RoundInput
from players.rounds.models import Round
from tests.players.coaching.seasons import season_bodies
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page

ROUNDS = 12


def trials_of(place: Place) -> tuple[Client, str]:
    return signed_in(place.player_member), f"/clubs/{place.club.slug}/players/{place.player.id}/trials"


def options(client: Client, address: str, field: str) -> list[tuple[str, str]]:
    """Values and words that a choice of the form offers."""
    page = client.get(address).content.decode()
    choice = re.search(rf'<select id="{field}".*?</select>', page)
    return re.findall(r'<option value="([^"]+)"[^>]*>([^<]*)<', choice[0]) if choice else []


def test_who_has_noted_no_ball_is_offered_the_clubs_of_their_shots(place: Place, played: Round) -> None:
    with club_scope(place.club.id):
        first = played.holes.get(number=1).shots
        first.filter(number=1).update(club_used="driver")
        first.filter(number=2).update(club_used="7-iron")
    client, address = trials_of(place)
    assert options(client, address, "t-a") == [("7-iron", "7-iron"), ("driver", "driver")]
    assert "Fewer than two balls are noted so far" in Page.of(client.get(f"{address}?tag=ball").content).text


def test_tags_of_shots_and_rounds_are_offered_each_under_its_kind(place: Place, played: Round) -> None:
    with club_scope(place.club.id):
        Round.objects.update(tags=["lesson", "alone"])
        played.holes.get(number=1).shots.filter(number=1).update(tags=["draw", "low"])
    client, address = trials_of(place)
    assert [name for name, _ in options(client, f"{address}?tag=round", "t-a")] == ["alone", "lesson"]
    assert [name for name, _ in options(client, f"{address}?tag=shot", "t-b")] == ["draw", "low"]


def test_who_chooses_the_same_twice_keeps_the_form(place: Place) -> None:
    client, address = trials_of(place)
    answer = client.get(f"{address}?tag=ball&a=Alpha&b=alpha&outcome=side")
    assert answer.status_code == 200
    assert "Both are Alpha: choose two different ones." in Page.of(answer.content).text
    assert ("Alpha", "Alpha") in options(client, f"{address}?tag=ball&a=Alpha&b=alpha&outcome=side", "t-a")


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
    assert {name for name, _ in options(client, address, "t-a")} == {"Alpha", "Beta"}
    asked = urlencode({"tag": "ball", "a": "Alpha", "b": "Beta", "outcome": "strokes_gained"})
    text = Page.of(client.get(f"{address}?{asked}").content).text
    assert "This trial cannot tell Alpha from Beta." in text
    assert text.count("The two were used at different times") == 1
    assert text.count("The wind was seldom noted") == 1
