"""Tomorrow's round on the pages, without scripts: asking, reading, printing, the round beside it, the bag."""

from __future__ import annotations

import datetime as dt
import re

import pytest

from courses.layout.models import TeeSet
from golfstats.demo import away
from golfstats.ground.walls.scope import club_scope
from players.plans.models import PlanAfterwards, PlanHole, PlanState, RoundPlan
from tests import factories
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page

DAY = dt.date(2026, 6, 14)


@pytest.fixture
def made(place: Place) -> RoundPlan:
    return plan_as_made(place)


def plan_as_made(place: Place) -> RoundPlan:
    """A plan of the first player as a worker made it for the demo's away course, and the round read beside it."""
    kept = away.kept()
    with club_scope(place.club.id):
        tees = factories.make_tee_set(factories.make_course("Sallow Strand", 9), "yellow")
        plan = RoundPlan.objects.create(
            player=place.player,
            tee_set=tees,
            section="front",
            planned_for=DAY,
            greens_found="cored 7 days, slow, bumpy 4",
            holes=9,
            state=PlanState.DONE,
            **kept["plan"],
        )
        PlanHole.objects.bulk_create(PlanHole(plan=plan, **hole) for hole in kept["holes"])
        round_ = factories.make_round(
            place.manager,
            place.player,
            DAY,
            course=tees.course,
            tee="yellow",
            section="front",
            holes=[{"number": number, "score": 5} for number in range(1, 10)],
        )
        PlanAfterwards.objects.create(plan=plan, round=round_, state=PlanState.DONE, **kept["afterwards"])
        return plan


def where(place: Place, path: str) -> str:
    return f"/clubs/{place.club.slug}/{path}"


def test_a_player_asks_for_a_plan_with_the_greens_in_two_taps(place: Place) -> None:
    client = signed_in(place.player_member)
    with club_scope(place.club.id):
        tee = TeeSet.objects.get()
    asked = {
        "tee": str(tee.id),
        "planned_for": "2026-06-14",
        "section": "front",
        "speed": "slow",
        "bumpy": "4",
        "wind_mph": "8",
        "wind_from": "90",
    }
    response = client.post(where(place, "tomorrow"), asked)
    assert response.status_code == 302
    with club_scope(place.club.id):
        plan = RoundPlan.objects.get()
    assert (plan.player_id, plan.holes, plan.greens_found) == (place.player.id, 9, "slow, bumpy 4")
    waiting = client.get(response.headers["Location"])
    page = Page.of(waiting.content)
    assert "0 of 9" in page.text
    assert "wind 8 mph from the east" in page.text
    # A page that reloads itself takes the reader's place away; there is a link, and a script where scripts run.
    assert b"http-equiv" not in waiting.content
    assert client.get(where(place, f"plans/{plan.id}/progress")).json() == {
        "state": "pending",
        "done": 0,
        "holes": 9,
    }
    # There is no card yet.
    assert client.get(where(place, f"plans/{plan.id}/card")).status_code == 302
    assert client.get(where(place, f"plans/{plan.id}/card.pdf")).status_code == 409


def test_what_cannot_be_planned_is_said_and_what_was_entered_stays(place: Place) -> None:
    client = signed_in(place.player_member)
    with club_scope(place.club.id):
        tee = TeeSet.objects.get()
    asked = {"tee": str(tee.id), "planned_for": "2026-06-14", "wind_mph": "999", "work": "cored", "days": "7"}
    response = client.post(where(place, "tomorrow"), asked)
    assert response.status_code == 422
    page = Page.of(response.content)
    assert "100" in page.text
    assert re.search(rb'name="days" value="7"', response.content)
    with club_scope(place.club.id):
        assert not RoundPlan.objects.exists()


def test_a_made_plan_answers_its_question_first(place: Place, made: RoundPlan) -> None:
    response = signed_in(place.player_member).get(where(place, f"plans/{made.id}"))
    page = Page.of(response.content)
    assert page.inline == []
    assert page.text.index("Expect about") < page.text.index("Putts") < page.text.index("Hole by hole")
    assert "No hole asks for more than the longest club" in page.text
    assert "Lightning" in page.text
    assert "Rule 4.3a(4)" in page.text
    assert "Rests on a map of the hole" in page.text
    assert "Aim of the approach by pin" in page.text
    assert "below the hole" in page.text
    assert "cannot be told apart" in page.text
    # Each hole has its picture from above, what the clubs cost, the pattern about the aim, and the round its distribution.
    assert response.content.count(b"The hole from above") == 9
    assert response.content.count(b"<svg") == 28
    assert page.text.count("half of the shots finish within") >= 9
    assert page.headed >= page.tables


