"""Destinations, and what they are told. Everything here needs a club's scope."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import timedelta
from uuid import UUID

from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils import timezone

from golfstats.ground.clubs.models import Member
from golfstats.ground.events import Happening, Hearers, Message, messages_are_sent_by
from golfstats.ground.faults import ProblemError, Refusal
from golfstats.ground.outbox.work import ask, ask_all
from golfstats.ground.seats import seat
from golfstats.ground.statements import Statement
from golfstats.ground.walls.scope import current_club_id
from golfstats.ground.webhooks.addresses import RefusedDestinationError, check
from golfstats.ground.webhooks.models import Delivery, Destination
from golfstats.ground.webhooks.signature import new_secret
from golfstats.sentences import Sentence

__all__ = [
    "RefusedDestinationError",
    "add_destination",
    "announce",
    "change_destination",
    "messages_about",
    "remove_destination",
    "renew_secret",
    "send_again",
    "send_test",
]

FORGET_DELIVERIES = "forget_deliveries"
LOG_KEPT = timedelta(days=30)
OVERLAP = timedelta(days=1)
"""For so long messages are signed with the secret before as well."""
MOST_OF_ONES_OWN = 3
"""Addresses of one member: each message to each is work for everybody's sender."""
TEST = "test"
"""What a test message says has happened; nobody can ask to be told of it."""


ANY_HAPPENING = "any"
WHO_ASKED = Statement(
    lambda: Destination.objects.filter(active=True, happenings__contains=[ANY_HAPPENING]),
    Destination,
    standing_for=lambda: {ANY_HAPPENING: "happening", current_club_id(): "club"},
)
"""The active destinations that want to be told: looked for with each change, so it is written once."""


@transaction.atomic(savepoint=False)
def announce(happening: Happening, messages: Callable[[], Iterable[Message]]) -> None:
    """Tell the active destinations that asked for it and may hear it. Nothing is sent before the surrounding
    transaction commits. Where nobody asked nothing is made: then it is one query.
    """
    found = WHO_ASKED.found(happening=happening, club=current_club_id())
    destinations: list[Destination] = [WHO_ASKED.objects(line)[0] for line in found]
    if not destinations:
        return
    deliveries = [
        Delivery(destination=destination, happening=happening, body=one.body)
        for one in messages()
        for destination in destinations
        if _may_hear(destination, one.hearers)
    ]
    if not deliveries:
        return
    Delivery.objects.bulk_create(deliveries)
    ask(FORGET_DELIVERIES, str(current_club_id()), due_at=timezone.now() + LOG_KEPT)
    ask_all("webhook_delivery", [str(delivery.id) for delivery in deliveries])


messages_are_sent_by(announce)


def _may_hear(destination: Destination, hearers: Hearers) -> bool:
    if destination.owner_id is None:
        return hearers.club
    return hearers.every_member or destination.owner_id == hearers.member


def messages_about(player_id: UUID) -> QuerySet[Delivery]:
    """Messages that named the player, sent or still to be sent."""
    key = str(player_id)
    return Delivery.objects.filter(Q(body__player__id=key) | Q(body__player=key)).order_by("pk")


@transaction.atomic
def add_destination(
    url: str, happenings: Iterable[Happening], owner: Member | None = None
) -> tuple[Destination, str]:
    """A new destination, the club's or the owner's own, and its secret, which is shown this once.

    Raises :class:`RefusedDestinationError` for an address that is not public https.
    """
    _look_at(url)
    if owner is not None:
        _refuse_too_many(owner)
    secret = new_secret()
    destination = Destination.objects.create(
        url=url, secret=secret, happenings=sorted(set(happenings)), owner=owner
    )
    return destination, secret


def _look_at(url: str) -> None:
    """A name server may take its time."""
    with seat(current_club_id()):
        check(url)


def _refuse_too_many(owner: Member) -> None:
    # The member's row is held: two requests at once count one after the other.
    Member.objects.select_for_update().get(id=owner.id)
    if Destination.objects.filter(owner=owner).count() >= MOST_OF_ONES_OWN:
        title = Sentence(
            "A member has up to {most_of_ones_own} addresses of their own: remove one first",
            most_of_ones_own=MOST_OF_ONES_OWN,
        )
        raise ProblemError("too-many-webhooks", title, Refusal.CONFLICT)


def change_destination(
    destination: Destination,
    *,
    url: str | None = None,
    happenings: Iterable[Happening] | None = None,
    active: bool | None = None,
) -> Destination:
    """Change what is given. Raises :class:`RefusedDestinationError` like :func:`add_destination`."""
    if url is not None:
        _look_at(url)
        destination.url = url
    if happenings is not None:
        destination.happenings = sorted(set(happenings))
    if active is not None:
        destination.active = active
    # Whoever changes it expects it to be tried again.
    destination.failures, destination.paused_until = 0, None
    destination.save(update_fields=["url", "happenings", "active", "failures", "paused_until"])
    return destination


def renew_secret(destination: Destination) -> str:
    """Replace the secret and give the new one, which is shown this once. The old one signs beside it for a day, so
    that a receiver may change when it likes.
    """
    destination.old_secret, destination.old_secret_until = destination.secret, timezone.now() + OVERLAP
    destination.secret = new_secret()
    destination.save(update_fields=["secret", "old_secret", "old_secret_until"])
    return destination.secret


def remove_destination(destination: Destination) -> None:
    """Remove it with the log of its deliveries; what was not delivered yet never will be."""
    destination.delete()


@transaction.atomic
def send_test(destination: Destination) -> Delivery:
    """Send a message of no consequence to one destination, to see whether it arrives."""
    delivery = Delivery.objects.create(destination=destination, happening=TEST, body={"test": True})
    _end_pause(destination.id)
    ask("webhook_delivery", str(delivery.id))
    return delivery


@transaction.atomic
def send_again(delivery: Delivery) -> None:
    """Send a delivery once more, with all its attempts, whether or not it arrived before."""
    delivery.delivered_at = None
    delivery.given_up_at = None
    delivery.save(update_fields=["delivered_at", "given_up_at"])
    _end_pause(delivery.destination_id)
    ask("webhook_delivery", str(delivery.id))


def _end_pause(destination_id: UUID) -> None:
    """Somebody waits to see whether it arrives now. One more failure pauses it again."""
    Destination.objects.filter(id=destination_id).update(paused_until=None)
