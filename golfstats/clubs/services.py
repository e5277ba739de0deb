"""The only code that writes clubs and members."""

from __future__ import annotations

from django.db import transaction

from golfstats.clubs.models import Club, Member, Role, User
from golfstats.clubs.scope import club_scope
from golfstats.ids import new_id


class MemberExistsError(ValueError):
    """The person is a member of this club already."""


class LastManagerError(ValueError):
    """A club keeps at least one manager."""


def found_club(slug: str, name: str, time_zone: str, manager: User) -> Club:
    """A new club with its first manager. For commands: nobody founds a club through the API."""
    club_id = new_id()
    with club_scope(club_id):
        club = Club.objects.create(id=club_id, slug=slug, name=name, time_zone=time_zone)
        Member.objects.create(user=manager, role=Role.MANAGER, name=manager.get_username())
    return club


@transaction.atomic
def add_member(club: Club, username: str, name: str, role: Role, password: str | None = None) -> Member:
    """Make a person a member; a person unknown so far gets a sign-in with the given password."""
    user, new = User.objects.get_or_create(username=username)
    if new:
        user.set_password(password)
        user.save(update_fields=["password"])
    if Member.objects.filter(user=user).exists():
        raise MemberExistsError(username)
    return Member.objects.create(club=club, user=user, name=name, role=role)


@transaction.atomic
def change_member(member: Member, name: str | None, role: Role | None) -> Member:
    if role is not None and role != Role.MANAGER:
        _keep_a_manager(member)
    member.name = name or member.name
    member.role = role or member.role
    member.save(update_fields=["name", "role"])
    return member


@transaction.atomic
def remove_member(member: Member) -> None:
    _keep_a_manager(member)
    member.delete()


def _keep_a_manager(leaving: Member) -> None:
    managers = Member.objects.select_for_update().filter(role=Role.MANAGER)
    if leaving.role == Role.MANAGER and not managers.exclude(id=leaving.id).exists():
        raise LastManagerError
