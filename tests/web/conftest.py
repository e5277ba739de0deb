from __future__ import annotations

import pytest
from django.test import Client

from golfstats.ground.clubs.models import Member
from golfstats.ground.clubs.scope import club_scope
from golfstats.ground.outbox import worker
from players.rounds.models import Round
from tests import factories
from tests.players.conftest import Place, place, scope

__all__ = ["Place", "place", "played", "scope"]


def signed_in(member: Member) -> Client:
    """A browser without scripts, signed in as this member."""
    client = Client()
    client.force_login(member.user)
    return client


@pytest.fixture
def played(place: Place) -> Round:
    """A round of the first player, analysed."""
    with club_scope(place.club.id):
        round_ = factories.make_round(place.manager, place.player)
    worker.drain()
    return round_
