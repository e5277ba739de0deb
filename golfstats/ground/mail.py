"""Mail is sent beside the request that causes it.

So a mail server that is slow or hangs keeps no thread of the service, and how long a forgotten password's page takes
does not tell whether the address belongs to anybody.
"""

from __future__ import annotations

import logging
import threading
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from smtplib import SMTPException

from django.conf import settings
from django.core.mail import EmailMessage, get_connection
from django.core.mail.backends.base import BaseEmailBackend

logger = logging.getLogger(__name__)

MOST_WAITING = 200
"""Of a process. More than that many are not kept for a mail server that takes none."""

_waiting = threading.BoundedSemaphore(MOST_WAITING)
_sender = ThreadPoolExecutor(1, thread_name_prefix="mail")


class Beside(BaseEmailBackend):
    """Hands mail to a thread of its own, which sends it by the backend that ``EMAIL_URL`` names."""

    def send_messages(self, email_messages: Sequence[EmailMessage]) -> int:
        if not _waiting.acquire(blocking=False):
            logger.error("mail was not sent: the mail server has not taken the last %d", MOST_WAITING)
            return 0
        _sender.submit(_send, list(email_messages))
        return len(email_messages)


def _send(messages: list[EmailMessage]) -> None:
    try:
        get_connection(settings.MAIL_THROUGH).send_messages(messages)
    except (OSError, SMTPException, ValueError):
        logger.exception("mail was not sent")
    finally:
        _waiting.release()
