"""Sending letters, as a worker does it: no transaction is open while the mail server is waited for."""

from __future__ import annotations

import logging
from datetime import timedelta
from uuid import UUID

from django.core.mail import get_connection

from golfstats.ground.mail.models import WaitingLetter
from golfstats.ground.mail.services import SEND, forget, letter_of
from golfstats.ground.outbox.work import Queue, handler
from golfstats.ground.walls.scope import club_scope

logger = logging.getLogger(__name__)

RETRY_AFTER = (
    timedelta(seconds=30),
    timedelta(minutes=5),
    timedelta(minutes=30),
    timedelta(hours=2),
    timedelta(hours=8),
)
"""Six attempts within eleven hours: a mail server may be down for a night."""


def give_up(key: str, reason: str) -> None:
    """Nothing of it is kept, its link least of all."""
    logger.error("a letter was not sent: %s", reason)
    forget(key)


@handler(SEND, on_failure=give_up, retry_after=RETRY_AFTER, queue=Queue.MESSAGES, outside=True)
def send(club_id: UUID, key: str) -> None:
    """Sent, then forgotten: whoever is killed between the two has it sent twice rather than never."""
    with club_scope(club_id):
        row = WaitingLetter.objects.filter(id=key).first()
        mails = [] if row is None else letter_of(row).mails()
    if mails:
        get_connection().send_messages(mails)
    with club_scope(club_id):
        forget(key)
