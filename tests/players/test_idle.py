"""A club with golf in it and nobody about makes no work for itself."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox import worker
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.walls.scope import club_scope
from players.club.services import change_settings
from players.golf.models import ClubBenchmark
from players.rounds.models import Round
from tests.outbox.test_lease import pass_time
from tests.players.conftest import Place
from tests.players.simulated_golf import play_rounds

SWEEPS = [timedelta(seconds=30)] * 4
"""Two minutes of a worker that looks every half minute."""


def zone_where_it_is_noon() -> str:
    """So that no night's work falls due while a test lets minutes pass. (The sign is POSIX's: west is positive.)"""
    return f"Etc/GMT{datetime.now(UTC).hour - 12:+d}"


@pytest.mark.django_db
@pytest.mark.parametrize("measured_by", ["professional", "the club's own"])
def test_a_loaded_service_that_idles_for_two_minutes_does_no_work(place: Place, measured_by: str) -> None:
    with club_scope(place.club.id):
        Club.objects.update(time_zone=zone_where_it_is_noon())
        play_rounds(place.player_member, place.player, 12, handicap=8)
    worker.drain()
    with club_scope(place.club.id):
        own = ClubBenchmark.objects.get().document["choices"][0]["key"]
        club = Club.objects.get()
        change_settings(club, {"benchmark": "professional" if measured_by == "professional" else own})
    worker.drain()
    with club_scope(place.club.id):
        assert set(Round.objects.values_list("analysis", flat=True)) == {"done"}
    # The night's work falls due once, and with the morning there is none left.
    pass_time(timedelta(hours=24))
    assert worker.drain() > 0
    attempts = []
    for pause in SWEEPS:
        pass_time(pause)
        attempts.append(worker.sweep())
    assert attempts == [0, 0, 0, 0]
    assert not OutstandingWork.objects.filter(kind="club_benchmark").exists()
