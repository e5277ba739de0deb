"""What is told of a club's members and invitations, and to a person of their own account."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from django.db.models import QuerySet

from golfstats.ground.clubs import accounts, models
from golfstats.ground.clubs.membership import memberships
from golfstats.ground.clubs.models import Member, Role, Scope
from golfstats.ground.operations import Asker, Query
from golfstats.ground.standing import Person

SIGN_INS_TOLD = 100


@dataclass(frozen=True)
class ClubMember:
    """A member of the club."""

    id: UUID
    username: str
    """The name to sign in with."""
    name: str
    """The name that the club uses."""
    role: Role


@dataclass(frozen=True, kw_only=True)
class Invitation:
    """An invitation that may still be accepted."""

    id: UUID
    name: str
    """What the club calls the person."""
    role: Role
    email: str
    """Where the link was mailed; empty if the manager hands it over."""
    invited_by: str | None
    expires_at: dt.datetime


@dataclass(frozen=True, kw_only=True)
class IssuedInvitation(Invitation):
    """A new invitation, with what accepts it."""

    invitation: str
    """Shown this once."""
    link: str
    """Page on which it is accepted."""


@dataclass(frozen=True, kw_only=True)
class Membership:
    """A club that you belong to, and as what."""

    slug: str
    """Name of the club in addresses."""
    name: str
    """What the club is called."""
    role: Role
    preferred: bool
    """It is meant where a request names no club."""


@dataclass(frozen=True, kw_only=True)
class FirstMembership(Membership):
    """The club that you have joined, with your new sign-in."""

    username: str
    """The name to sign in with."""


@dataclass(frozen=True, kw_only=True)
class Token:
    """An access token of yours."""

    id: UUID
    name: str
    """What you know it by."""
    scope: Scope
    """What it may be used for."""
    made_at: dt.datetime
    expires_at: dt.datetime
    last_used_at: dt.datetime | None
    """To the hour."""


@dataclass(frozen=True, kw_only=True)
class IssuedToken(Token):
    """A new access token."""

    token: str
    """Sent as ``Authorization: Bearer …``; shown this once."""


@dataclass(frozen=True)
class SignIn:
    """A use of your name and password."""

    at: dt.datetime
    """When."""
    address: str
    """Network address that it came from."""


def members() -> QuerySet[Member]:
    return Member.objects.select_related("user")


def member_heads(_: Asker, rows: Sequence[Member]) -> list[ClubMember]:
    return [ClubMember(row.id, row.user.get_username(), row.name, Role(row.role)) for row in rows]


def invitation_heads(_: Asker, rows: Sequence[models.Invitation]) -> list[Invitation]:
    return [_invitation(row) for row in rows]


def issued_invitation(row: models.Invitation, secret: str, link: str) -> IssuedInvitation:
    return IssuedInvitation(**vars(_invitation(row)), invitation=secret, link=link)


def _invitation(row: models.Invitation) -> Invitation:
    return Invitation(
        id=row.id,
        name=row.name,
        role=Role(row.role),
        email=row.email,
        invited_by=row.invited_by.name if row.invited_by else None,
        expires_at=row.expires_at,
    )


def clubs(person: Person, _: Query | None = None) -> list[Membership]:
    """Every club that the person belongs to, by name."""
    rows = memberships(person.user_id)
    latest = max((row.preferred_at for row in rows if row.preferred_at is not None), default=None)
    return [
        _membership(row, preferred=len(rows) == 1 or (latest is not None and row.preferred_at == latest))
        for row in rows
    ]


def membership(person: Person, slug: str) -> Membership:
    """Of a club that the person does belong to."""
    return next(one for one in clubs(person) if one.slug == slug)


def first_membership(member: Member) -> FirstMembership:
    """Of somebody whose sign-in was made for it."""
    username = member.user.get_username()
    return FirstMembership(**vars(_membership(member, preferred=True)), username=username)


def _membership(row: Member, *, preferred: bool) -> Membership:
    return Membership(slug=row.club.slug, name=row.club.name, role=Role(row.role), preferred=preferred)


def tokens(person: Person, _: Query | None = None) -> list[Token]:
    """Those that are still valid, newest first."""
    return [_token(row) for row in accounts.tokens_of(person.user_id)]


def issued_token(row: models.AccessToken, text: str) -> IssuedToken:
    return IssuedToken(**vars(_token(row)), token=text)


def _token(row: models.AccessToken) -> Token:
    return Token(
        id=row.id,
        name=row.name,
        scope=Scope(row.scope),
        made_at=row.token.created,
        expires_at=row.token.expiry,
        last_used_at=row.last_used_at,
    )


def sign_ins(person: Person, _: Query | None = None) -> list[SignIn]:
    """The latest, newest first."""
    return [SignIn(row.at, row.address) for row in accounts.sign_ins_of(person.user_id)[:SIGN_INS_TOLD]]