def test_the_card_is_on_the_page_and_as_a_file(place: Place, made: RoundPlan) -> None:
    client = signed_in(place.player_member)
    shown = client.get(where(place, f"plans/{made.id}/card"))
    assert Page.of(shown.content).inline == []
    assert b"not \xe2\x80\x9cfit to page\xe2\x80\x9d" in shown.content
    assert b"at most 0.375 by Rule 4.3a/1" in shown.content
    file = client.get(where(place, f"plans/{made.id}/card.pdf"))
    assert file.headers["Content-Type"] == "application/pdf"
    assert file.content.startswith(b"%PDF-")


def test_the_round_is_read_beside_its_plan_and_the_parts_add_up(place: Place, made: RoundPlan) -> None:
    response = signed_in(place.coach).get(where(place, f"plans/{made.id}/played"))
    page = Page.of(response.content)
    assert "the plan expected" in page.text
    assert "The dearest choices" in page.text
    shown = re.search(r"shots came to ([+−]?[\d.]+)", page.text)
    assert shown
    parts = [
        float(value.replace("−", "-"))
        for value in re.findall(r"(?:Choice|Execution|Greens|Luck) ([+−]?\d+\.\d\d)", page.text)[:4]
    ]
    assert sum(parts) == pytest.approx(float(shown[1].replace("−", "-")), abs=0.021)


def test_the_round_leads_to_where_it_stands_beside_its_plan(place: Place, made: RoundPlan) -> None:
    with club_scope(place.club.id):
        played = PlanAfterwards.objects.get(plan=made).round_id
        another = factories.make_round(place.player_member, place.player).id
    beside = where(place, f"plans/{made.id}/played")
    client = signed_in(place.coach)
    assert beside in Page.of(client.get(where(place, f"rounds/{played}")).content).links
    assert beside not in Page.of(client.get(where(place, f"rounds/{another}")).content).links


def test_a_round_is_read_when_somebody_asks(place: Place, made: RoundPlan) -> None:
    with club_scope(place.club.id):
        PlanAfterwards.objects.all().delete()
    client = signed_in(place.player_member)
    assert "Read the round" in Page.of(client.get(where(place, f"plans/{made.id}/played")).content).text
    response = client.post(where(place, f"plans/{made.id}/played"), follow=True)
    assert "The round is being read" in Page.of(response.content).text


def test_a_plan_is_nobody_elses(place: Place, made: RoundPlan) -> None:
    client = signed_in(place.other_member)
    for path in ("", "/card", "/card.pdf", "/played", "/progress", "/delete"):
        assert client.get(where(place, f"plans/{made.id}{path}")).status_code == 404, path
    assert client.get(where(place, f"players/{place.player.id}/bag")).status_code == 404
    assert signed_in(place.greenkeeper).get(where(place, "tomorrow")).status_code == 403


def test_a_plan_can_be_thrown_away(place: Place, made: RoundPlan) -> None:
    client = signed_in(place.player_member)
    assert client.get(where(place, f"plans/{made.id}/delete")).status_code == 200
    assert client.post(where(place, f"plans/{made.id}/delete")).status_code == 302
    with club_scope(place.club.id):
        assert not RoundPlan.objects.exists()


def test_a_coach_plans_for_a_player_of_the_squad(place: Place) -> None:
    client = signed_in(place.coach)
    with club_scope(place.club.id):
        tee = TeeSet.objects.get()
    asked = {"tee": str(tee.id), "planned_for": "2026-06-14", "section": "back"}
    assert client.post(where(place, "tomorrow"), asked | {"player": str(place.player.id)}).status_code == 302
    # Not of his squad.
    assert (
        client.post(where(place, "tomorrow"), asked | {"player": str(place.other_player.id)}).status_code
        == 404
    )


def test_the_bag_says_what_it_rests_on(place: Place) -> None:
    page = Page.of(signed_in(place.player_member).get(where(place, f"players/{place.player.id}/bag")).content)
    assert "nobody" not in page.text
    assert "The patterns are those of a usual golfer" in page.text
    assert "driver" in page.text
    assert page.headed >= page.tables
