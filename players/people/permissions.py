"""Who may see and do what with players and their rounds.

Players see themselves; a coach the players of their squads; a manager everybody; a greenkeeper nobody. A player
under age is seen by nobody else but a coach whom their guardian approved, until the guardian's consent is recorded.
Whatever a person may not see does not exist for them: 404, never 403.
"""

from __future__ import annotations

from collections.abc import Hashable
from uuid import UUID

from django.db.models import Q, QuerySet

from courses.layout.permissions import pupils_come_from
from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.faults import ProblemError, Refusal
from golfstats.ground.statements import Statement
from golfstats.ground.walls.scope import current_club_id
from golfstats.sentences import Sentence, one_or_another
from players.people.models import Player, Squad, SquadPlayer

UNPROTECTED = Q(under_age=False) | Q(consent_at__isnull=False)
"""Players of age, and those whose guardian has consented."""


def visible_players(member: Member) -> QuerySet[Player]:
    """Players whose golf this member may read. Before a guardian consents only the approved coach may."""
    players = _players()
    own, approved = Q(member=member), Q(approved_coach=member)
    if member.role == Role.MANAGER:
        return players.filter(UNPROTECTED | own | approved)
    if member.role == Role.COACH:
        in_squads = SquadPlayer.objects.filter(squad__squad_coaches__member=member)
        return players.filter(own | approved | UNPROTECTED & Q(id__in=in_squads.values("player_id")))
    if member.role == Role.PLAYER:
        return players.filter(own)
    return players.none()


ANYBODY, ANY_PLAYER = UUID(int=1), UUID(int=2)
"""Stand for the member and the player in what is written once."""


def _one_as_seen_by(role: Role) -> Statement:
    def rows() -> QuerySet[Player]:
        asks = Member(id=ANYBODY, club_id=current_club_id(), role=role)
        return visible_players(asks).filter(id=ANY_PLAYER)

    def standing_for() -> dict[Hashable, str]:
        return {ANYBODY: "member", ANY_PLAYER: "player", current_club_id(): "club"}

    return Statement(rows, Player, standing_for=standing_for)


ONE_PLAYER = {role: _one_as_seen_by(role) for role in (Role.MANAGER, Role.COACH, Role.PLAYER)}


def visible_player(member: Member, player_id: UUID) -> Player | None:
    """One of them: nearly every request begins with it."""
    statement = ONE_PLAYER.get(Role(member.role))
    if statement is None:
        return None
    rows = statement.found(member=member.id, player=player_id, club=current_club_id())
    return statement.objects(rows[0])[0] if rows else None


def in_sight(member: Member) -> set[UUID]:
    """Ids of the players whose golf this member may read."""
    return set(visible_players(member).values_list("id", flat=True))


def unprotected_players() -> QuerySet[Player]:
    """Those whose golf may go into what is told of a squad to its other players."""
    return _players().filter(UNPROTECTED)


def managed_players(member: Member) -> QuerySet[Player]:
    """Players about whom this member records what a guardian said, whether or not they may read their golf."""
    return _players() if member.role == Role.MANAGER else Player.objects.none()


def players_with_readable_consents(member: Member) -> QuerySet[Player]:
    """Players whose guardians' consents this member may look through: their own, and a manager everybody's."""
    return _players() if member.role == Role.MANAGER else _players().filter(member=member)


def squad_places(member: Member) -> QuerySet[SquadPlayer]:
    """Who is in which squad, of the players whose golf this member may read."""
    return SquadPlayer.objects.filter(player__in=visible_players(member).values("id"))


def own_player(member: Member) -> Player | None:
    """Who this member is as a player."""
    return _players().filter(member=member).first()


def _players() -> QuerySet[Player]:
    return Player.objects.filter(club_id=current_club_id(), erased_at=None)


def postable_players(member: Member) -> QuerySet[Player]:
    """Players for whom this member may post, edit and delete rounds: those they may read."""
    return visible_players(member)


def pupils_of(member: Member) -> QuerySet[Member]:
    """Members who are players in this coach's squads."""
    own = SquadPlayer.objects.filter(squad__squad_coaches__member=member)
    return Member.objects.filter(id__in=own.values("player__member_id"))


pupils_come_from(pupils_of)


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
        words = one_or_another([Sentence(role.value) for role in roles])
        raise ProblemError(
            "not-allowed", Sentence("Only a {words} may do this", words=words), Refusal.NOT_ALLOWED
        )
