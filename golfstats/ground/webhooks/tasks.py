"""Sending what was announced, as a worker does it: no transaction is open while another machine is waited for."""

from __future__ import annotations

import json
import logging
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.utils import timezone

from golfstats.ground.outbox.work import UNFINISHED, Later, Postponed, Queue, handler
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.webhooks.addresses import RefusedDestinationError, check
from golfstats.ground.webhooks.models import Delivery, Destination
from golfstats.ground.webhooks.sending import SendingError, post
from golfstats.ground.webhooks.services import FORGET_DELIVERIES, LOG_KEPT
from golfstats.ground.webhooks.signature import signed_headers

logger = logging.getLogger(__name__)

RETRY_AFTER = (
    timedelta(seconds=30),
    timedelta(minutes=5),
    timedelta(minutes=30),
    timedelta(hours=2),
    timedelta(hours=8),
    timedelta(hours=24),
)
"""Seven attempts over about 35 hours: a receiver may be down for a day."""
PATIENCE = 5
"""After so many attempts in a row that did not arrive the destination is left alone for a while."""
FIRST_PAUSE, LONGEST_PAUSE = timedelta(minutes=1), timedelta(hours=1)
TOO_OLD = timedelta(days=3)
"""Nobody wants to be told later than this."""

Entry = dict[str, int | str]
"""The log entry of one attempt: the status of the answer, or why there was none."""


@dataclass(frozen=True)
class Message:
    """One delivery as it goes out."""

    url: str
    body: bytes
    headers: dict[str, str]


def give_up(key: str, reason: str) -> None:
    del reason  # The log of the attempts tells more.
    Delivery.objects.filter(id=key).update(given_up_at=timezone.now())


@handler(FORGET_DELIVERIES)
def forget_deliveries(key: str) -> Later | None:
    """The log of the club in scope goes back a month; comes back while there are younger entries."""
    del key
    Delivery.objects.filter(created_at__lt=timezone.now() - LOG_KEPT).delete()
    oldest = Delivery.objects.order_by("created_at").first()
    return None if oldest is None else Later(oldest.created_at + LOG_KEPT, {})


@handler("webhook_delivery", on_failure=give_up, retry_after=RETRY_AFTER, queue=Queue.MESSAGES, outside=True)
def deliver(club_id: UUID, key: str) -> str | Postponed | None:
    """Send one delivery and write down how it went."""
    with club_scope(club_id):
        message = _message(key)
    if not isinstance(message, Message):
        return message
    entry = _sent(message)
    with club_scope(club_id):
        return None if _noted(key, entry) else UNFINISHED


def _message(key: str) -> Message | Postponed | None:
    """What to send; None if there is nothing to send any more, or when to look again."""
    delivery = Delivery.objects.select_related("destination").filter(id=key).first()
    if delivery is None or delivery.delivered_at is not None:
        return None
    now = timezone.now()
    destination = delivery.destination
    if not destination.active:
        give_up(key, "the destination was switched off")
        return None
    if destination.paused_until is not None and destination.paused_until > now:
        if delivery.created_at < now - TOO_OLD:
            give_up(key, "too old")
            return None
        return Postponed(destination.paused_until)
    body = json.dumps(
        {
            "type": delivery.happening,
            "timestamp": delivery.created_at.isoformat(timespec="seconds"),
            "data": delivery.body,
        }
    ).encode()
    headers = {
        "Content-Type": "application/json",
        "User-Agent": "golfstats",
        **signed_headers(_secrets(destination, now), str(delivery.id), int(now.timestamp()), body),
    }
    return Message(destination.url, body, headers)


def _secrets(destination: Destination, now: datetime) -> list[str]:
    """The secret, and the one before as long as it holds."""
    until = destination.old_secret_until
    old = [destination.old_secret] if until is not None and until > now else []
    return [destination.secret, *old]


def _sent(message: Message) -> Entry:
    """Whatever the other side does, it ends as an entry of the log."""
    try:
        return {"status": post(check(message.url), message.body, message.headers)}
    except (RefusedDestinationError, SendingError) as error:
        return {"error": _readable(str(error))}
    except Exception as error:
        logger.exception("a delivery failed in a way that was not foreseen")
        return {"error": _readable(f"{type(error).__name__}: {error}")}


def _readable(text: str) -> str:
    """An answer may hold anything; the log holds what can be stored and read."""
    return "".join(character if character.isprintable() else "�" for character in text)[:300]


def _noted(key: str, entry: Entry) -> bool:
    """Write the attempt into the log. Whether it arrived, or nobody waits for it any more."""
    delivery = Delivery.objects.select_for_update(of=["self"]).filter(id=key).first()
    if delivery is None:
        return True
    now = timezone.now()
    delivery.attempts.append({"at": now.isoformat(timespec="seconds"), **entry})
    status = entry.get("status")
    arrived = isinstance(status, int) and 200 <= status < 300
    if arrived:
        delivery.delivered_at = now
    delivery.save(update_fields=["attempts", "delivered_at"])
    _note_at_the_destination(delivery.destination_id, now, arrived=arrived)
    return arrived


def _note_at_the_destination(destination_id: UUID, now: datetime, *, arrived: bool) -> None:
    """Count failures in a row; too many of them pause it, each further one for twice as long."""
    destination = Destination.objects.select_for_update().get(id=destination_id)
    destination.failures = 0 if arrived else destination.failures + 1
    beyond = destination.failures - PATIENCE
    pause = min(FIRST_PAUSE * 2 ** min(beyond, 10), LONGEST_PAUSE) if beyond >= 0 else None
    destination.paused_until = None if pause is None else now + pause
    destination.save(update_fields=["failures", "paused_until"])
