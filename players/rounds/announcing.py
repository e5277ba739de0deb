"""What programs are told of rounds, of those in play, and of a player's bag."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from courses.layout.announcing import NamedCourse, course_in_message
from golfstats.ground.events import Event, Happening, Hearers
from players.people.announcing import NamedPlayer, hearers_of, player_in_message
from players.rounds.models import BagWord, Round, RoundInPlay


@dataclass(frozen=True)
class RoundMessage:
    """A round."""

    round: UUID
    """Id of the round."""
    player: NamedPlayer
    """Whose it is."""
    course: str
    """Name of the course."""
    played_on: dt.date


@dataclass(frozen=True)
class RoundInPlayMessage:
    """A round that is posted hole by hole."""

    round_in_play: UUID
    """Id of the round in play."""
    player: NamedPlayer
    """Whose it is."""
    course: NamedCourse
    """Where."""
    played_on: dt.date


@dataclass(frozen=True)
class HolePlayedMessage(RoundInPlayMessage):
    """The hole that was sent last, or a correction of one."""

    sequence: int
    """Of what was sent, from 1."""
    hole: int
    """Its number."""
    score: int | None
    """Strokes taken; null where the ball was picked up."""
    putts: int | None
    """Null where nobody counted them."""


@dataclass(frozen=True)
class BagMessage:
    """A player's own words for clubs."""

    player: NamedPlayer
    """Whose it is."""


def round_in_message(round_: Round) -> RoundMessage:
    """The round in a message's words, the same in every kind of message about one."""
    return RoundMessage(
        round=round_.id,
        player=player_in_message(round_.player),
        course=round_.tee_set.course.name,
        played_on=round_.played_on,
    )


def _in_play(row: RoundInPlay) -> RoundInPlayMessage:
    return RoundInPlayMessage(
        round_in_play=row.id,
        player=player_in_message(row.player),
        course=course_in_message(row.tee_set.course),
        played_on=row.played_on,
    )


def _hole(row: RoundInPlay) -> HolePlayedMessage:
    last = row.played[-1]
    of_hole = {name: last[name] for name in ("sequence", "score", "putts")}
    return HolePlayedMessage(**vars(_in_play(row)), **of_hole, hole=last["hole"]["number"])


def _bag(row: BagWord) -> BagMessage:
    return BagMessage(player_in_message(row.player))


def hearers_of_its_player(row: Any) -> Hearers:
    """Of whatever has a player."""
    return hearers_of(row.player)


ROUND_POSTED = Event(
    Happening.ROUND_POSTED,
    of=Round,
    message=RoundMessage,
    says=round_in_message,
    hearers=hearers_of_its_player,
    own=True,
)
ROUND_CHANGED = Event(
    Happening.ROUND_CHANGED,
    of=Round,
    message=RoundMessage,
    says=round_in_message,
    hearers=hearers_of_its_player,
    own=True,
)
ROUND_DELETED = Event(
    Happening.ROUND_DELETED,
    of=Round,
    message=RoundMessage,
    says=round_in_message,
    hearers=hearers_of_its_player,
    own=True,
)
ROUND_STARTED = Event(
    Happening.ROUND_STARTED,
    of=RoundInPlay,
    message=RoundInPlayMessage,
    says=_in_play,
    hearers=hearers_of_its_player,
    own=True,
)
HOLE_PLAYED = Event(
    Happening.HOLE_PLAYED,
    of=RoundInPlay,
    message=HolePlayedMessage,
    says=_hole,
    hearers=hearers_of_its_player,
    own=True,
)
ROUND_GIVEN_UP = Event(
    Happening.ROUND_GIVEN_UP,
    of=RoundInPlay,
    message=RoundInPlayMessage,
    says=_in_play,
    hearers=hearers_of_its_player,
    own=True,
    gone=True,
)
BAG_CHANGED = Event(
    Happening.BAG_CHANGED,
    of=BagWord,
    message=BagMessage,
    says=_bag,
    hearers=hearers_of_its_player,
    own=True,
)
