"""Who may see and do what with players and their rounds.

A player sees himself; a coach the players of his squads; a manager everybody; a greenkeeper nobody.
Whatever a person may not see does not exist for him: 404, never 403.
"""

from __future__ import annotations

from django.db.models import Q, QuerySet
from rest_framework import status

from golfstats.api.problems import ProblemError
from golfstats.clubs.models import Member, Role
from golfstats.clubs.scope import current_club_id
from players.models import Player, Squad


def visible_players(member: Member) -> QuerySet[Player]:
    """Players whose golf this member may read."""
    players = Player.objects.filter(club_id=current_club_id())
    if member.role == Role.MANAGER:
        return players
    own = Q(member=member)
    if member.role == Role.COACH:
        return players.filter(own | Q(squad_places__squad__squad_coaches__member=member)).distinct()
    if member.role == Role.PLAYER:
        return players.filter(own)
    return players.none()


def postable_players(member: Member) -> QuerySet[Player]:
    """Players for whom this member may post, edit and delete rounds: those he may read."""
    return visible_players(member)


def visible_squads(member: Member) -> QuerySet[Squad]:
    squads = Squad.objects.filter(club_id=current_club_id())
    if member.role == Role.MANAGER:
        return squads
    if member.role == Role.COACH:
        return squads.filter(squad_coaches__member=member)
    return squads.none()


def require_role(member: Member, *roles: Role) -> None:
    """Raise a 403 problem unless the member has one of the roles."""
    if member.role not in roles:
        words = " or ".join(role.value for role in roles)
        raise ProblemError("not-allowed", f"Only a {words} may do this", status.HTTP_403_FORBIDDEN)
