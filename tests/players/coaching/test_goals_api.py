"""Goals as coach and player meet them: set, followed, over."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from golfstats.ground.clock import today_at
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.walls.scope import club_scope
from players.coaching.models import Goal
from players.coaching.reports.report import write_player_report
from tests import factories
from tests.players.coaching.seasons import days_of, play_season
from tests.players.conftest import Place, client_of

ROUNDS = 20


@pytest.fixture
def season(place: Place) -> Place:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, ROUNDS)
    return place


def address(place: Place) -> str:
    return f"/api/v1/players/{place.player.id}/goals"


def body(place: Place, **fields: Any) -> dict[str, Any]:
    due = today_at(place.club) + dt.timedelta(days=30)
    goal = {"figure": "putts.round", "target": 31.0, "due_on": due.isoformat(), "window": {"rounds": 5}}
    return goal | fields


def set_goal(place: Place, **fields: Any) -> dict[str, Any]:
    response = client_of(place.coach).post(address(place), body(place, **fields), format="json")
    assert response.status_code == 201, response.content
    return response.json()


def test_an_easy_goal_is_likelier_met_than_a_hard_one(season: Place) -> None:
    now = set_goal(season, target=1.0)["progress"]["now"]["value"]
    easier, harder = (set_goal(season, target=now + shift) for shift in (-0.2, -4.0))
    assert easier["state"] == harder["state"] == "open"
    assert easier["progress"]["chance"]["value"] > harder["progress"]["chance"]["value"] + 0.2
    assert harder["progress"]["chance"]["value"] < 0.2
    assert "30 days left" in easier["progress"]["words"]
    assert set_goal(season, target=now)["state"] == "open"
    assert set_goal(season, target=now + 6)["state"] == "met"


def test_goals_told_again_read_no_shot_until_something_that_they_rest_on_changes(season: Place) -> None:
    goal = set_goal(season, target=20.0)

    def listed() -> tuple[Any, bool]:
        with CaptureQueriesContext(connection) as asked:
            told = client_of(season.coach).get(address(season)).json()["results"]
        return told, any('"players_shot"' in one["sql"] for one in asked)

    first, _ = listed()
    assert first == [goal]
    assert listed() == (first, False)
    with club_scope(season.club.id):
        factories.make_round(season.manager, season.player)
    _, read = listed()
    assert read
    client_of(season.coach).post(f"/api/v1/goals/{goal['id']}/close")
    assert [one["state"] for one in listed()[0]] == ["closed"]


def test_player_and_coach_both_set_goals_and_see_each_others(season: Place) -> None:
    set_goal(season)
    mine = client_of(season.player_member).post(address(season), body(season, target=30.0), format="json")
    assert mine.status_code == 201
    for member in (season.player_member, season.coach, season.manager):
        listed = client_of(member).get(address(season)).json()["results"]
        assert [(one["target"], one["set_by"]) for one in listed] == [(30.0, "ines"), (31.0, "coach")]


def test_closing_keeps_what_it_had_come_to(season: Place) -> None:
    goal = set_goal(season, target=20.0)
    client = client_of(season.player_member)
    closed = client.post(f"/api/v1/goals/{goal['id']}/close")
    assert closed.status_code == 200
    assert closed.json()["state"] == "closed"
    assert (
        closed.json()["value_at_start"] == closed.json()["value_at_close"] == goal["progress"]["now"]["value"]
    )
    assert client.post(f"/api/v1/goals/{goal['id']}/close").status_code == 409
    with club_scope(season.club.id):
        write_player_report(season.player.id)
    again = client.get(f"/api/v1/goals/{goal['id']}").json()
    assert again["state"] == "closed"
    assert again["value_at_close"] == closed.json()["value_at_close"]
    assert [one["id"] for one in client.get(address(season), {"state": "closed"}).json()["results"]] == [
        goal["id"]
    ]
    assert client.get(address(season), {"state": "open"}).json()["results"] == []


@pytest.mark.parametrize(("target", "state"), [(25.0, "missed"), (45.0, "met")])
def test_a_goal_whose_date_has_passed_is_decided_by_the_worker(
    season: Place, target: float, state: str
) -> None:
    """Twenty-five putts a round are out of reach for a golfer of handicap 8, forty-five are not."""
    with club_scope(season.club.id):
        yesterday = today_at(season.club) - dt.timedelta(days=1)
        goal = Goal.objects.create(
            player=season.player, figure="putts.round", target=target, window_rounds=5, due_on=yesterday
        )
        Goal.objects.update(set_at=dt.datetime.combine(days_of(ROUNDS)[-4], dt.time(6), dt.UTC))
        write_player_report(season.player.id)
        goal.refresh_from_db()
    assert goal.state == state
    assert goal.closed_at is not None
    assert goal.value_at_close is not None
    found = client_of(season.coach).get(f"/api/v1/goals/{goal.id}").json()
    assert found["state"] == state
    assert [point["day"] for point in found["history"]] == [day.isoformat() for day in days_of(ROUNDS)[-4:]]
    assert found["history"][-1]["value"] == pytest.approx(goal.value_at_close)


def test_the_day_after_its_date_is_marked_as_work(season: Place) -> None:
    goal = set_goal(season)
    due = OutstandingWork.objects.get(kind="goal_due", key=goal["id"]).due_at
    assert due.date() == dt.date.fromisoformat(goal["due_on"]) + dt.timedelta(days=1)


def test_a_window_of_days_and_a_club_in_metres(season: Place) -> None:
    """20 feet are 6.096 m."""
    with club_scope(season.club.id):
        season.club.distance_unit = "metres"
        season.club.save()
    goal = set_goal(season, figure="approach.50-125.proximity", target=6.096, window={"days": 60})
    assert goal["figure"]["unit"] == "m"
    assert goal["target"] == pytest.approx(6.096)
    assert goal["window"] == {"rounds": None, "days": 60}
    with club_scope(season.club.id):
        assert Goal.objects.get().target == pytest.approx(20.0)


@pytest.mark.parametrize(
    ("fields", "pointer"),
    [
        ({"figure": "putts.nothing"}, "/figure"),
        ({"due_on": "2020-01-01"}, "/due_on"),
        ({"window": {"rounds": 3, "days": 3}}, "/window"),
        ({"window": {}}, "/window"),
        ({"target": None}, "/target"),
        ({"colour": "red"}, "/colour"),
    ],
)
def test_faults_are_named(season: Place, fields: dict[str, Any], pointer: str) -> None:
    response = client_of(season.coach).post(address(season), body(season, **fields), format="json")
    assert response.status_code == 422
    assert [fault["pointer"] for fault in response.json()["errors"]] == [pointer]
    with club_scope(season.club.id):
        assert not Goal.objects.exists()
