"""A round posted hole by hole: what arrives, what is shown beside it, and what Rule 4.3 keeps until it is over."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from courses.layout.models import TeeSet
from golfstats.ground.clock import today_at
from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.people.models import Player
from players.plans.models import PlanHole, PlanState, RoundPlan
from players.rounds import in_play
from players.rounds.input import RoundBegun
from players.rounds.models import Round, RoundInPlay
from tests import factories
from tests.graphql.asking import refusal
from tests.players.conftest import Place, client_of

PLAYING = "/api/v1/rounds-in-play"


def begun(place: Place, **more: Any) -> str:
    """Address of a round of today that the player has begun."""
    about = {"course": "Long course", "tee": "White", "section": "front"}
    body = about | {"played_on": today_at(place.club).isoformat()} | more
    started = client_of(place.player_member).post(PLAYING, body, format="json")
    assert started.status_code == 201, started.content
    return f"{PLAYING}/{started.json()['id']}"


def send(place: Place, address: str, sequence: int, number: int, **hole: Any) -> Any:
    body = {"sequence": sequence, "hole": {"number": number} | (hole or {"score": 5, "putts": 2})}
    return client_of(place.player_member).post(f"{address}/holes", body, format="json")


def made_plan(place: Place, *, finished_at: dt.datetime, scores: list[int]) -> RoundPlan:
    """A plan of the front nine for today, each hole simulated with these scores."""
    with club_scope(place.club.id):
        plan = RoundPlan.objects.create(
            player=place.player,
            tee_set=TeeSet.objects.get(),
            section="front",
            planned_for=today_at(place.club),
            holes=9,
            state=PlanState.DONE,
            finished_at=finished_at,
        )
        simulated = {"score": scores, "putts": [2] * len(scores), "greens_add": [0.0] * len(scores)}
        PlanHole.objects.bulk_create(
            PlanHole(plan=plan, number=number, document={}, simulated=simulated) for number in range(1, 10)
        )
        return plan


def test_hole_by_hole_becomes_the_round_that_was_played(place: Place) -> None:
    address = begun(place, greens_found="slow, bumpy 4")
    shots = [
        {"lie": "tee", "distance": 390},
        {"lie": "fairway", "distance": 140},
        {"lie": "green", "distance": 18},
        {"lie": "green", "distance": 2},
    ]
    first = send(place, address, 1, 1, shots=shots)
    assert first.status_code == 200, first.content
    assert (first.json()["strokes"], first.json()["over_par"], first.json()["next_sequence"]) == (4, 0, 2)
    for number in range(2, 10):
        assert send(place, address, number, number).status_code == 200
    corrected = send(place, address, 10, 2, score=6, putts=3).json()
    assert [hole["score"] for hole in corrected["holes"]] == [4, 6, 5, 5, 5, 5, 5, 5, 5]
    finished = client_of(place.player_member).post(f"{address}/finished")
    assert finished.status_code == 201, finished.content
    again = client_of(place.player_member).post(f"{address}/finished")
    assert again.json()["id"] == finished.json()["id"]
    with club_scope(place.club.id):
        round_ = Round.objects.get()
        assert sum(round_.holes.values_list("score", flat=True)) == 45
        assert round_.greens_found == "slow, bumpy 4"
    read = client_of(place.player_member).get(address).json()
    assert read["round"] == finished.json()["id"]
    assert client_of(place.player_member).get(PLAYING).json()["results"] == []


def test_a_hole_may_be_sent_as_its_line_in_the_notation(place: Place) -> None:
    """As the phone's pad writes it; the same hole in fields under the same number changes nothing."""
    address = begun(place)
    player = client_of(place.player_member)
    line = {"sequence": 1, "notation": "1 T390(driver,left) F140 G18 G2"}
    sent = player.post(f"{address}/holes", line, format="json")
    assert sent.status_code == 200, sent.content
    assert (sent.json()["strokes"], sent.json()["holes"][0]["putts"]) == (4, 2)
    shots = [
        {"lie": "tee", "distance": 390, "club": "driver", "miss_side": "left"},
        {"lie": "fairway", "distance": 140},
        {"lie": "green", "distance": 18},
        {"lie": "green", "distance": 2},
    ]
    assert send(place, address, 1, 1, shots=shots).status_code == 200
    for wrong in ("1 =5\n2 =5", "date: 2026-01-01\n1 =5", "1 T390 Q2", "# nothing"):
        refused = player.post(f"{address}/holes", {"sequence": 2, "notation": wrong}, format="json")
        assert refused.status_code == 422, wrong
    for both_or_none in ({}, {"notation": "2 =5", "hole": {"number": 2, "score": 5}}):
        refused = player.post(f"{address}/holes", {"sequence": 2} | both_or_none, format="json")
        assert refused.json()["errors"][0]["code"] == "one_of_two"


