"""How a person comes into a club: by accepting an invitation, and in no other way.

A club never attaches an existing user by name, and never sets anybody's password: whoever accepts does so
signed in as themselves, or makes a sign-in of their own. The link holds the club's id, because the club's
scope has to be entered before its invitations can be seen.
"""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass
from datetime import timedelta
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet
from django.urls import reverse
from django.utils import timezone

from golfstats.ground.clubs.accounts import make_account
from golfstats.ground.clubs.announcing import MEMBER_JOINED
from golfstats.ground.clubs.membership import memberships
from golfstats.ground.clubs.models import Club, Invitation, Member, Role, User
from golfstats.ground.events import tells
from golfstats.ground.faults import ProblemError, Refusal, not_found
from golfstats.ground.walls.scope import club_scope
from golfstats.sentences import Sentence

VALID = timedelta(days=14)
SECRET_BYTES = 24


@dataclass(frozen=True)
class Issued:
    """A new invitation with what is shown this once: the secret that accepts it, and the link with that."""

    row: Invitation
    secret: str
    link: str


def open_invitations() -> QuerySet[Invitation]:
    """Those of the club in scope that may still be accepted, newest first.

    They hold as long as whoever made them is a manager: nobody keeps a way back for when that ends.
    """
    invitations = Invitation.objects.filter(
        accepted_at=None, expires_at__gt=timezone.now(), invited_by__role=Role.MANAGER
    )
    return invitations.select_related("invited_by").order_by("-id")


@transaction.atomic
def invite(member: Member, name: str, role: Role, email: str = "", site: str = "") -> Issued:
    """Invite somebody. ``email`` is where the link is mailed; ``site`` the service's own address, as it was reached."""
    secret = secrets.token_urlsafe(SECRET_BYTES)
    invitation = Invitation.objects.create(
        secret_hash=_hashed(secret),
        role=role,
        name=name,
        email=email,
        invited_by=member,
        expires_at=timezone.now() + VALID,
    )
    token = f"{member.club.id.hex}.{secret}"
    link = site.rstrip("/") + reverse("join", args=[token])
    return Issued(invitation, token, link)


def withdraw(invitation: Invitation) -> None:
    invitation.delete()


def forget_invitations_to(name: str) -> None:
    """Whatever nobody has accepted, whether or not it still can be."""
    Invitation.objects.filter(accepted_at=None, name=name).delete()


def club_of(token: str) -> tuple[Club, Invitation]:
    """What the token invites to; refused if it is none, or accepted, withdrawn or too old."""
    club_id, secret = _parts(token)
    with club_scope(club_id):
        invitation = open_invitations().filter(secret_hash=_hashed(secret)).select_related("club").first()
        if invitation is None:
            raise _no_invitation()
        return invitation.club, invitation


def accept(token: str, user: User) -> Member:
    """Make the person a member. Single use; a second membership in the same club is refused."""
    club_id, secret = _parts(token)
    before = memberships(user.pk)
    with club_scope(club_id):
        named = open_invitations().select_for_update(of=("self",)).filter(secret_hash=_hashed(secret))
        invitation = named.first()
        if invitation is None:
            raise _no_invitation()
        if Member.objects.filter(user=user).exists():
            raise ProblemError(
                "member-exists", Sentence("You are a member of this club already"), Refusal.CONFLICT
            )
        invitation.accepted_at = timezone.now()
        invitation.save(update_fields=["accepted_at"])
        member = _join(invitation, user)
    if len(before) == 1 and before[0].preferred_at is None:
        # What named no club meant the only one so far, and goes on meaning it.
        prefer(before[0])
    return member


@tells(MEMBER_JOINED)
def _join(invitation: Invitation, user: User) -> Member:
    return Member.objects.create(club=invitation.club, user=user, name=invitation.name, role=invitation.role)


@transaction.atomic
def sign_up(token: str, wish: str, password: str, email: str = "") -> Member:
    """Make a sign-in for somebody who has none, and accept with it. Refused before anything is told of the name.

    ``email`` is what the person says. Not where the invitation went: a manager wrote that, and whoever reads the
    mail of a sign-in can set its password, in every club that the person ever joins.
    """
    club_of(token)
    return accept(token, make_account(wish, password, email))


def prefer(membership: Member) -> None:
    """Let this club be meant where the person names none."""
    with club_scope(membership.club.id):
        Member.objects.filter(id=membership.id).update(preferred_at=timezone.now())


def _parts(token: str) -> tuple[UUID, str]:
    club, _, secret = token.partition(".")
    try:
        return UUID(hex=club), secret
    except ValueError:
        raise _no_invitation() from None


def _no_invitation() -> ProblemError:
    problem = not_found(Sentence("No invitation"))
    problem.detail = (
        "It may have been accepted already, withdrawn, or be too old: ask the club for a new one."
    )
    return problem


def _hashed(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()
