"""Destinations, and what they are told. Everything here needs a club's scope."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db import transaction

from golfstats.outbox.work import ask
from golfstats.webhooks.addresses import RefusedDestinationError, check
from golfstats.webhooks.models import Delivery, Destination, Happening
from golfstats.webhooks.signature import new_secret

__all__ = [
    "RefusedDestinationError",
    "add_destination",
    "announce",
    "change_destination",
    "remove_destination",
    "renew_secret",
    "send_again",
    "send_test",
]

TEST = "test"
"""What a test message says has happened; nobody can ask to be told of it."""


@transaction.atomic
def announce(happening: Happening, body: dict[str, Any]) -> None:
    """Tell the club's active destinations that asked for it what happened.

    ``body`` holds JSON values only. Nothing is sent before the surrounding transaction commits.
    """
    destinations = Destination.objects.filter(active=True, happenings__contains=[happening])
    deliveries = [
        Delivery(destination=destination, happening=happening, body=body) for destination in destinations
    ]
    Delivery.objects.bulk_create(deliveries)
    for delivery in deliveries:
        ask("webhook_delivery", str(delivery.id))


def add_destination(url: str, happenings: Iterable[Happening]) -> tuple[Destination, str]:
    """A new destination and its secret, which is shown this once.

    Raises :class:`RefusedDestinationError` for an address that is not public https.
    """
    check(url)
    secret = new_secret()
    destination = Destination.objects.create(url=url, secret=secret, happenings=sorted(set(happenings)))
    return destination, secret


def change_destination(
    destination: Destination,
    *,
    url: str | None = None,
    happenings: Iterable[Happening] | None = None,
    active: bool | None = None,
) -> Destination:
    """Change what is given. Raises :class:`RefusedDestinationError` like :func:`add_destination`."""
    if url is not None:
        check(url)
        destination.url = url
    if happenings is not None:
        destination.happenings = sorted(set(happenings))
    if active is not None:
        destination.active = active
    destination.save(update_fields=["url", "happenings", "active"])
    return destination


def renew_secret(destination: Destination) -> str:
    """Replace the secret and give the new one, which is shown this once. The old one signs nothing more."""
    destination.secret = new_secret()
    destination.save(update_fields=["secret"])
    return destination.secret


def remove_destination(destination: Destination) -> None:
    """Remove it with the log of its deliveries; what was not delivered yet never will be."""
    destination.delete()


@transaction.atomic
def send_test(destination: Destination) -> Delivery:
    """Send a message of no consequence to one destination, to see whether it arrives."""
    delivery = Delivery.objects.create(destination=destination, happening=TEST, body={"test": True})
    ask("webhook_delivery", str(delivery.id))
    return delivery


@transaction.atomic
def send_again(delivery: Delivery) -> None:
    """Send a delivery once more, with all its attempts, whether or not it arrived before."""
    delivery.delivered_at = None
    delivery.given_up_at = None
    delivery.save(update_fields=["delivered_at", "given_up_at"])
    ask("webhook_delivery", str(delivery.id))
