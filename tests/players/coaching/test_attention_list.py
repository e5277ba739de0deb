"""What a coach should look at: planted causes come up, in an order that stays, and can be put aside."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.ground.clock import today_at
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.coaching.models import AttentionDismissal, Goal, PlayerReport
from players.coaching.reports.report import write_player_report
from players.handicap.models import HandicapLine
from players.people.models import SquadPlayer
from players.rounds import services as posting
from players.rounds.input import RoundInput
from tests.factories import make_player
from tests.players.coaching.seasons import play_season, season_bodies
from tests.players.conftest import Place, client_of

ADDRESS = "/api/v1/attention"


def attention(member: Any, **query: object) -> list[dict[str, Any]]:
    response = client_of(member).get(ADDRESS, query)
    assert response.status_code == 200, response.content
    return response.json()["results"]


def kinds(items: list[dict[str, Any]]) -> list[str]:
    return [item["kind"] for item in items]


def post(place: Place, bodies: list[dict[str, Any]]) -> None:
    with club_scope(place.club.id):
        posting.post_rounds(place.manager, [RoundInput.model_validate(body) for body in bodies])
        write_player_report(place.player.id)


def test_a_level_shift_and_a_goal_at_risk_come_up(place: Place) -> None:
    first = season_bodies(place.player, 40, golfer_of_handicap(2.0), seed=1)[:28]
    later = season_bodies(place.player, 40, golfer_of_handicap(24.0), seed=2)[28:]
    with club_scope(place.club.id):
        due = today_at(place.club) + dt.timedelta(days=20)
        Goal.objects.create(
            player=place.player, figure="putts.round", target=20.0, window_rounds=5, due_on=due
        )
    post(place, first + later)
    items = attention(place.coach)
    assert "level_shift" in kinds(items)
    shift = next(item for item in items if item["item"] == "level_shift:gained.total:down")
    assert shift["reason"].startswith("Strokes gained a round has become worse by ")
    assert shift["figure"]["high"] < 0
    goal = next(item for item in items if item["kind"] == "goal_at_risk")
    assert goal["reason"] == "Putts a round: 1% chance of meeting the goal, 20 days left"
    assert kinds(items) == sorted(kinds(items), key=["level_shift", "unusual_rate", "goal_at_risk"].index)
    assert attention(place.coach) == items


def test_an_unusual_rate_of_three_putts_comes_up(place: Place) -> None:
    """Two more three-putts a round in the last ten, by hole scores with putts alone."""
    bodies = season_bodies(place.player, 40)
    for number, body in enumerate(bodies):
        threes = (3, 9, 12, 15) if number >= 30 else (3,) if number % 3 == 0 else ()
        body["holes"] = [
            {"number": hole, "score": 5, "putts": 3 if hole in threes else 2} for hole in range(1, 19)
        ]
    post(place, bodies)
    (item,) = attention(place.coach)
    assert item["kind"] == "unusual_rate"
    # 10 in 30 rounds before: 3.3 in ten
    assert item["reason"] == "Holes with three putts or more: 40 in the last 180, usually 3.3 in as many"
    assert item["figure"]["value"] == pytest.approx(40 / 180, abs=1e-4)


def test_caps_and_exceptional_scores_of_the_record_come_up(place: Place) -> None:
    with club_scope(place.club.id):
        for sequence, (exceptional, capped) in enumerate([("0.0", False), ("-1.0", False), ("0.0", True)], 1):
            HandicapLine.objects.create(
                player=place.player,
                sequence=sequence,
                played_on=today_at(place.club) - dt.timedelta(days=40 - sequence),
                index_after="15.2",
                low_index="10.2",
                detail={"exceptional": exceptional, "capped": capped},
            )
        write_player_report(place.player.id)
    cap, score = attention(place.coach)
    assert cap["reason"] == "the hard cap holds the handicap index back"  # 5.0 above the low index
    assert score["reason"] == "an exceptional score lowered the handicap index by 1"
    assert cap["figure"]["words"].startswith("15.2 index")


def test_an_item_is_put_aside_by_one_coach_until_its_cause_begins_anew(place: Place) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 2)  # the last round was three days ago
    (item,) = attention(place.coach, days=2)
    assert item["reason"] == "no round for 3 days"
    client = client_of(place.coach)
    aside = {"player": str(place.player.id), "item": item["item"]}
    for _ in range(2):
        assert client.post(f"{ADDRESS}/dismissals", aside, format="json").status_code == 201
    assert attention(place.coach, days=2) == []
    assert [one["dismissed"] for one in attention(place.coach, days=2, dismissed="true")] == [True]
    assert attention(place.manager, days=2) == [item]
    with club_scope(place.club.id):  # as if it had been put aside before the last round
        AttentionDismissal.objects.update(dismissed_at=dt.datetime.now(dt.UTC) - dt.timedelta(days=10))
    assert attention(place.coach, days=2) == [item]


def test_a_coach_sees_his_squads_only_and_players_none(place: Place) -> None:
    with club_scope(place.club.id):
        for player in (place.player, place.other_player):
            play_season(place.manager, player, 2)
    assert {item["player"]["name"] for item in attention(place.coach, days=1)} == {"Ines Aldana"}
    for member in (place.player_member, place.greenkeeper):
        assert client_of(member).get(ADDRESS).status_code == 403
    aside = {"player": str(place.other_player.id), "item": "no_round"}
    assert client_of(place.coach).post(f"{ADDRESS}/dismissals", aside, format="json").status_code == 404


def test_twelve_players_cost_as_many_queries_as_one(place: Place) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 12)
        write_player_report(place.player.id)
        stored = PlayerReport.objects.get()
    with CaptureQueriesContext(connection) as one:
        attention(place.coach, days=1)
    with club_scope(place.club.id):
        for number in range(11):
            player = make_player(f"Player {number}")
            SquadPlayer.objects.create(squad=place.squad, player=player)
            PlayerReport.objects.create(player=player, document=stored.document)
            play_season(place.manager, player, 2)
    with CaptureQueriesContext(connection) as twelve:
        assert len(attention(place.coach, days=1)) >= 12
    assert len(twelve) == len(one)
    assert not any("players_shot" in query["sql"] for query in twelve.captured_queries)


@pytest.mark.django_db
def test_the_worker_writes_the_list_after_a_round(place: Place) -> None:
    """From posting to the dashboard without a further request."""
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 8)
    worker.drain()
    with club_scope(place.club.id):
        document = PlayerReport.objects.get(player=place.player).document
    assert {"trends", "priorities", "goals", "attention"} <= document.keys()
    assert [trend["key"] for trend in document["trends"]][:2] == ["gained.total", "gained.tee"]
    assert document["priorities"]["parts"][0]["rank"] == 1
