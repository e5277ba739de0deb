"""Tells the club's own systems what happened to rounds, by webhook."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from golfstats.ground.webhooks.models import Happening
from golfstats.ground.webhooks.services import announce_all
from players.people.announcing import player_in_message
from players.rounds.models import Round


def rounds_happened(happening: Happening, rounds: Sequence[Round]) -> None:
    """One query where nobody wants to know. Nobody is told of a player under age before a guardian consents."""
    announce_all(happening, lambda: [round_in_message(one) for one in rounds if not one.player.protected])


def round_in_message(round_: Round) -> dict[str, Any]:
    """The round in a message's words, the same in every kind of message."""
    return {
        "round": str(round_.id),
        "player": player_in_message(round_.player),
        "course": round_.tee_set.course.name,
        "played_on": round_.played_on.isoformat(),
    }
