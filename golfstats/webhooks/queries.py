"""Reading destinations and the log of deliveries of the club in scope."""

from __future__ import annotations

from django.db.models import QuerySet

from golfstats.webhooks.models import Delivery, Destination


def destinations() -> QuerySet[Destination]:
    """Oldest first. Never show ``secret``: it is told once, when it is made."""
    return Destination.objects.defer("secret").order_by("id")


def deliveries(destination: Destination | None = None) -> QuerySet[Delivery]:
    """The log, newest first, with each attempt; of one destination or of all."""
    found = Delivery.objects.select_related("destination").defer("destination__secret").order_by("-id")
    return found if destination is None else found.filter(destination=destination)
