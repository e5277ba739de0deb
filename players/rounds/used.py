"""What players name in their rounds, so that they need not write it again: clubs, balls and tags."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from uuid import UUID

from django.db.models import Count, Max

from players.rounds.models import Round, Shot


def clubs_used(players: Sequence[UUID], most: int = 14) -> dict[UUID, list[str]]:
    """The clubs that each of these players uses most, the commonest first. One query."""
    used = Shot.objects.filter(played_hole__round__player__in=players).exclude(club_used="")
    counted = used.values_list("played_hole__round__player_id", "club_used").annotate(times=Count("id"))
    return _by_player(((player, club) for player, club, _ in counted.order_by("-times", "club_used")), most)


def balls_used(players: Sequence[UUID], most: int = 12) -> dict[UUID, list[str]]:
    """The balls of each of these players' rounds, the last one first. One query."""
    rounds = Round.objects.filter(player__in=players).exclude(ball="").order_by()
    played = rounds.values_list("player_id", "ball").annotate(last=Max("played_on"))
    return _by_player(((player, ball) for player, ball, _ in played.order_by("-last", "ball")), most)


def round_tags_used(player: UUID) -> list[str]:
    """What this player's rounds were tagged with, by name. One query."""
    return _sorted(
        Round.objects.filter(player=player).exclude(tags=[]).order_by().values_list("tags", flat=True)
    )


def shot_tags_used(player: UUID) -> list[str]:
    """What this player's shots were tagged with, by name. One query."""
    shots = Shot.objects.filter(played_hole__round__player=player).exclude(tags=[])
    return _sorted(shots.order_by().values_list("tags", flat=True).distinct())


def _by_player(named: Iterable[tuple[UUID, str]], most: int) -> dict[UUID, list[str]]:
    names: dict[UUID, list[str]] = {}
    for player, name in named:
        of_player = names.setdefault(player, [])
        if len(of_player) < most:
            of_player.append(name)
    return names


def _sorted(tags_of_each: Iterable[Sequence[str]]) -> list[str]:
    return sorted({tag for tags in tags_of_each for tag in tags})
