"""What programs of the club's are told of its members. Nobody's own program hears of them."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.events import Event, Happening, Hearers


@dataclass(frozen=True)
class MemberMessage:
    """A member of the club."""

    member: UUID
    """Id of the membership."""
    name: str
    """As the person is called in the club."""
    role: Role
    """What they are there."""


@dataclass(frozen=True)
class MemberLeftMessage:
    """A membership that has ended."""

    member: UUID
    """Id of the membership. The name is not told once more: whoever leaves may have erased themselves."""


def _member(row: Member) -> MemberMessage:
    return MemberMessage(row.id, row.name, Role(row.role))


def _left(row: Member) -> MemberLeftMessage:
    return MemberLeftMessage(row.id)


def _club_alone(_: Member) -> Hearers:
    return Hearers()


MEMBER_JOINED = Event(
    Happening.MEMBER_JOINED,
    of=Member,
    message=MemberMessage,
    says=_member,
    hearers=_club_alone,
)
MEMBER_CHANGED = Event(
    Happening.MEMBER_CHANGED,
    of=Member,
    message=MemberMessage,
    says=_member,
    hearers=_club_alone,
)
MEMBER_LEFT = Event(
    Happening.MEMBER_LEFT,
    of=Member,
    message=MemberLeftMessage,
    says=_left,
    hearers=_club_alone,
    gone=True,
)
