"""A player who has really changed is told so, with the day; one who has not is not."""

from __future__ import annotations

import datetime as dt

import pytest

from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.ground.walls.scope import club_scope
from players.coaching.trends import month_words, months_before
from players.rounds import services as posting
from players.rounds.input import RoundInput
from tests.players.coaching.seasons import days_of, play_season, season_bodies
from tests.players.conftest import Place, client_of

ROUNDS = 40


def play_two_halves(place: Place, first: float, second: float) -> None:
    """The first twenty rounds as a golfer of one handicap, the later twenty as one of another."""
    halves = [
        season_bodies(place.player, ROUNDS, golfer_of_handicap(h), seed)
        for h, seed in ((first, 1), (second, 2))
    ]
    bodies = halves[0][: ROUNDS // 2] + halves[1][ROUNDS // 2 :]
    with club_scope(place.club.id):
        posting.post_rounds(place.manager, [RoundInput.model_validate(body) for body in bodies])


def trend(place: Place, **query: str) -> dict:
    response = client_of(place.coach).get(
        f"/api/v1/players/{place.player.id}/trends", {"keys": "gained.total", **query}
    )
    assert response.status_code == 200, response.content
    (found,) = response.json()["trends"]
    return found


def test_a_planted_improvement_is_found_with_its_day(place: Place) -> None:
    play_two_halves(place, 16, 4)
    days = days_of(ROUNDS)
    found = trend(place, compare_to=days[8].isoformat())
    assert found["compared_with"]["chance_better"]["value"] > 0.95
    assert "likely better than in" in found["compared_with"]["words"]
    assert found["level_shift"]["better"]
    jumped = dt.date.fromisoformat(found["level_shift"]["day"])
    assert abs((jumped - days[ROUNDS // 2]).days) <= 12  # three rounds at most
    # twelve handicap strokes are worth about that many strokes a round
    assert 8 < found["level_shift"]["size"]["value"] < 17
    assert len(found["rounds"]) == ROUNDS
    assert [one["played_on"] for one in found["rounds"]] == [day.isoformat() for day in days]
    last = found["rounds"][-1]
    assert last["low"] < last["level"] < last["high"]
    assert found["now"]["n"] == ROUNDS


def test_a_player_who_stays_the_same_has_no_level_shift(place: Place) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, ROUNDS, seed=3)
    found = trend(place)
    assert found["level_shift"] is None
    assert 0.05 < found["compared_with"]["chance_better"]["value"] < 0.95


def test_five_rounds_are_too_few_for_a_trend(place: Place) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 5)
    found = trend(place)
    assert found["now"]["value"] is None
    assert found["now"]["words"] == "too few: 5 of at least 6 rounds"
    assert found["compared_with"]["words"] == "too few rounds"
    assert [one["level"] for one in found["rounds"]] == [None] * 5


def test_unknown_figures_benchmarks_and_days_are_refused(place: Place) -> None:
    client = client_of(place.coach)
    address = f"/api/v1/players/{place.player.id}/trends"
    for query in ("keys=gained.nothing", "benchmark=nobody", "compare_to=2190-01-01", "colour=red"):
        assert client.get(f"{address}?{query}").status_code == 422, query


@pytest.mark.parametrize(
    ("day", "months", "earlier"),
    [
        (dt.date(2026, 8, 20), 3, dt.date(2026, 5, 20)),
        (dt.date(2026, 1, 31), 2, dt.date(2025, 11, 30)),
        (dt.date(2026, 5, 31), 3, dt.date(2026, 2, 28)),
        (dt.date(2024, 5, 31), 3, dt.date(2024, 2, 29)),
    ],
)
def test_months_before(day: dt.date, months: int, earlier: dt.date) -> None:
    """By the calendar."""
    assert months_before(day, months) == earlier


def test_a_month_of_another_year_is_named_with_it() -> None:
    today = dt.date(2026, 8, 20)
    assert month_words(dt.date(2026, 5, 1), today) == "in May"
    assert month_words(dt.date(2025, 11, 1), today) == "in November 2025"
