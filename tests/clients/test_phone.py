"""A phone that is cut off before, during and after each request loses nothing and doubles nothing."""

from __future__ import annotations

import itertools

import pytest
from pytest_django.live_server_helper import LiveServer

from golfstats.ground.clubs.accounts import make_token
from golfstats.ground.clubs.models import Scope
from golfstats.ground.ids import new_id
from golfstats.ground.walls.scope import club_scope
from players.rounds.models import Round
from tests import factories
from tests.clients.phone import CutOffError, Network, Phone
from tests.databases import committed
from tests.players.conftest import Place, place
from tests.waiting import wait_until

__all__ = ["place"]  # a fixture of theirs that is used here as well
CUTS = ("before", "during", "after")


@committed
@pytest.mark.parametrize("cuts", list(itertools.permutations(CUTS)))
def test_nothing_is_lost_and_nothing_doubled(
    place: Place, live_server: LiveServer, cuts: tuple[str, ...]
) -> None:
    # Each request is cut in every way before it goes through.
    network = Network(live_server.url, itertools.cycle((*cuts, "")))
    _, token = make_token(place.player_member.user, "a phone", Scope.ROUNDS, 1)
    phone = Phone(network, token)
    kept, dropped = [str(new_id()) for _ in range(2)], str(new_id())
    for day, round_id in enumerate([*kept, dropped], start=1):
        phone.play(round_id, factories.round_body(played_on=f"2026-06-{day:02}"))
    phone.forget(dropped)
    cut_off = 0

    def is_told_everything() -> bool:
        nonlocal cut_off
        try:
            phone.connect()
        except CutOffError:
            cut_off += 1
            assert cut_off < 100
            return False
        return phone.known == dict.fromkeys(kept, 72)

    # Changes are told once every older transaction of the server has ended, those of other databases too.
    wait_until(is_told_everything)
    with club_scope(place.club.id):
        saved = {str(one.id): one.version for one in Round.objects.all()}
    assert cut_off >= 3 * 5
    assert saved == dict.fromkeys(kept, 1)
