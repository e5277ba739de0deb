"""Chances are kept when the worker states them, once a day, and judged when the rounds have come."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from golfstats.ground.clock import today_at
from golfstats.ground.walls.scope import club_scope
from players.coaching import goals
from players.coaching.history import history_of
from players.coaching.models import Forecast, ForecastKind, Goal
from players.coaching.reports import ledger
from players.coaching.reports.report import write_player_report
from tests.players.coaching.seasons import days_of, play_season
from tests.players.conftest import Place, client_of

ROUNDS = 40


@pytest.fixture
def season(place: Place) -> Place:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, ROUNDS)
    return place


def record(place: Place) -> dict[str, dict[str, Any]]:
    """By kind of statement, as a player of the club reads it."""
    response = client_of(place.player_member).get("/api/v1/forecasts")
    assert response.status_code == 200, response.content
    return {one["kind"]: one for one in response.json()["results"]}


def add_goal(place: Place, due_on: dt.date) -> Goal:
    return Goal.objects.create(
        player=place.player, figure="gained.total", target=-1.0, window_rounds=5, due_on=due_on
    )


def test_a_report_keeps_what_it_says_once_a_day_and_a_get_keeps_nothing(season: Place) -> None:
    with club_scope(season.club.id):
        add_goal(season, today_at(season.club) + dt.timedelta(days=30))
        for _ in range(2):
            write_player_report(season.player.id)
        kept = list(Forecast.objects.values_list("kind", "subject", "said_on"))
    assert len(kept) == len(set(kept))
    assert {kind for kind, *_ in kept} >= {"goal", "better"}
    client_of(season.coach).get(f"/api/v1/players/{season.player.id}/trends")
    client_of(season.coach).get(f"/api/v1/players/{season.player.id}/goals")
    with club_scope(season.club.id):
        assert Forecast.objects.count() == len(kept)
    assert record(season)["goal"]["waiting"] == 1


def test_rounds_that_come_judge_what_was_said(season: Place) -> None:
    days = days_of(ROUNDS)
    with club_scope(season.club.id):
        ledger.retell(season.player.id, season.club, days[26:36:2])
        judged = Forecast.objects.filter(kind=ForecastKind.BETTER, subject="gained.total").order_by("said_on")
        told = list(judged.values_list("said_on", "chance", "limit", "came_true"))
        golf = history_of([season.player.id], season.club)
        gained = ledger.observed(golf, season.player.id, "gained.total").observations
        _, value, count = gained.by_round
    assert [said_on for said_on, *_ in told] == days[26:36:2]
    for place, (_, chance, limit, came_true) in zip(range(26, 36, 2), told, strict=True):
        following = slice(place + 1, place + 6)
        mean = float((value * count)[following].sum() / count[following].sum())
        # the last of them was said with four rounds to come
        assert came_true == ((mean > limit) if place + 6 <= ROUNDS else None)
        assert 0 < chance < 1


def test_a_goal_that_is_over_judges_what_was_said_of_it(season: Place) -> None:
    with club_scope(season.club.id):
        today = today_at(season.club)
        due = add_goal(season, today + dt.timedelta(days=3))
        closed = add_goal(season, today + dt.timedelta(days=30))
        write_player_report(season.player.id)
        golf = history_of([season.player.id], season.club)
        goals.close_goal(closed, golf, today)
        goals.refresh_goals(golf, season.player.id, today + dt.timedelta(days=4))
        due.refresh_from_db()
        (said,) = Forecast.objects.filter(kind=ForecastKind.GOAL)
    assert said.subject == str(due.id)
    assert said.came_true == (due.state == "met")


def test_the_record_is_told_in_words(season: Place) -> None:
    with club_scope(season.club.id):
        today = today_at(season.club)
        Forecast.objects.bulk_create(
            Forecast(
                player=season.player,
                kind=ForecastKind.GOAL,
                subject=str(number),
                said_on=today - dt.timedelta(days=number),
                chance=0.92,
                came_true=number % 10 > 0,
                judged_on=today,
            )
            for number in range(40)
        )
    told = record(season)["goal"]
    line = told["curve"][-1]
    assert line["words"] == "When we said 92%, it was so 90% of 40 times."
    assert line["came_true"]["low"] < 0.9 < line["came_true"]["high"]
    assert told["curve"][0]["came_true"]["words"] == "too few: 0 of at least 10 statements"
    assert told["brier"] == pytest.approx((36 * 0.08**2 + 4 * 0.92**2) / 40, abs=1e-4)
