"""The round as it goes, on a page without scripts: from the plan, a hole at a time, to the posted round."""

from __future__ import annotations

from django.utils import timezone

from golfstats.ground.clock import today_at
from golfstats.ground.clubs.scope import club_scope
from players.plans.models import RoundPlan
from players.rounds.models import Round, RoundInPlay
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page
from tests.web.test_tomorrow import made, where

__all__ = ["made"]


def test_a_round_that_counts_is_played_from_the_plan(place: Place, made: RoundPlan) -> None:
    client = signed_in(place.player_member)
    with club_scope(place.club.id):
        Round.objects.all().delete()
        RoundPlan.objects.update(planned_for=today_at(place.club), finished_at=timezone.now())
    plan = where(place, f"plans/{made.id}")
    assert "Start the round" in Page.of(client.get(plan).content).text
    started = client.post(f"{plan}/start")
    page = Page.of(client.get(started.headers["Location"]).content)
    assert page.inline == []
    assert "No hole yet" in page.text
    # What Rule 4.3 keeps is said; the plan's own page leads to the card.
    assert "4.3a" in page.text
    card = client.get(plan)
    assert card.headers["Location"].endswith("/card")
    address = started.headers["Location"]
    for number in range(1, 10):
        sent = {"sequence": str(number), "number": str(number), "score": "5", "putts": "2"}
        assert client.post(address, sent).status_code == 302
    assert client.post(address, sent).status_code == 302  # tapped twice
    page = Page.of(client.get(address).content)
    assert "45 strokes after 9 holes" in page.text
    assert "Before the round about" in page.text
    assert "The greens so far" not in page.text
    finished = client.post(address, {"finish": "yes"})
    with club_scope(place.club.id):
        round_ = Round.objects.get()
        assert finished.headers["Location"] == where(place, f"rounds/{round_.id}")
    assert client.get(plan).status_code == 200


def test_faults_are_said_and_practice_shows_the_greens(place: Place, made: RoundPlan) -> None:
    client = signed_in(place.player_member)
    with club_scope(place.club.id):
        RoundPlan.objects.update(planned_for=today_at(place.club), finished_at=timezone.now())
    started = client.post(where(place, f"plans/{made.id}/start"), {"practice": "yes"})
    address = started.headers["Location"]
    assert "The greens so far" in Page.of(client.get(address).content).text
    wrong = client.post(address, {"sequence": "1", "number": "14", "score": "5"})
    assert wrong.status_code == 422
    assert "hole 14 is not part of this round" in Page.of(wrong.content).text
    assert signed_in(place.other_member).get(address).status_code == 404
    with club_scope(place.club.id):
        assert RoundInPlay.objects.get().played == []
