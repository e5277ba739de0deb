"""The dearest choices of a squad since a month ago: what a coach sees, and whose they see."""

from __future__ import annotations

import datetime as dt

import pytest

from golfstats.ground.clock import today_at
from golfstats.ground.walls.scope import club_scope
from players.people.models import Player
from players.plans.models import PlanAfterwards, PlanState, RoundPlan
from tests import factories
from tests.players.conftest import Place, client_of
from tests.web.conftest import signed_in


def read_round(place: Place, player: Player, days_ago: int, *choices: float) -> PlanAfterwards:
    """A round read beside its plan, with a shot of each of these choices."""
    day = today_at(place.club) - dt.timedelta(days=days_ago)
    with club_scope(place.club.id):
        round_ = factories.make_round(place.manager, player, day)
        plan = RoundPlan.objects.create(
            player=player, tee_set=round_.tee_set, planned_for=day, state=PlanState.DONE
        )
        shots = [
            {
                "hole": 4,
                "shot": number,
                "lie": "fairway",
                "yards": 212.4,
                "choice": choice,
                "club": "3-wood",
                "better": "7-iron",
            }
            for number, choice in enumerate(choices, start=1)
        ]
        return PlanAfterwards.objects.create(
            plan=plan, round=round_, state=PlanState.DONE, holes={"4": shots}, document={}
        )


@pytest.fixture
def told(place: Place) -> PlanAfterwards:
    read_round(place, place.player, 40, -0.9)  # more than a month ago
    read_round(place, place.other_player, 2, -0.8)  # of no squad
    return read_round(place, place.player, 3, -0.02, -0.31, -0.07)


def test_a_coach_sees_the_dearest_of_the_own_squads_month(place: Place, told: PlanAfterwards) -> None:
    found = client_of(place.coach).get(f"/api/v1/squads/{place.squad.id}/choices").json()
    assert [(one["shot"], one["cost"]) for one in found["results"]] == [(2, 0.31), (3, 0.07)]
    first = found["results"][0]
    assert first["player"]["name"] == "Ines Aldana"
    assert first["words"] == "hole 4, shot 2, fairway, 212 yards left: 3-wood, where 7-iron was best"
    assert found["words"].startswith("2 choices of 0.05 strokes or more in 1 round read beside")


def test_it_stands_on_the_coachs_week_and_nobody_elses(place: Place, told: PlanAfterwards) -> None:
    page = signed_in(place.coach).get(f"/clubs/{place.club.slug}/").content.decode()
    assert "Choices to talk about" in page
    assert "3-wood, where 7-iron was best" in page
    player = client_of(place.player_member)
    assert player.get(f"/api/v1/squads/{place.squad.id}/choices").status_code in (403, 404)


def test_without_a_round_read_nothing_is_said_of_choices(place: Place) -> None:
    assert (
        "Choices to talk about"
        not in signed_in(place.coach).get(f"/clubs/{place.club.slug}/").content.decode()
    )
