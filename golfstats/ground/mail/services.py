"""Asking for a letter to be sent, within what one mailbox and one club may get of them."""

from __future__ import annotations

from uuid import UUID

from django.db import transaction
from django.utils.translation import get_language
from pydantic import TypeAdapter

from golfstats.ground.clubs.invitations import Issued
from golfstats.ground.clubs.sealing import opened, seal
from golfstats.ground.counts import allowed, seconds_left
from golfstats.ground.faults import ProblemError, Refusal
from golfstats.ground.mail.letters import AboutFile, AboutInvitation, AboutPassword, Letter
from golfstats.ground.mail.models import WaitingLetter
from golfstats.ground.outbox import work
from golfstats.ground.walls.scope import club_scope, current_club_id
from golfstats.sentences import Sentence

SEND = "letter"
"""The kind of work; its key is the letter's id, which tells of nobody."""
NO_CLUB = UUID(int=0)
"""In whose scope letters are sent that no club has caused: no club has this id, so no row of a club is there."""
MOST_WAITING = 1000
"""Letters of one club, or of none. More than that are not kept for a mail server that takes none."""
HOUR, DAY = 3600, 24 * 3600
INVITATIONS_OF_A_CLUB = 100
"""An hour. A club may not use the service to write to whom it likes."""
INVITATIONS_TO_ONE_ADDRESS = 3
"""A day, of one club."""
INVITATIONS_OF_ALL_CLUBS = 10
"""A day to one address, whoever invites. Further ones are not sent, and that is not told: it would say that other
clubs invite the same person. Whoever invites has the link in the answer.
"""
PASSWORDS_TO_ONE_ADDRESS = 5
"""Links for a new password an hour. Counted apart: invitations keep nobody from a new password."""

LETTER: TypeAdapter[Letter] = TypeAdapter(Letter)


def may_invite(email: str) -> None:
    """Refused if the club in scope has written so often, or so often to this address."""
    club, whom = current_club_id(), _mailbox(email)
    if not allowed(f"invitations of {club} to {whom}", INVITATIONS_TO_ONE_ADDRESS, DAY):
        raise _too_often(Sentence("This address has been sent invitations already: hand over the link"), DAY)
    if not allowed(f"invitations of {club}", INVITATIONS_OF_A_CLUB, HOUR):
        raise _too_often(Sentence("This club has sent many invitations: wait, or hand over links"), HOUR)


def mail_invitation(issued: Issued) -> None:
    """In the transaction that makes the invitation: there is a letter if and only if there is an invitation."""
    if allowed(f"invitations to {_mailbox(issued.row.email)}", INVITATIONS_OF_ALL_CLUBS, DAY):
        _ask_for(AboutInvitation(issued.row.id, issued.link, get_language() or ""))


def mail_password_link(address: str, site: str) -> None:
    """The same is done for every address, whether or not it is anybody's."""
    if not allowed(f"password links to {_mailbox(address)}", PASSWORDS_TO_ONE_ADDRESS, HOUR):
        return
    with club_scope(NO_CLUB):
        _ask_for(AboutPassword(address, site, get_language() or ""))


def mail_file(kept_by: str, file: UUID) -> None:
    """To whom it is kept for; the room's own bound on files bounds these."""
    _ask_for(AboutFile(kept_by, file))


@transaction.atomic
def _ask_for(letter: Letter) -> None:
    if work.how_many(SEND) >= MOST_WAITING:
        title = Sentence("Mail cannot be sent at this moment: ask again in a minute")
        raise ProblemError("busy", title, Refusal.UNAVAILABLE, headers={"Retry-After": "60"})
    row = WaitingLetter.objects.create(sealed=seal(LETTER.dump_json(letter)))
    work.ask(SEND, str(row.id))


def letter_of(row: WaitingLetter) -> Letter:
    return LETTER.validate_json(opened(row.sealed))


def forget(key: str) -> None:
    WaitingLetter.objects.filter(id=key).delete()


def _mailbox(email: str) -> str:
    """Whose it is: what follows a + is the owner's to choose (RFC 5233), so that many addresses lead to one mailbox."""
    name, _, host = email.strip().casefold().rpartition("@")
    return f"{name.partition('+')[0]}@{host}"


def _too_often(title: str, seconds: int) -> ProblemError:
    wait = {"Retry-After": str(seconds_left(seconds))}
    return ProblemError("throttled", title, Refusal.TOO_OFTEN, headers=wait)
