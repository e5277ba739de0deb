"""The round as it goes, on a page without scripts: from the plan, a hole at a time, to the posted round."""

from __future__ import annotations

from django.utils import timezone

from courses.layout.models import TeeSet
from golfstats.ground.clock import today_at
from golfstats.ground.walls.scope import club_scope
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
    assert (
        "The plan waits until the round is over."
        in Page.of(client.get(card.headers["Location"]).content).text
    )
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


def test_shots_are_told_without_scripts_and_the_round_may_be_thrown_away(
    place: Place, made: RoundPlan
) -> None:
    client = signed_in(place.player_member)
    with club_scope(place.club.id):
        RoundPlan.objects.update(planned_for=today_at(place.club), finished_at=timezone.now())
    address = client.post(where(place, f"plans/{made.id}/start")).headers["Location"]
    # Tapped twice, or come back to: the same round.
    assert client.post(where(place, f"plans/{made.id}/start")).headers["Location"] == address
    told = {"sequence": "1", "number": "1", "shots": "T390(driver,left) F140 G18(read) G2"}
    assert client.post(address, told).status_code == 302
    with club_scope(place.club.id):
        (sent,) = RoundInPlay.objects.get().played
    assert (sent["score"], sent["putts"]) == (4, 2)
    assert sent["hole"]["shots"][0] == {
        "lie": "tee",
        "distance": 390.0,
        "club": "driver",
        "miss_side": "left",
    }
    wrong = client.post(address, {"sequence": "2", "number": "2", "shots": "T390 Q2"})
    assert wrong.status_code == 422
    assert "T390 Q2" in wrong.content.decode()
    asked = Page.of(client.get(f"{address}/give-up").content).text
    assert "Throw away the round at" in asked
    assert client.post(f"{address}/give-up").status_code == 302
    with club_scope(place.club.id):
        assert not RoundInPlay.objects.exists()


def test_faults_are_said_and_practice_shows_the_greens(place: Place, made: RoundPlan) -> None:
    client = signed_in(place.player_member)
    with club_scope(place.club.id):
        RoundPlan.objects.update(planned_for=today_at(place.club), finished_at=timezone.now())
    started = client.post(where(place, f"plans/{made.id}/start"), {"practice": "yes"})
    address = started.headers["Location"]
    assert "The greens so far" in Page.of(client.get(address).content).text
    wrong = client.post(address, {"sequence": "1", "number": "14", "score": "5"})
    assert wrong.status_code == 422
    assert "Hole 14 is not part of this round" in Page.of(wrong.content).text
    assert signed_in(place.other_member).get(address).status_code == 404
    with club_scope(place.club.id):
        assert RoundInPlay.objects.get().played == []


def test_a_round_is_begun_without_a_plan_and_found_again(place: Place) -> None:
    client = signed_in(place.player_member)
    begin = where(place, "rounds/in-play")
    assert "hole by hole" in Page.of(client.get(where(place, "rounds/new")).content).text
    with club_scope(place.club.id):
        tee = TeeSet.objects.get()
    started = client.post(begin, {"tee": str(tee.id), "section": "front"})
    assert started.status_code == 302, started.content
    assert started.headers["Location"] in client.get(begin).content.decode()
    with club_scope(place.club.id):
        assert RoundInPlay.objects.get().counts
    assert client.post(begin, {"tee": "nowhere", "section": "front"}).status_code == 422
    coach = signed_in(place.coach)
    assert "Ines Aldana" in Page.of(coach.get(begin).content).text
    assert signed_in(place.greenkeeper).get(begin).status_code == 403