def test_after_a_lost_connection_what_arrived_is_sent_again_without_harm(place: Place) -> None:
    address = begun(place)
    for number in (1, 2):
        send(place, address, number, number)
    repeated = send(place, address, 1, 1)
    assert (repeated.status_code, repeated.json()["next_sequence"]) == (200, 3)
    assert repeated.json()["strokes"] == 10
    passed_over = send(place, address, 5, 5)
    assert (passed_over.status_code, passed_over.json()["type"]) == (409, "/problems/holes-missing")
    assert passed_over.json()["next_sequence"] == 3
    another = send(place, address, 2, 2, score=9)
    assert (another.status_code, another.json()["type"]) == (409, "/problems/sent-already")
    assert client_of(place.player_member).get(address).json()["strokes"] == 10


def test_a_hole_that_cannot_be_right_is_refused_at_its_place(place: Place) -> None:
    address = begun(place)
    wrong = send(place, address, 1, 1, shots=[{"lie": "fairway", "distance": 2000}])
    pointers = {fault["pointer"] for fault in wrong.json()["errors"]}
    assert wrong.status_code == 422
    assert "/hole/shots/0/lie" in pointers
    elsewhere = send(place, address, 1, 14)
    assert elsewhere.json()["errors"][0]["code"] == "hole_not_in_section"
    send(place, address, 1, 1)
    too_early = client_of(place.player_member).post(f"{address}/finished")
    assert too_early.json()["errors"][0]["code"] == "wrong_number_of_holes"


def test_the_score_stands_beside_the_forecast_made_before(place: Place) -> None:
    before = made_plan(place, finished_at=timezone.now(), scores=[4, 5, 5, 6])
    address = begun(place)
    made_plan(place, finished_at=timezone.now() + dt.timedelta(hours=1), scores=[9, 9, 9, 9])
    for number in (1, 2):
        send(place, address, number, number)
    told = client_of(place.player_member).get(address).json()["forecast"]
    # Four simulated rounds: each hole 5 on the mean, in each round the same on every hole.
    assert told["plan"] == str(before.id)
    assert (told["expected"], told["expected_so_far"]) == (45.0, 10.0)
    assert told["low_so_far"] <= 10 <= told["high_so_far"]


@pytest.mark.parametrize("counts", [{}, {"counting": False, "competition": True}])
def test_while_it_counts_only_the_card_and_facts_are_shown_and_why(
    place: Place, counts: dict[str, Any]
) -> None:
    """Rule 4.3a of the Rules of Golf (2023): advice from the ball's place and what is made of the round itself."""
    plan = made_plan(place, finished_at=timezone.now(), scores=[4, 5])
    address = begun(place, **counts)
    send(place, address, 1, 1)
    told = client_of(place.player_member).get(address).json()
    assert told["counts"] is True
    assert "committee" in told["committee"]
    allowed = {one["what"] for one in told["may"] if one["allowed"]}
    assert {"plan_card", "score_so_far", "forecast_before"} <= allowed
    assert not {"advice_from_ball", "todays_greens", "new_plan", "whole_plan"} & allowed
    # Nobody may pass it on: not the player, not the coach, not a manager; by no door.
    tee = str(plan.tee_set_id)
    for member in (place.player_member, place.coach, place.manager):
        client = client_of(member)
        refused = [
            client.get(f"{address}/advice?hole=3&lie=tee&distance=165"),
            client.get(f"{address}/greens"),
            client.get(f"/api/v1/plans/{plan.id}"),
            client.post(
                f"/api/v1/players/{place.player.id}/plans",
                {"tee": tee, "planned_for": plan.planned_for.isoformat()},
                format="json",
            ),
        ]
        assert {answer.status_code for answer in refused} == {409}
        assert all("4.3a" in answer.json()["detail"] for answer in refused)
        assert all("committee" in answer.json()["detail"] for answer in refused)
        error = refusal(member, "query($id: UUID!) { wholePlan(id: $id) { id } }", id=str(plan.id))
        assert error["extensions"]["type"] == "/problems/during-a-round"
        assert client.get(f"/api/v1/plans/{plan.id}/card").status_code == 200
    for number in range(2, 10):
        send(place, address, number, number)
    assert client_of(place.player_member).post(f"{address}/finished").status_code == 201
    player = client_of(place.player_member)
    assert player.get(f"/api/v1/plans/{plan.id}").status_code == 200
    assert player.get(f"{address}/greens").status_code == 200
    assert player.get(f"{address}/advice?hole=3&lie=tee&distance=165").status_code == 200


def test_a_practice_round_beside_one_that_counts_answers_nothing_for_it(place: Place) -> None:
    practice = begun(place, format="practice")
    counting = begun(place)
    player = client_of(place.player_member)
    for kept in (f"{practice}/advice?hole=3&lie=tee&distance=165", f"{practice}/greens"):
        answer = player.get(kept)
        assert (answer.status_code, answer.json()["type"]) == (409, "/problems/during-a-round"), kept
    assert player.delete(counting).status_code == 204
    assert player.get(f"{practice}/greens").status_code == 200


