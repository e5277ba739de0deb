"""A round is analysed within five seconds whatever neighbours do: said in pieces of work, which no machine's speed changes.

What a posted round waits for is what a worker of its queue takes up before it. Each of those pieces is one round or one
record, and none of another queue is among them; nor is a player's whole golf, measured anew.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from uuid import UUID

import pytest

from golfstats.ground.ids import new_id
from golfstats.ground.outbox import worker
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.outbox.shares import Shares
from golfstats.ground.outbox.work import Queue, ask, ask_all, handlers
from golfstats.ground.walls.scope import club_scope
from players.kinds import HANDICAP, PLAYER_REPORT, ROUND_ANALYSIS, ROUNDS_OF_PLAYER
from players.rounds.models import Round
from tests import factories
from tests.players.conftest import Place

pytestmark = pytest.mark.django_db
NEIGHBOURS, FLOOD = 6, 40


@pytest.fixture
def flood() -> None:
    """Each neighbour asks for what a hundred rounds would ask for, and for fits, imports and messages as well."""
    for number in range(NEIGHBOURS):
        club = factories.make_club(f"neighbour-{number}")
        with club_scope(club.id):
            for kind in handlers:
                for _ in range(FLOOD if handlers[kind].queue == Queue.QUICK else 3):
                    ask(kind, str(new_id()))


@pytest.fixture(autouse=True)
def nobody_has_had_anything(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each piece takes as long as any other: what another test's clubs had of this process does not count."""
    monkeypatch.setattr(worker, "_shares", defaultdict(lambda: Shares(now=lambda: 0.0)))


@pytest.fixture
def taken(monkeypatch: pytest.MonkeyPatch, place: Place) -> list[tuple[UUID, str]]:
    """Club and kind of what a worker takes up, in that order. Of the neighbours' work nothing is done."""
    order: list[tuple[UUID, str]] = []
    outcome = worker._outcome

    def noted(work: OutstandingWork) -> object:
        order.append((work.club_id, work.kind))
        return outcome(work) if work.club_id == place.club.id else None

    monkeypatch.setattr(worker, "_outcome", noted)
    return order


def post_a_round(place: Place) -> Round:
    with club_scope(place.club.id):
        return factories.make_round(place.player_member, place.player)


def test_a_round_waits_for_one_piece_of_each_neighbour_and_no_more(
    flood: None, taken: list[tuple[UUID, str]], place: Place
) -> None:
    worker.drain(limit=3 * NEIGHBOURS, queue=Queue.QUICK)  # the flood has been going on for a while
    taken.clear()
    round_ = post_a_round(place)
    while not any(kind == ROUND_ANALYSIS and club == place.club.id for club, kind in taken):
        assert worker.drain(limit=1, queue=Queue.QUICK) == 1
    before = Counter(club for club, _ in taken if club != place.club.id)
    own = [kind for club, kind in taken if club == place.club.id]
    # The record first, so that the round shows its differential; between any two of its own each neighbour has one turn.
    assert own == [HANDICAP, ROUND_ANALYSIS]
    assert max(before.values(), default=0) <= len(own)
    with club_scope(place.club.id):
        assert Round.objects.get(id=round_.id).analysis == "done"


def test_nothing_long_and_no_message_is_in_the_way_of_a_round() -> None:
    quick = {kind for kind, handler in handlers.items() if handler.queue == Queue.QUICK}
    assert {HANDICAP, ROUND_ANALYSIS, PLAYER_REPORT} <= quick
    assert not any(handlers[kind].outside for kind in quick), "who waits for others' machines sends messages"


def test_forty_rounds_of_one_club_leave_the_neighbours_their_turns(
    flood: None, taken: list[tuple[UUID, str]], place: Place
) -> None:
    with club_scope(place.club.id):
        for _ in range(FLOOD):
            ask(ROUND_ANALYSIS, str(new_id()))
    worker.drain(limit=10 * (NEIGHBOURS + 1), queue=Queue.QUICK)
    turns = Counter(club for club, _ in taken)
    assert len(turns) == NEIGHBOURS + 1
    assert max(turns.values()) - min(turns.values()) <= 1


def test_a_round_is_analysed_before_what_was_to_be_measured_anew_before_it(
    taken: list[tuple[UUID, str]], place: Place
) -> None:
    players = [place.player, place.other_player]
    with club_scope(place.club.id):
        ask_all(ROUNDS_OF_PLAYER, [str(player.id) for player in players])
    round_ = post_a_round(place)
    while not any(kind == ROUND_ANALYSIS for _, kind in taken):
        assert worker.drain(limit=1, queue=Queue.QUICK) == 1
    assert [kind for _, kind in taken] == [HANDICAP, ROUND_ANALYSIS]
    with club_scope(place.club.id):
        assert Round.objects.get(id=round_.id).analysis == "done"
    worker.drain()
    assert [kind for _, kind in taken].count(ROUNDS_OF_PLAYER) == len(players)
