"""A player in the messages to a club's own systems."""

from __future__ import annotations

from players.people.models import Player


def player_in_message(player: Player) -> dict[str, str]:
    """The same in all of them."""
    return {"id": str(player.id), "name": player.name}
