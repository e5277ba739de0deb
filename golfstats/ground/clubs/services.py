"""The only code that writes clubs and members."""

from __future__ import annotations

from golfstats.ground.clubs.announcing import MEMBER_CHANGED, MEMBER_LEFT
from golfstats.ground.clubs.models import Club, Member, Role, User
from golfstats.ground.events import tells
from golfstats.ground.faults import ProblemError, Refusal, invalid
from golfstats.ground.ids import new_id
from golfstats.ground.names import name_faults
from golfstats.ground.walls.scope import club_scope
from golfstats.sentences import Sentence


def found_club(slug: str, name: str, time_zone: str, manager: User) -> Club:
    """A new club with its first manager. For commands: nobody founds a club through the API."""
    faults = name_faults(name, "/name")
    if faults:
        raise invalid(faults)
    club_id = new_id()
    with club_scope(club_id):
        club = Club.objects.create(id=club_id, slug=slug, name=name, time_zone=time_zone)
        Member.objects.create(user=manager, role=Role.MANAGER, name=manager.get_username())
    return club


@tells(MEMBER_CHANGED)
def change_member(member: Member, name: str | None, role: Role | None) -> Member:
    if role is not None and role != Role.MANAGER:
        _keep_a_manager(member)
    member.name = name or member.name
    member.role = role or member.role
    member.save(update_fields=["name", "role"])
    return member


@tells(MEMBER_LEFT)
def remove_member(member: Member) -> None:
    _keep_a_manager(member)
    member.delete()


def _keep_a_manager(leaving: Member) -> None:
    if leaving.role != Role.MANAGER:
        return
    # All of them, in one order: two managers who end each other's role wait for one another and not both.
    managers = Member.objects.select_for_update().filter(role=Role.MANAGER).order_by("id")
    if not set(managers.values_list("id", flat=True)) - {leaving.id}:
        raise ProblemError("last-manager", Sentence("A club keeps at least one manager"), Refusal.CONFLICT)
