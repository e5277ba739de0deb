"""What is told of the addresses that messages go to, and of what was sent."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from uuid import UUID

from django.db.models import QuerySet

from golfstats.ground.answers import up_to
from golfstats.ground.clubs.models import Member
from golfstats.ground.events import Happening
from golfstats.ground.operations import Asker
from golfstats.ground.webhooks import models


class DeliveryState(StrEnum):
    WAITING = "waiting"
    """For the first or the next attempt."""
    DELIVERED = "delivered"
    """The receiver took it."""
    FAILED = "failed"
    """No attempt succeeded, and there will be no other by itself."""


@dataclass(frozen=True, kw_only=True)
class WebhookDestination:
    """An address that is told what happens."""

    id: UUID
    url: str
    """Where messages are sent."""
    happenings: list[Happening]
    active: bool
    """Whether messages are sent."""
    created_at: dt.datetime


@dataclass(frozen=True, kw_only=True)
class NewWebhookDestination(WebhookDestination):
    """An address with the secret that its messages are signed with."""

    secret: str
    """Shown this once."""


@dataclass(frozen=True)
class DeliveryAddress:
    """Where a message went."""

    id: UUID
    url: str
    """Where messages are sent."""


@dataclass(frozen=True)
class Attempt:
    """One attempt to deliver: the status of the answer, or why there was none."""

    at: dt.datetime
    """When."""
    status: int | None
    """Of the answer; null where there was none."""
    error: str | None
    """Why there was no answer."""


@dataclass(frozen=True, kw_only=True)
class WebhookDelivery:
    """A message to an address."""

    id: UUID
    destination: DeliveryAddress
    """Where it is sent."""
    happening: str
    """What happened, or ``test``."""
    state: DeliveryState
    """How far it is."""
    created_at: dt.datetime
    delivered_at: dt.datetime | None
    """When it was taken; null until then."""
    attempts: list[Attempt] = up_to(7)
    """Oldest first."""
    body: str
    """The JSON text of what is told."""


def destinations_of(owner: Member | None) -> QuerySet[models.Destination]:
    """A member's own, or the club's. Never with ``secret``: it is told once, when it is made."""
    return models.Destination.objects.filter(owner=owner).defer("secret", "old_secret")


def deliveries_of(owner: Member | None) -> QuerySet[models.Delivery]:
    """The log of these, with each attempt."""
    sent = models.Delivery.objects.select_related("destination").filter(destination__owner=owner)
    return sent.defer("destination__secret", "destination__old_secret")


def destination_heads(_: Asker, rows: Sequence[models.Destination]) -> list[WebhookDestination]:
    return [_destination(row) for row in rows]


def with_secret(row: models.Destination, secret: str) -> NewWebhookDestination:
    return NewWebhookDestination(**vars(_destination(row)), secret=secret)


def delivery_heads(_: Asker, rows: Sequence[models.Delivery]) -> list[WebhookDelivery]:
    return [
        WebhookDelivery(
            id=row.id,
            destination=DeliveryAddress(row.destination_id, row.destination.url),
            happening=row.happening,
            state=DeliveryState(row.state),
            created_at=row.created_at,
            delivered_at=row.delivered_at,
            attempts=[_attempt(one) for one in row.attempts],
            body=json.dumps(row.body),
        )
        for row in rows
    ]


def _destination(row: models.Destination) -> WebhookDestination:
    return WebhookDestination(
        id=row.id,
        url=row.url,
        happenings=[Happening(one) for one in row.happenings],
        active=row.active,
        created_at=row.created_at,
    )


def _attempt(stored: dict[str, str | int]) -> Attempt:
    status, error = stored.get("status"), stored.get("error")
    return Attempt(
        dt.datetime.fromisoformat(str(stored["at"])),
        None if status is None else int(status),
        None if error is None else str(error),
    )