def test_no_larger_picture_of_a_hole_goes_to_who_plays_it(place: Place) -> None:
    """Rule 4.3a/1: pictures of greens beyond the card's scale, whichever door has them."""
    address = begun(place)
    with club_scope(place.club.id):
        tee = TeeSet.objects.get()
        elsewhere = factories.make_tee_set(factories.make_course("Far course"))
    pictures = f"/api/v1/courses/{tee.course_id}/tees/{tee.id}"
    player = client_of(place.player_member)
    refused = player.get(f"{pictures}/shapes")
    assert (refused.status_code, refused.json()["type"]) == (409, "/problems/during-a-round")
    assert "4.3a" in refused.json()["detail"]
    # Nor of another course: it may be the same one, entered again under another name.
    assert player.get(f"/api/v1/courses/{elsewhere.course_id}/tees/{elsewhere.id}/shapes").status_code == 409
    assert client_of(place.other_member).get(f"{pictures}/shapes").status_code == 200
    # Staff may play as well: then neither maps of difficulty, by the API or on the page.
    with club_scope(place.club.id):
        Player.objects.filter(id=place.player.id).update(member=place.manager)
    manager = client_of(place.manager)
    assert manager.get(f"{pictures}/shapes").status_code == 409
    assert manager.get(f"{pictures}/costs").status_code == 409
    page = Client()
    page.force_login(place.manager.user)
    costs = f"/clubs/{place.club.slug}/courses/{tee.course_id}/tees/{tee.id}/costs"
    assert page.get(costs).status_code == 409
    assert manager.delete(address).status_code == 204
    assert manager.get(f"{pictures}/shapes").status_code == 200
    assert page.get(costs).status_code == 200


def test_a_round_in_another_club_stays_behind_that_clubs_wall(place: Place) -> None:
    """What a club's members play is told to no other club, a refusal included."""
    elsewhere = factories.make_club("elsewhere")
    with club_scope(elsewhere.id):
        factories.make_tee_set(factories.make_course())
        member = Member.objects.create(
            club=elsewhere, user=place.player_member.user, role=Role.PLAYER, name="Ines"
        )
        factories.make_player(member=member)
        about = {"course": "Long course", "tee": "White", "played_on": today_at(elsewhere)}
        in_play.start(member, RoundBegun.model_validate(about))
    with club_scope(place.club.id):
        tee = TeeSet.objects.get()
    pictures = f"/api/v1/courses/{tee.course_id}/tees/{tee.id}/shapes"
    assert client_of(member).get(f"{PLAYING}").json()["results"]
    assert client_of(place.player_member).get(pictures).status_code == 200


def test_a_round_finished_beside_one_that_counts_waits_for_it_but_never_for_each_other(place: Place) -> None:
    """A practice round beside it would have its strokes read; two that count would wait for each other."""
    practice, counting, second = begun(place, format="practice"), begun(place), begun(place)
    for address in (practice, counting, second):
        for number in range(1, 10):
            send(place, address, number, number)
    player = client_of(place.player_member)
    for waits in (practice, second):
        refused = player.post(f"{waits}/finished")
        assert refused.json()["errors"][0]["code"] == "round_in_play"
        assert player.get(waits).json()["finished_at"] is None
    for address in (counting, second, practice):
        assert player.post(f"{address}/finished").status_code == 201


def test_a_practice_round_is_advised_from_where_the_ball_lies(place: Place) -> None:
    address = begun(place, format="practice")
    player = client_of(place.player_member)
    for sequence, number in enumerate((1, 2, 4), start=1):
        shots = [
            {"lie": "tee", "distance": 380},
            {"lie": "fairway", "distance": 150},
            {"lie": "green", "distance": 20, "miss_depth": "short"},
            {"lie": "green", "distance": 6},
            {"lie": "green", "distance": 3},
        ]
        assert send(place, address, sequence, number, shots=shots).status_code == 200
    advised = player.get(f"{address}/advice?hole=1&lie=rough&distance=140")
    assert advised.status_code == 200, advised.content
    assert 2.0 < advised.json()["expected"] < 5.0
    assert "generic hole" in advised.json()["rests_on"]
    greens = player.get(f"{address}/greens").json()
    assert greens["holes"] == 3
    assert greens["cost"] > 0  # three putts from twenty feet, three times
    assert greens["low"] < greens["cost"] < greens["high"]
    assert greens["misses"] == 3
    assert "3 today" in greens["words"]


def test_a_round_of_yesterday_that_nobody_finished_keeps_nothing_for_ever(place: Place) -> None:
    plan = made_plan(place, finished_at=timezone.now(), scores=[4, 5])
    begun(place)
    with club_scope(place.club.id):
        RoundInPlay.objects.update(played_on=today_at(place.club) - dt.timedelta(days=2))
    assert client_of(place.player_member).get(f"/api/v1/plans/{plan.id}").status_code == 200


def test_it_is_nobody_elses(place: Place) -> None:
    address = begun(place)
    for stranger in (place.other_member, place.greenkeeper):
        assert client_of(stranger).get(address).status_code == 404
        assert client_of(stranger).post(f"{address}/finished").status_code in (403, 404)
    assert client_of(place.coach).get(address).status_code == 200
    assert client_of(place.player_member).delete(address).status_code == 204


def test_what_was_sent_enters_no_figure_before_it_is_finished(place: Place) -> None:
    address = begun(place, format="practice")
    send(place, address, 1, 1)
    worker.drain()
    with club_scope(place.club.id):
        assert not Round.objects.exists()
