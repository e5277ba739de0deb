"""The score of the next round: forecast by the worker, told to player and coach, judged by the round that comes."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from golfstats.ground.clock import today_at
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.coaching.history import history_of, observed
from players.coaching.models import Forecast, ForecastKind, PlayerReport
from players.coaching.reports import ledger
from players.coaching.reports.next_round import saturday_from, to_par_words
from tests import factories
from tests.players.coaching.seasons import days_of, play_season
from tests.players.conftest import Place, client_of

ROUNDS = 24


@pytest.fixture
def season(place: Place) -> Place:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, ROUNDS)
    worker.drain()
    return place


def test_the_forecast_is_told_for_the_coming_saturday(season: Place) -> None:
    with club_scope(season.club.id):
        today = today_at(season.club)
        golf = history_of([season.player.id], season.club)
        _, scores, _ = observed(golf, season.player.id, "score.to_par").observations.by_round
    told = client_of(season.player_member).get(f"/api/v1/players/{season.player.id}/next-round").json()
    day = dt.date.fromisoformat(told["day"])
    assert (day.weekday(), 0 <= (day - today).days < 7) == (5, True)
    forecast = told["to_par"]
    assert forecast["n"] == ROUNDS
    # Most of what was played lies in a range that nine rounds in ten should, and its middle among them.
    inside = np.mean((scores > forecast["low"]) & (scores < forecast["high"]))
    assert inside >= 0.75
    assert scores.min() < forecast["value"] < scores.max()
    assert told["words"].startswith(f"about {to_par_words(forecast['value'])} par (")
    line = client_of(season.coach).get(f"/api/v1/squads/{season.squad.id}/week").json()["players"][0]
    assert line["next_round"] == told


def test_too_few_rounds_are_said(place: Place) -> None:
    with club_scope(place.club.id):
        factories.make_round(place.manager, place.player)
    worker.drain()
    told = client_of(place.coach).get(f"/api/v1/players/{place.player.id}/next-round").json()
    assert not told["to_par"]["enough"]
    assert told["words"].startswith("too few")
    week = client_of(place.coach).get(f"/api/v1/squads/{place.squad.id}/week").json()
    assert week["ready"].startswith("Too few rounds to say who is ready for Saturday ")


def test_of_who_has_not_played_for_long_nothing_is_forecast(season: Place) -> None:
    with club_scope(season.club.id):
        last = days_of(ROUNDS)[-1]
        (report,) = PlayerReport.objects.all()
        days = [dt.date.fromisoformat(one["day"]) for one in report.document["next_rounds"]]
    assert days[0] == saturday_from(dt.datetime.now(dt.UTC).date())
    assert all(dt.timedelta(0) <= day - last <= dt.timedelta(weeks=13) for day in days)


def test_the_round_that_comes_judges_the_forecast(season: Place) -> None:
    days = days_of(ROUNDS)
    with club_scope(season.club.id):
        Forecast.objects.all().delete()
        ledger.retell(season.player.id, season.club, days[18:])
        golf = history_of([season.player.id], season.club)
        _, scores, _ = observed(golf, season.player.id, "score.to_par").observations.by_round
        told = Forecast.objects.filter(kind=ForecastKind.NEXT).order_by("said_on", "limit")
        rows = list(told.values_list("said_on", "subject", "chance", "limit", "came_true"))
    assert len(rows) == 3 * len(days[18:])
    following = dict(zip(days, [*scores[1:].tolist(), None], strict=True))
    for said_on, _, _, limit, came_true in rows:
        score = following[said_on]
        assert came_true == (None if score is None else score < limit)
    low, _, high = rows[:3]
    assert low[1:3] == ("score.to_par:low", pytest.approx(0.05, abs=0.02))
    assert high[1:3] == ("score.to_par:high", pytest.approx(0.95, abs=0.02))


@pytest.mark.parametrize(
    ("value", "words"), [(8.6, "9 over"), (-1.7, "2 under"), (0.4, "level"), (-0.3, "level")]
)
def test_a_score_to_par_in_words(value: float, words: str) -> None:
    assert to_par_words(value) == words


def test_a_round_that_is_put_right_judges_anew_and_one_that_is_deleted_judges_nothing(season: Place) -> None:
    with club_scope(season.club.id):
        newest = season.player.rounds.latest("played_on")
        ledger.retell(season.player.id, season.club, days_of(ROUNDS)[-2:-1])
        said = Forecast.objects.get(
            kind=ForecastKind.NEXT, subject="score.to_par:low", said_on=days_of(ROUNDS)[-2]
        )
    assert said.came_true is not None
    client = client_of(season.manager)
    for score, beats_the_low_end in ((2, True), (9, False)):
        holes = [{"number": number, "score": score} for number in range(1, 19)]
        answer = client.patch(
            f"/api/v1/rounds/{newest.id}", {"holes": holes}, format="json", headers={"If-Match": "*"}
        )
        assert answer.status_code == 200, answer.content
        worker.drain()
        with club_scope(season.club.id):
            said.refresh_from_db()
        assert said.came_true is beats_the_low_end
    assert client.delete(f"/api/v1/rounds/{newest.id}", headers={"If-Match": "*"}).status_code == 204
    worker.drain()
    with club_scope(season.club.id):
        said.refresh_from_db()
    assert (said.came_true, said.judged_on) == (None, None)
