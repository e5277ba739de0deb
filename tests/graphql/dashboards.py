"""A coach with a squad whose players have golf, goals, notes and everything that the worker makes of them."""

from __future__ import annotations

import datetime as dt

from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.ground.clock import today_at
from golfstats.ground.outbox.worker import drain
from golfstats.ground.walls.scope import club_scope
from players.coaching.models import Goal, PracticeNote
from players.people.models import Player, Squad
from tests import factories
from tests.players.coaching.seasons import play_season
from tests.players.conftest import Place


def fill_squad(place: Place, players: int, rounds: int) -> Squad:
    """A squad of invented golfers of different handicaps, analysed."""
    with club_scope(place.club.id):
        people = [factories.make_player(f"Player {number:02} of {players}") for number in range(players)]
        squad = factories.make_squad(f"Squad of {players}", place.coach, *people)
        for number, player in enumerate(people):
            play_season(place.coach, player, rounds, golfer_of_handicap(float(number)), seed=number)
            _note_down(place, player)
    drain()
    return squad


def _note_down(place: Place, player: Player) -> None:
    today = today_at(place.club)
    Goal.objects.create(
        player=player,
        figure="gained.putting",
        target=-0.5,
        due_on=today + dt.timedelta(days=30),
        set_by=place.coach,
    )
    for days in (5, 20):
        PracticeNote.objects.create(
            player=player,
            written_by=place.coach,
            practised_on=today - dt.timedelta(days=days),
            text="Putts from four feet",
            figure="gained.putting",
        )
