"""What the holes of a course cost whom: asked for by managers, worked out by the worker, the members' shots beside it."""

from __future__ import annotations

import datetime as dt

import pytest

from courses.layout.bodies import TeeHoleBody
from courses.layout.models import Course, TeeSet
from courses.layout.services import set_holes
from courses.plans.services import describe_holes
from golfstats.calc.plan.hole_costs import HoleCosts
from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.people.models import Player
from players.plans.costs import course_costs
from tests import factories
from tests.players.conftest import Place, client_of


@pytest.fixture
def costs(place: Place) -> str:
    """Address of the costs of the long course's tees, from which two players have played a round each."""
    with club_scope(place.club.id):
        tee, course = TeeSet.objects.get(), Course.objects.get()
        for player in (place.player, factories.make_player("Second")):
            factories.make_round(place.manager, player)
        return f"/api/v1/courses/{course.id}/tees/{tee.id}/costs?gender=women"


def quick(number: int, drawing: object, gender: str) -> HoleCosts:
    """Stands for ten seconds of mathematics, which have tests of their own."""
    return HoleCosts(number, True, (), f"<svg><title>{gender}</title></svg>")


def test_asked_for_worked_out_and_read(place: Place, costs: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(course_costs, "hole_costs", quick)
    monkeypatch.setattr(course_costs, "LEAST_SHOTS", 2)
    manager = client_of(place.manager)
    asked = manager.post(costs)
    assert (asked.status_code, asked.json()["holes_done"], asked.json()["holes"]) == (202, 0, 18)
    worker.drain()
    told = manager.get(costs).json()
    assert (told["holes_done"], told["gender"]) == (18, "women")
    first = told["by_hole"][0]
    # Two pars of four strokes: from the tee four, from 140 yards three.
    assert [(one["lie"], one["nearest"], one["shots"], one["strokes"]) for one in first["members"]] == [
        ("fairway", 100.0, 2, 3.0),
        ("tee", 200.0, 2, 4.0),
    ]
    monkeypatch.setattr(course_costs, "LEAST_SHOTS", 3)
    assert manager.get(costs).json()["by_hole"][0]["members"][0]["strokes"] is None
    assert manager.get(costs.replace("women", "men")).json()["holes_done"] == 0


def test_where_balls_are_picked_up_does_not_look_easy(
    place: Place, costs: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(course_costs, "hole_costs", quick)
    monkeypatch.setattr(course_costs, "LEAST_SHOTS", 2)
    with club_scope(place.club.id):
        given_up = factories.round_body()["holes"]
        # Four on the first hole and the ball still in the bunker 110 yards away: 7 is the most likely score.
        bunker = [{"lie": "sand", "distance": 110.0}, {"lie": "sand", "distance": 109.0}]
        tee, approach, *_ = given_up[0]["shots"]
        given_up[0] = {"number": 1, "shots": [tee, approach, *bunker], "picked_up": True, "score": 7}
        factories.make_round(place.manager, Player.objects.first(), dt.date(2026, 6, 15), holes=given_up)
    manager = client_of(place.manager)
    manager.post(costs)
    worker.drain()
    first = manager.get(costs).json()["by_hole"][0]
    # Two pars and a seven from the tee; from 140 yards three, three and six.
    told = {one["lie"]: (one["shots"], one["strokes"]) for one in first["members"]}
    assert told["tee"] == (3, pytest.approx(5.0))
    assert told["fairway"] == (3, pytest.approx(4.0))


def test_a_hole_that_was_corrected_or_drawn_is_worked_out_again_and_no_other(
    place: Place, costs: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    worked_out: list[int] = []

    def counted(number: int, drawing: object, gender: str) -> HoleCosts:
        worked_out.append(number)
        return quick(number, drawing, gender)

    monkeypatch.setattr(course_costs, "hole_costs", counted)
    manager = client_of(place.manager)
    manager.post(costs)
    worker.drain()
    with club_scope(place.club.id):
        tee_set = TeeSet.objects.get()
        fields = ("number", "length", "par_men", "par_women", "stroke_index_men", "stroke_index_women")
        given = [TeeHoleBody(**hole) for hole in tee_set.holes.order_by("number").values(*fields)]
        given[3] = given[3].model_copy(update={"length": given[3].length + 20})
        set_holes(DistanceUnit.YARDS, tee_set, given)
        describe_holes(place.manager, tee_set, [(7, "water green left", None)])
    # Until the worker has come, nothing is told of holes that are others now.
    assert [one["number"] for one in manager.get(costs).json()["by_hole"]] == [
        *range(1, 4),
        5,
        6,
        *range(8, 19),
    ]
    worked_out.clear()
    worker.drain()
    assert worked_out == [4, 7]
    assert manager.get(costs).json()["holes_done"] == 18
    assert manager.get(costs.replace("women", "men")).json()["holes_done"] == 0


def test_only_managers_ask_and_players_do_not_read(place: Place, costs: str) -> None:
    for member in (place.player_member, place.coach, place.greenkeeper):
        assert client_of(member).post(costs).status_code == 403
    assert client_of(place.player_member).get(costs).status_code == 403
    for member in (place.coach, place.greenkeeper):
        assert client_of(member).get(costs).status_code == 200
