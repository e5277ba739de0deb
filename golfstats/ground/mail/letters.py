"""What mails say. They are written when they are sent: an invitation that was withdrawn meanwhile is not mailed, the
link for a new password is made by then and stored nowhere, and whether an address is anybody's is looked up then,
so that how long the page takes does not tell it.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from uuid import UUID
from zoneinfo import ZoneInfo

from django.conf import settings
from django.contrib.auth.forms import PasswordResetForm
from django.contrib.auth.tokens import default_token_generator
from django.core.mail import EmailMessage
from django.urls import reverse
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode
from django.utils.translation import gettext, override
from django.utils.translation import gettext_noop as noop

from golfstats.ground.clubs.invitations import open_invitations
from golfstats.ground.clubs.models import User
from golfstats.ground.words import dated, dates_as

INVITATION = noop("""{by} invites you to {club} ({role}).

Open this address to accept, before {until}:

{link}

Whoever did not expect this can leave it be: nothing happens unless it is accepted.
""")
FORGOTTEN = noop("""Somebody asked for a new password for {name}. To choose one, open:

{link}

Whoever did not ask can leave this be: nothing has changed.
""")


def written_in(*languages: str | None) -> AbstractContextManager[None]:
    """In the first of these languages that is one, as long as it is spoken here; else in the usual one."""
    spoken = dict(settings.LANGUAGES)
    return override(next((one for one in languages if one in spoken), settings.LANGUAGE_CODE))


@dataclass(frozen=True)
class AboutInvitation:
    """Of the club in scope. The link is kept here, because the invitation knows its secret by a hash alone."""

    invitation: UUID
    link: str
    language: str = ""
    """Of the page on which it was asked for; that of the account of whoever invites goes before."""

    def mails(self) -> list[EmailMessage]:
        invitation = (
            open_invitations().select_related("club", "invited_by__user").filter(id=self.invitation).first()
        )
        if invitation is None:
            return []
        club, by = invitation.club, invitation.invited_by
        with written_in(by and by.user.language, self.language), dates_as(club.date_style):
            text = gettext(INVITATION).format(
                by=by.name if by else gettext("A manager"),
                club=club.name,
                role=gettext(invitation.role),
                until=dated(invitation.expires_at.astimezone(ZoneInfo(club.time_zone)), "j F Y"),
                link=self.link,
            )
            subject = gettext("Invitation to {club}").format(club=club.name).replace("\n", " ")
        return [EmailMessage(subject, text, to=[invitation.email])]


@dataclass(frozen=True)
class AboutPassword:
    """Somebody has forgotten it, and gave this address: one mail for each sign-in that it belongs to."""

    address: str
    site: str
    language: str = ""
    """Of the page on which it was asked for; that of the account goes before."""

    def mails(self) -> list[EmailMessage]:
        return [self._mail(user) for user in self._users()]

    def _users(self) -> list[User]:
        """Those who are active and sign in by a password, as Django looks them up."""
        return [one for one in PasswordResetForm().get_users(self.address) if isinstance(one, User)]

    def _mail(self, user: User) -> EmailMessage:
        place = [urlsafe_base64_encode(force_bytes(user.pk)), default_token_generator.make_token(user)]
        link = self.site.rstrip("/") + reverse("reset-password", args=place)
        with written_in(user.language, self.language):
            text = gettext(FORGOTTEN).format(name=user.get_username(), link=link)
            subject = gettext("A new password")
        # To the address as it is stored: what was typed may only look like it.
        return EmailMessage(subject, text, to=[user.email])


@dataclass(frozen=True)
class AboutFile:
    """Of the club in scope: a file that a room keeps for somebody. The room says what is sent, if it still is."""

    kept_by: str
    file: UUID

    def mails(self) -> list[EmailMessage]:
        return MAILS_OF_ROOMS[self.kept_by](self.file)


MAILS_OF_ROOMS: dict[str, Callable[[UUID], list[EmailMessage]]] = {}
"""By the name of the room, which enters itself when its tasks are loaded."""

Letter = AboutInvitation | AboutPassword | AboutFile
