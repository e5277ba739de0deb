"""Rounds that are older than the club keeps them go; what a handicap of today rests on stays.

An index is of the lowest 8 of the last 20 scores, and capped by the lowest index of the 365 days before the last score
(Rules of Handicapping 2024, Rules 5.2, 5.7 and 5.8).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Any

import pytest
from django.core.management import call_command

from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.ground.clock import today_at
from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox import worker
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.walls.scope import club_scope
from players.coaching.models import PlayerReport
from players.figures.models import RoundFigures
from players.rounds.models import Round, RoundChange, Shot
from tests.outbox.test_lease import pass_time
from tests.players.conftest import client_of
from tests.players.simulated_golf import bodies_of, post_bodies
from tests.web.conftest import Place, signed_in


def play(place: Place, days_ago: Sequence[int], *, counting: bool = True) -> None:
    """Rounds so many days ago, analysed and on the record."""
    with club_scope(place.club.id):
        today = today_at(place.club)
        days = [today - dt.timedelta(days=ago) for ago in sorted(days_ago, reverse=True)]
        bodies = bodies_of(place.player, days, golfer_of_handicap(8.0), 5)
        post_bodies(place.player_member, [body | {"counting": counting} for body in bodies])
    worker.drain()


def keep(place: Place, years: int) -> None:
    answer = client_of(place.manager).patch("/api/v1/club", {"rounds_kept_years": years}, format="json")
    assert answer.json()["rounds_kept_years"] == years


def ages(place: Place) -> list[int]:
    """How many days ago the rounds were that are there, latest first."""
    with club_scope(place.club.id):
        today = today_at(place.club)
        return sorted((today - day).days for day in Round.objects.values_list("played_on", flat=True))


def handicap(place: Place) -> dict[str, Any]:
    told = client_of(place.player_member).get(f"/api/v1/players/{place.player.id}/handicap").json()
    return {name: told[name] for name in ("index", "low_index")}


@pytest.mark.django_db
def test_an_older_round_goes_in_the_night_and_a_younger_one_stays(place: Place) -> None:
    play(place, [1000, 1200], counting=False)
    keep(place, 3)
    worker.drain()
    assert ages(place) == [1000, 1200]  # whoever mistyped the number has until the night
    pass_time(dt.timedelta(days=2))
    worker.drain()
    assert ages(place) == [1000]
    with club_scope(place.club.id):
        assert RoundFigures.objects.count() == 1
        assert set(Shot.objects.values_list("played_hole__round", flat=True)) == {Round.objects.get().id}
        assert RoundChange.objects.filter(gone=True).count() == 1
        assert len(PlayerReport.objects.get().document["level"]["rounds"]) == 1
    assert OutstandingWork.objects.get(kind="old_rounds").due_at is not None  # the next night


@pytest.mark.django_db
def test_purge_does_it_at_once(place: Place, capsys: pytest.CaptureFixture[str]) -> None:
    play(place, [300, 800], counting=False)
    keep(place, 2)
    call_command("purge")
    assert ages(place) == [300]
    assert "1 old rounds" in capsys.readouterr().out


@pytest.mark.django_db
def test_without_the_choice_everything_stays(place: Place) -> None:
    play(place, [4000], counting=False)
    call_command("purge")
    keep(place, 2)
    keep(place, 0)
    call_command("purge")
    pass_time(dt.timedelta(days=2))
    worker.drain()
    assert ages(place) == [4000]


@pytest.mark.django_db
def test_the_handicap_of_today_stays_as_it_is(place: Place) -> None:
    days_ago = range(20, 1820, 30)  # five years, a score a month
    play(place, days_ago)
    before = handicap(place)
    keep(place, 1)
    call_command("purge")
    worker.drain()
    year = [ago for ago in days_ago if ago <= 20 + 365]
    assert ages(place) == list(days_ago[: len(year) + 20])
    assert handicap(place) == before
    call_command("purge")
    assert len(ages(place)) == len(year) + 20


@pytest.mark.django_db
def test_the_last_20_scores_stay_however_old(place: Place) -> None:
    play(place, range(3000, 3020))
    play(place, [5000], counting=False)
    keep(place, 1)
    call_command("purge")
    assert ages(place) == list(range(3000, 3020))


@pytest.mark.django_db
def test_whose_record_is_not_folded_yet_loses_nothing(place: Place) -> None:
    with club_scope(place.club.id):
        days = [today_at(place.club) - dt.timedelta(days=3000)]
        post_bodies(place.player_member, bodies_of(place.player, days, golfer_of_handicap(8.0), 5))
    keep(place, 1)
    call_command("purge")
    assert ages(place) == [3000]


@pytest.mark.django_db
def test_the_settings_page_says_and_changes_it(place: Place) -> None:
    browser, address = signed_in(place.manager), f"/clubs/{place.club.slug}/club/settings"
    form = {
        "name": "Larkmoor",
        "time_zone": "UTC",
        "distance_unit": "yards",
        "date_style": "day_month",
        "first_weekday": "monday",
        "benchmark": "professional",
        "short_game_yards": "100",
        "erased_golf": "gone",
    }
    assert browser.post(address, form | {"rounds_kept_years": "7"}).status_code == 302
    assert 'name="rounds_kept_years" value="7"' in browser.get(address).content.decode()
    assert browser.post(address, form | {"rounds_kept_years": "101"}).status_code == 422
    assert browser.post(address, form | {"rounds_kept_years": ""}).status_code == 302
    with club_scope(place.club.id):
        assert Club.objects.get().rounds_kept_years == 0
