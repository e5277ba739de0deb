"""What managers may ask and change of messages to their own systems."""

from __future__ import annotations

from typing import Annotated
from uuid import UUID

from pydantic import Field

from golfstats.ground.clubs.models import Role
from golfstats.ground.faults import Fault, ProblemError, invalid
from golfstats.ground.inputs import Body
from golfstats.ground.operations import Asker, Change, Column, Done, Listing, Operation, Query, Subject
from golfstats.ground.resources import reading_of
from golfstats.ground.webhooks import answers, services
from golfstats.ground.webhooks.models import Delivery, Destination, Happening

MANAGERS = (Role.MANAGER,)
Happenings = Annotated[list[Happening], Field(min_length=1, max_length=len(Happening))]

DESTINATION = Subject(
    word="destination",
    parameter="destination_id",
    model=Destination,
    visible=lambda _: answers.destinations(),
    head=answers.WebhookDestination,
    heads=answers.destination_heads,
)
DELIVERY = Subject(
    word="message",
    parameter="delivery_id",
    model=Delivery,
    visible=lambda _: answers.deliveries(),
    head=answers.WebhookDelivery,
    heads=answers.delivery_heads,
)


class NewDestination(Body):
    url: str = Field(min_length=1, max_length=500, description="A public https address.")
    happenings: Happenings = Field(description="What to tell it.")


class DestinationChanges(Body):
    url: str | None = Field(None, min_length=1, max_length=500, description="A public https address.")
    happenings: Happenings | None = Field(None, description="What to tell it.")
    active: bool | None = Field(None, description="Off: nothing is sent, the address and its log stay.")


class DeliveriesQuery(Query):
    destination: Annotated[UUID | None, Column("destination_id")] = Field(None, description="of one address")


def _add(_: Asker, new: NewDestination) -> answers.NewWebhookDestination:
    try:
        return answers.with_secret(*services.add_destination(new.url, new.happenings))
    except services.RefusedDestinationError as error:
        raise _refused(error) from None


def _change(_: Asker, row: Destination, changes: DestinationChanges) -> Destination:
    try:
        return services.change_destination(
            row, url=changes.url, happenings=changes.happenings, active=changes.active
        )
    except services.RefusedDestinationError as error:
        raise _refused(error) from None


def _remove(_: Asker, row: Destination) -> None:
    services.remove_destination(row)


def _renew(_: Asker, row: Destination) -> Done:
    return Done(answers.with_secret(row, services.renew_secret(row)))


def _test(_: Asker, row: Destination) -> Done:
    return Done(services.send_test(row), status=202)


def _again(_: Asker, row: Delivery) -> Done:
    services.send_again(row)
    return Done(row, status=202)


def _refused(error: Exception) -> ProblemError:
    return invalid([Fault("/url", "refused_destination", str(error))], "This address may not be told")


OPERATIONS: list[Operation] = [
    Listing(
        name="webhooks",
        id="list_webhooks",
        path="webhooks",
        field="webhooks",
        summary="The addresses that are told what happens, oldest first (managers)",
        roles=MANAGERS,
        rows=DESTINATION.visible,
        of=DESTINATION,
        order=("id",),
    ),
    Change(
        name="webhooks",
        id="add_webhook",
        path="webhooks",
        verb="POST",
        summary="Tell an address what happens; its secret is shown this once (managers)",
        description="Messages are signed with the secret as the Standard Webhooks specification says; the guide has an "
        "example and a test vector. Private addresses and plain http are refused.",
        roles=MANAGERS,
        body=NewDestination,
        do=_add,
        told=answers.NewWebhookDestination,
    ),
    reading_of(
        DESTINATION,
        name="webhook",
        id="read_webhook",
        path="webhooks/<uuid:destination_id>",
        summary="An address that is told what happens (managers)",
        roles=MANAGERS,
    ),
    Change(
        name="webhook",
        id="change_webhook",
        path="webhooks/<uuid:destination_id>",
        verb="PATCH",
        summary="Change an address, what it is told, or switch it off (managers)",
        about=DESTINATION,
        roles=MANAGERS,
        body=DestinationChanges,
        do=_change,
        of=DESTINATION,
    ),
    Change(
        name="webhook",
        id="remove_webhook",
        path="webhooks/<uuid:destination_id>",
        verb="DELETE",
        summary="Tell an address nothing more; its log goes as well (managers)",
        about=DESTINATION,
        roles=MANAGERS,
        do=_remove,
    ),
    Change(
        name="webhook-secret",
        id="renew_webhook_secret",
        path="webhooks/<uuid:destination_id>/secret",
        verb="POST",
        summary="Give an address a new secret, shown this once (managers)",
        description="For a day messages are signed with both, so that the receiver can change without missing one.",
        about=DESTINATION,
        roles=MANAGERS,
        do=_renew,
        told=answers.NewWebhookDestination,
    ),
    Change(
        name="test-webhook",
        id="test_webhook",
        path="webhooks/<uuid:destination_id>/test",
        verb="POST",
        summary="Send a test message; the log says how it went (managers)",
        about=DESTINATION,
        roles=MANAGERS,
        do=_test,
        of=DELIVERY,
        status=202,
    ),
    Listing(
        name="webhook-deliveries",
        id="list_webhook_deliveries",
        path="webhooks/deliveries",
        field="webhook_deliveries",
        summary="What was sent, newest first, with each attempt (managers)",
        roles=MANAGERS,
        rows=DELIVERY.visible,
        of=DELIVERY,
        query=DeliveriesQuery,
        order=("-id",),
    ),
    Change(
        name="send-webhook-again",
        id="send_webhook_again",
        path="webhooks/deliveries/<uuid:delivery_id>/again",
        verb="POST",
        summary="Send a message once more, with all its attempts (managers)",
        about=DELIVERY,
        roles=MANAGERS,
        do=_again,
        of=DELIVERY,
        status=202,
    ),
]
