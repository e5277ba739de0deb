"""What programs are told of players and squads, and who may hear of a player."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from golfstats.ground.events import NOBODY, Event, Happening, Hearers
from players.people.models import Player, Squad


@dataclass(frozen=True)
class NamedPlayer:
    """A player as every message names them."""

    id: UUID
    name: str
    """Empty once they are erased."""


@dataclass(frozen=True)
class PlayerMessage:
    """A player."""

    player: NamedPlayer
    """Whose it is."""


@dataclass(frozen=True)
class ConsentMessage:
    """What a guardian's word makes of a player's golf."""

    player: NamedPlayer
    """Whose it is."""
    readable: bool
    """Whether others than the approved coach may read their golf now. If not, forget what you keep of it."""


@dataclass(frozen=True)
class SquadMessage:
    """A squad. Who is in it only the API tells, to those who may know."""

    squad: UUID
    """Id of the squad."""
    name: str
    """Of the squad."""


def player_in_message(player: Player) -> NamedPlayer:
    """The same in all of them."""
    return NamedPlayer(player.id, player.name)


def hearers_of(player: Player) -> Hearers:
    """The club's programs, as a manager reads it, and the player's own. Of a player under age without a consent
    nothing leaves the house: even their own program is somebody else's machine.
    """
    if player.protected or player.erased_at is not None:
        return NOBODY
    return Hearers(member=player.member_id)


def _player(player: Player) -> PlayerMessage:
    return PlayerMessage(player_in_message(player))


def _erased(player: Player) -> PlayerMessage:
    return PlayerMessage(NamedPlayer(player.id, ""))


def _consent(player: Player) -> ConsentMessage:
    return ConsentMessage(player_in_message(player), readable=not player.protected)


def _squad(squad: Squad) -> SquadMessage:
    return SquadMessage(squad.id, squad.name)


def _of_player_alone(_: Player) -> Hearers:
    return Hearers()


def _of_squad(_: Squad) -> Hearers:
    return Hearers()


PLAYER_CHANGED = Event(
    Happening.PLAYER_CHANGED,
    of=Player,
    message=PlayerMessage,
    says=_player,
    hearers=hearers_of,
    own=True,
)
PLAYER_ERASED = Event(
    Happening.PLAYER_ERASED,
    of=Player,
    message=PlayerMessage,
    says=_erased,
    hearers=_of_player_alone,
    gone=True,
)
CONSENT_CHANGED = Event(
    Happening.CONSENT_CHANGED,
    of=Player,
    message=ConsentMessage,
    says=_consent,
    hearers=_of_player_alone,
)
SQUAD_CHANGED = Event(
    Happening.SQUAD_CHANGED,
    of=Squad,
    message=SquadMessage,
    says=_squad,
    hearers=_of_squad,
)
SQUAD_DELETED = Event(
    Happening.SQUAD_DELETED,
    of=Squad,
    message=SquadMessage,
    says=_squad,
    hearers=_of_squad,
    gone=True,
)
