"""The club's own golfers as a benchmark, its putting, and the report that the worker writes."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
import pytest

from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.walls.scope import club_scope
from players.coaching import tasks as coaching_tasks
from players.coaching.models import PlayerReport
from players.conditions import analysis, tasks
from players.golf import club_fits
from players.golf.bare import load_bare
from players.golf.benchmarks import benchmark_for, club_putting_prior
from players.golf.loading import load_record
from players.golf.models import ClubBenchmark
from players.handicap.models import HandicapLine
from players.people.models import Player
from players.rounds.models import Round
from tests.graphql.asking import data
from tests.players.conftest import Place, client_of
from tests.players.simulated_golf import play_rounds

TODAY = dt.date(2026, 6, 20)


def give_index(player: Player, index: float, played_on: dt.date, sequence: int = 1) -> None:
    HandicapLine.objects.create(player=player, sequence=sequence, played_on=played_on, index_after=index)


@pytest.fixture
def season(place: Place) -> Place:
    """Twenty rounds of a golfer of handicap 8."""
    with club_scope(place.club.id):
        play_rounds(place.player_member, place.player, 20, handicap=8)
        give_index(place.player, 8.0, dt.date(2025, 4, 1))
    return place


def benchmarks(place: Place) -> Any:
    return client_of(place.player_member).get("/api/v1/benchmarks").json()


def test_benchmarks_say_what_they_are(season: Place) -> None:
    answer = benchmarks(season)
    assert answer["default"] == "professional"
    assert [one["key"] for one in answer["results"]] == ["peer", "professional", "handicap:<h>"]
    assert all(one["description"] and "from memory" in one["provenance"] for one in answer["results"])
    assert "stimate" in answer["results"][2]["provenance"]


def test_own_golfers_are_fitted_and_state_shots_and_date(season: Place) -> None:
    with club_scope(season.club.id):
        shots = len(load_record().shot_ids)
        club_fits.refit_club(TODAY)
        assert ClubBenchmark.objects.get().shots == shots
    own = benchmarks(season)["results"][3:]
    assert [one["key"] for one in own] == ["club:8:women"]
    assert own[0]["shots"] == shots
    assert own[0]["fitted_on"] == "2026-06-20"
    by_graphql = data(season.player_member, "{ benchmarks { results { key fittedOn } } }")["benchmarks"][
        "results"
    ]
    assert by_graphql[3:] == [{"key": "club:8:women", "fittedOn": "2026-06-20"}]
    assert f"{shots:,} shots, {shots:,} of them by women, up to 20 Jun 2026" in own[0]["description"]
    asked = client_of(season.player_member).get(
        f"/api/v1/players/{season.player.id}/summary?benchmark=club:8.6"
    )
    assert asked.json()["benchmark"]["key"] == "club:8:women"


def test_golfers_gain_little_on_themselves(season: Place) -> None:
    """The golfer who is the whole club is near his own benchmark: shrinking toward the estimate keeps it
    from being exact.
    """
    with club_scope(season.club.id):
        club_fits.refit_club(TODAY)
        benchmark = benchmark_for("club:8:women")
        record = load_record().record
        tees = record.shots.select(record.shots.number == 1)
        expected = benchmark.expected(tees.lie, tees.distance).sum() / 20
        assert expected == pytest.approx(record.holes.score.sum() / 20, abs=1.5)


def test_few_shots_are_no_benchmark(place: Place) -> None:
    with club_scope(place.club.id):
        play_rounds(place.player_member, place.player, 2)
        give_index(place.player, 8.0, dt.date(2025, 4, 1))
        club_fits.refit_club(TODAY)
    refused = client_of(place.player_member).get(
        f"/api/v1/players/{place.player.id}/summary?benchmark=club:8"
    )
    assert refused.status_code == 422
    assert "no golfers fitted near handicap 8 (women) yet" in refused.json()["errors"][0]["detail"]


def test_handicap_is_that_of_the_day(place: Place) -> None:
    with club_scope(place.club.id):
        play_rounds(place.player_member, place.player, 3)  # from 1 to 3 May 2025
        give_index(place.player, 20.0, dt.date(2025, 5, 1), 1)
        give_index(place.player, 19.0, dt.date(2025, 5, 2), 2)
        play_rounds(place.other_member, place.other_player, 1)
        found = load_bare()
        indexes = club_fits.handicap_in_each_round(found)
        mine = np.array([found.players[n] == place.player.id for n in found.record.rounds.player])
        # The score of 1 May gave 20.0, with which the next round was begun; the first has none before it.
        assert indexes[mine].tolist() == [20.0, 20.0, 19.0]
        assert np.isnan(indexes[~mine]).all()


def test_putting_is_pooled_with_the_club_once_fitted(season: Place) -> None:
    with club_scope(season.club.id):
        assert club_putting_prior().fitted_on is None
        club_fits.refit_club(TODAY)
        prior = club_putting_prior()
        assert (prior.players, prior.fitted_on) == (1, TODAY)
    words = (
        client_of(season.player_member)
        .get(f"/api/v1/players/{season.player.id}/putting")
        .json()["spreads"]["words"]
    )
    assert (
        words == f"Pooled with the club's golfers (1 player, {prior.putts:,} putts), fitted on 20 Jun 2026."
    )


def test_refit_measures_again_what_rests_on_it(season: Place) -> None:
    with club_scope(season.club.id):
        club_fits.refit_club(TODAY)
        Club.objects.update(benchmark="club:8")
        analysis.analyse_pending()
        Round.objects.update(analysis="pending")
        tasks.club_benchmark(str(season.club.id))
        assert set(Round.objects.values_list("analysis", flat=True)) == {"done"}


def test_analysis_asks_for_reports_and_one_refit_a_night(season: Place) -> None:
    with club_scope(season.club.id):
        analysis.analyse_pending()
        assert OutstandingWork.objects.filter(kind="player_report", key=str(season.player.id)).exists()
        first = OutstandingWork.objects.get(kind="club_benchmark")
        club_fits.refit_club(TODAY)
        first.delete()
        club_fits.ask_for_refit(season.club)
        club_fits.ask_for_refit(season.club)
        later = OutstandingWork.objects.get(kind="club_benchmark")
        assert later.due_at.hour == 3  # the club's zone is UTC
        assert later.due_at > first.due_at


def test_report_of_a_player_who_is_gone(place: Place) -> None:
    with club_scope(place.club.id):
        coaching_tasks.write_report("01980000-0000-7000-8000-000000000099")
        assert not PlayerReport.objects.exists()
