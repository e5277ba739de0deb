"""What managers may ask and change of messages to the club's programs, and each member of those to their own."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Annotated, Any
from uuid import UUID

from pydantic import Field

from golfstats.ground.clubs.models import Role
from golfstats.ground.events import EVENTS, Happening
from golfstats.ground.faults import Fault, ProblemError, invalid
from golfstats.ground.inputs import Body
from golfstats.ground.operations import Asker, Change, Done, Listing, Operation, Query, Subject
from golfstats.ground.resources import reading_of
from golfstats.ground.stretches import Column
from golfstats.ground.webhooks import answers, services
from golfstats.ground.webhooks.models import Delivery, Destination
from golfstats.sentences import Sentence, words_of

MANAGERS = (Role.MANAGER,)
Happenings = Annotated[list[Happening], Field(min_length=1, max_length=len(Happening))]

DESTINATION = Subject(
    word="destination",
    parameter="destination_id",
    model=Destination,
    visible=lambda _: answers.destinations_of(None),
    head=answers.WebhookDestination,
    heads=answers.destination_heads,
)
DELIVERY = Subject(
    word="message",
    parameter="delivery_id",
    model=Delivery,
    visible=lambda _: answers.deliveries_of(None),
    head=answers.WebhookDelivery,
    heads=answers.delivery_heads,
)
OWN_DESTINATION = replace(DESTINATION, visible=lambda asker: answers.destinations_of(asker.member))
OWN_DELIVERY = replace(DELIVERY, visible=lambda asker: answers.deliveries_of(asker.member))
"""Of a member's own addresses. Nobody else sees them, managers neither."""


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


def add_own(asker: Asker, new: NewDestination) -> answers.NewWebhookDestination:
    """An address of the member's own, for what members may be told of."""
    _refuse_what_is_not_theirs(new.happenings)
    try:
        return answers.with_secret(*services.add_destination(new.url, new.happenings, asker.member))
    except services.RefusedDestinationError as error:
        raise _refused(error) from None


def _change(_: Asker, row: Destination, changes: DestinationChanges) -> Destination:
    try:
        return services.change_destination(
            row, url=changes.url, happenings=changes.happenings, active=changes.active
        )
    except services.RefusedDestinationError as error:
        raise _refused(error) from None


def _change_own(asker: Asker, row: Destination, changes: DestinationChanges) -> Destination:
    _refuse_what_is_not_theirs(changes.happenings or ())
    return _change(asker, row, changes)


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
    return invalid(
        [Fault("/url", "refused_destination", words_of(error))], Sentence("This address may not be told")
    )


def _refuse_what_is_not_theirs(happenings: Iterable[Happening]) -> None:
    faults = [
        Fault(
            f"/happenings/{place}",
            "not_for_members",
            Sentence("{value} is for the club's own programs", value=one.value),
        )
        for place, one in enumerate(happenings)
        if not EVENTS[one].own
    ]
    if faults:
        raise invalid(faults)


def own_happenings() -> list[Happening]:
    """What a member's own program may be told of."""
    return [one for one in Happening if EVENTS[one].own]


@dataclass(frozen=True)
class _Whose:
    """Whose addresses a set of operations is about."""

    own: str
    """Stands in names."""
    where: str
    """Begins the addresses of the operations."""
    who: str
    """Ends the summaries."""
    roles: tuple[Role, ...]
    destination: Subject[Destination]
    delivery: Subject[Delivery]
    add: Callable[..., Any]
    change: Callable[..., Any]
    more: str = ""
    """What else a description says."""


CLUBS = _Whose("", "", " (managers)", MANAGERS, DESTINATION, DELIVERY, _add, _change)
ONES_OWN = _Whose(
    "own_",
    "me/",
    ", of your own",
    (),
    OWN_DESTINATION,
    OWN_DELIVERY,
    add_own,
    _change_own,
    " It hears of you as a player, of your imports, and of the greens and dates of the club's courses, never of "
    f"others; you may have {services.MOST_OF_ONES_OWN}. It ends with your membership. Of a player under age nothing "
    "is sent before a guardian's consent is recorded.",
)


def _operations(whose: _Whose) -> list[Operation]:
    """Those of the club's addresses, or of one's own."""
    own, who = whose.own, whose.who
    name = own.replace("_", "-")
    shared: dict[str, Any] = {"roles": whose.roles}
    of_one: dict[str, Any] = {
        "name": f"{name}webhook",
        "path": f"{whose.where}webhooks/<uuid:destination_id>",
        **shared,
    }
    about: dict[str, Any] = {"about": whose.destination}
    return [
        Listing(
            name=f"{name}webhooks",
            id=f"list_{own}webhooks",
            path=f"{whose.where}webhooks",
            field=f"{own}webhooks",
            summary=f"The addresses that are told what happens, oldest first{who}",
            rows=whose.destination.visible,
            of=whose.destination,
            order=("id",),
            **shared,
        ),
        Change(
            name=f"{name}webhooks",
            id=f"add_{own}webhook",
            path=f"{whose.where}webhooks",
            verb="POST",
            summary=f"Tell an address what happens; its secret is shown this once{who}",
            description="Messages are signed with the secret as the Standard Webhooks specification says; the guide "
            "has an example and a test vector. Private addresses and plain http are refused." + whose.more,
            body=NewDestination,
            do=whose.add,
            gives=answers.NewWebhookDestination,
            **shared,
        ),
        reading_of(
            whose.destination,
            id=f"read_{own}webhook",
            summary=f"An address that is told what happens{who}",
            **of_one,
        ),
        Change(
            id=f"change_{own}webhook",
            verb="PATCH",
            summary=f"Change an address, what it is told, or switch it off{who}",
            body=DestinationChanges,
            do=whose.change,
            of=whose.destination,
            **of_one,
            **about,
        ),
        Change(
            id=f"remove_{own}webhook",
            verb="DELETE",
            summary=f"Tell an address nothing more; its log goes as well{who}",
            do=_remove,
            **of_one,
            **about,
        ),
        Change(
            name=f"{name}webhook-secret",
            id=f"renew_{own}webhook_secret",
            path=f"{whose.where}webhooks/<uuid:destination_id>/secret",
            verb="POST",
            summary=f"Give an address a new secret, shown this once{who}",
            description="For a day messages are signed with both, so that the receiver can change without missing one.",
            do=_renew,
            gives=answers.NewWebhookDestination,
            **shared,
            **about,
        ),
        Change(
            name=f"test-{name}webhook",
            id=f"test_{own}webhook",
            path=f"{whose.where}webhooks/<uuid:destination_id>/test",
            verb="POST",
            summary=f"Send a test message; the log says how it went{who}",
            do=_test,
            of=whose.delivery,
            status=202,
            **shared,
            **about,
        ),
        Listing(
            name=f"{name}webhook-deliveries",
            id=f"list_{own}webhook_deliveries",
            path=f"{whose.where}webhooks/deliveries",
            field=f"{own}webhook_deliveries",
            summary=f"What was sent, newest first, with each attempt{who}",
            rows=whose.delivery.visible,
            of=whose.delivery,
            query=DeliveriesQuery,
            order=("-id",),
            **shared,
        ),
        Change(
            name=f"send-{name}webhook-again",
            id=f"send_{own}webhook_again",
            path=f"{whose.where}webhooks/deliveries/<uuid:delivery_id>/again",
            verb="POST",
            summary=f"Send a message once more, with all its attempts{who}",
            about=whose.delivery,
            do=_again,
            of=whose.delivery,
            status=202,
            **shared,
        ),
    ]


OPERATIONS = [*_operations(CLUBS), *_operations(ONES_OWN)]
