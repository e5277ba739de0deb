"""Sending what was announced, as a worker does it."""

from __future__ import annotations

import json
from datetime import timedelta

from django.utils import timezone

from golfstats.outbox.work import UNFINISHED, handler
from golfstats.webhooks.addresses import RefusedDestinationError, check
from golfstats.webhooks.models import Delivery
from golfstats.webhooks.sending import SendingError, post
from golfstats.webhooks.signature import signed_headers

RETRY_AFTER = (
    timedelta(seconds=30),
    timedelta(minutes=5),
    timedelta(minutes=30),
    timedelta(hours=2),
    timedelta(hours=8),
    timedelta(hours=24),
)
"""Seven attempts over about 35 hours: a receiver may be down for a day."""


def give_up(key: str, reason: str) -> None:
    del reason  # The log of the attempts tells more.
    Delivery.objects.filter(id=key).update(given_up_at=timezone.now())


@handler("webhook_delivery", on_failure=give_up, retry_after=RETRY_AFTER)
def deliver(key: str) -> str | None:
    """Send one delivery and write down how it went."""
    delivery = Delivery.objects.select_related("destination").filter(id=key).first()
    if delivery is None or delivery.delivered_at is not None:
        return None
    if not delivery.destination.active:
        give_up(key, "the destination was switched off")
        return None
    result = _send(delivery)
    now = timezone.now()
    delivery.attempts.append({"at": now.isoformat(timespec="seconds"), **result})
    status = result.get("status")
    if isinstance(status, int) and 200 <= status < 300:
        delivery.delivered_at = now
    delivery.save(update_fields=["attempts", "delivered_at"])
    return None if delivery.delivered_at else UNFINISHED


def _send(delivery: Delivery) -> dict[str, int | str]:
    """The log entry of one attempt: the status of the answer, or why there was none."""
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
        **signed_headers(
            delivery.destination.secret, str(delivery.id), int(timezone.now().timestamp()), body
        ),
    }
    try:
        return {"status": post(check(delivery.destination.url), body, headers)}
    except (RefusedDestinationError, SendingError) as error:
        return {"error": str(error)[:300]}
