"""The nightly check that stored figures are what fresh ones would be."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from django.db.models import F
from django.test import Client, RequestFactory

from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox import worker
from golfstats.ground.outbox.health import health
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.walls.scope import club_scope
from players.figures.models import RoundFigures
from players.handicap.models import HandicapLine, PlayerHandicap
from players.rounds.models import Round
from tests.outbox.test_lease import pass_time
from tests.players.conftest import Place
from tests.players.simulated_golf import play_rounds
from tests.players.test_idle import zone_where_it_is_noon


@pytest.fixture
def season(place: Place) -> Place:
    with club_scope(place.club.id):
        Club.objects.update(time_zone=zone_where_it_is_noon())
        play_rounds(place.player_member, place.player, 8, handicap=8)
    worker.drain()
    return place


def audited() -> tuple[int, int]:
    """What the health check says after one more night."""
    pass_time(timedelta(hours=24))
    worker.drain()
    body = json.loads(health(RequestFactory().get("/health")).content)
    return body["figures_checked"], body["figures_that_differ"]


@pytest.mark.django_db
def test_a_quiet_club_is_checked_every_night_and_nothing_differs(season: Place) -> None:
    assert audited() == (9, 0)  # eight rounds and one record
    assert audited() == (9, 0)
    manager = Client()
    manager.force_login(season.manager.user)
    page = manager.get(f"/clubs/{season.club.slug}/club").content.decode()
    assert "9 rounds and records were computed anew and compared with what is stored: 0 differ." in page
    assert OutstandingWork.objects.get(kind="audit").due_at is not None


@pytest.mark.django_db
def test_wrong_figures_are_told_and_put_right(season: Place) -> None:
    with club_scope(season.club.id):
        one, two, three = Round.objects.order_by("id")[:3]
        RoundFigures.objects.filter(round=one).update(putting=F("putting") + 0.01)
        RoundFigures.objects.filter(round=two).update(version=7)
        RoundFigures.objects.filter(round=three).delete()
        PlayerHandicap.objects.update(index="1.0")
    assert audited() == (9, 4)
    assert audited() == (9, 0)


@pytest.mark.django_db
def test_a_record_that_differs_is_written_anew_line_by_line(season: Place) -> None:
    with club_scope(season.club.id):
        worker.drain()
        line = HandicapLine.objects.latest("sequence")
        HandicapLine.objects.filter(id=line.id).update(adjusted_differential="99.9", detail={})
        PlayerHandicap.objects.update(index="1.0")
    assert audited() == (9, 1)
    with club_scope(season.club.id):
        mended = HandicapLine.objects.latest("sequence")
    assert (mended.adjusted_differential, mended.detail) == (line.adjusted_differential, line.detail)
