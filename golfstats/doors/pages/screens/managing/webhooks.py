"""Addresses that are told what happens, and what was sent to them: the club's, for managers, and each member's own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, ClassVar

from django import forms as django_forms
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.doors.pages.base import ClubPage
from golfstats.doors.pages.form_page import FormPage
from golfstats.doors.pages.forms import Given, Words
from golfstats.doors.pages.screens.managing.base import OfManager, Pressed
from golfstats.ground import inputs
from golfstats.ground.events import Happening
from golfstats.ground.operations import Change, Subject
from golfstats.ground.webhooks import services
from golfstats.ground.webhooks.models import Delivery, Destination
from golfstats.ground.webhooks.operations import (
    DELIVERY,
    DESTINATION,
    OPERATIONS,
    OWN_DELIVERY,
    OWN_DESTINATION,
    NewDestination,
    own_happenings,
)

ADD = {one.id: one for one in OPERATIONS if isinstance(one, Change)}


class _Whose(ClubPage):
    """The club's addresses, unless a subclass is about a member's own."""

    own: ClassVar[str] = ""
    """Begins the names of the pages."""
    destination: ClassVar[Subject[Destination]] = DESTINATION
    delivery: ClassVar[Subject[Delivery]] = DELIVERY


class _Own(_Whose):
    own = "own-"
    destination = OWN_DESTINATION
    delivery = OWN_DELIVERY


class _Addresses(_Whose, FormPage):
    title = noop("Tell an address")
    button = noop("Add")
    template = "webhooks"

    def happenings(self) -> Sequence[Happening]:
        return list(Happening)

    def fields(self) -> Mapping[str, django_forms.Field]:
        return {
            "url": Words(gettext("Address"), gettext("https only, and none of a private network")),
            "happenings": django_forms.MultipleChoiceField(
                label=gettext("What it is told"),
                choices=[
                    (one.value, capfirst(gettext(one.value.replace("_", " ")))) for one in self.happenings()
                ],
                widget=django_forms.CheckboxSelectMultiple,
            ),
        }

    def present(self) -> Mapping[str, object]:
        return {"happenings": [one.value for one in self.happenings()]}

    def save(self, given: Given) -> None:
        adding = ADD["add_own_webhook" if self.own else "add_webhook"]
        made = adding.do(self.asker, inputs.checked(NewDestination, given))
        self.done = gettext("Added. Messages are signed with this secret, shown this once: {secret}").format(
            secret=made.secret
        )

    def back(self) -> str:
        return self.address(f"{self.own}webhooks-page")

    def extra(self) -> dict[str, object]:
        rows = self.delivery.visible(self.asker).order_by("-id")[:20]
        acts = {
            "test": f"{self.own}try-webhook",
            "switch": f"{self.own}switch-webhook",
            "remove": f"{self.own}remove-webhook",
            "again": f"{self.own}send-again",
        }
        return {
            "own": bool(self.own),
            "most": services.MOST_OF_ONES_OWN,
            "acts": acts,
            "destinations": self.destination.heads(
                self.asker, list(self.destination.visible(self.asker).order_by("id"))
            ),
            "deliveries": self.delivery.heads(self.asker, list(rows)),
        }


class Webhooks(OfManager, _Addresses):
    """The club's."""


class OwnWebhooks(_Own, _Addresses):
    """A member's own."""

    def happenings(self) -> Sequence[Happening]:
        return own_happenings()


class _Press(_Whose, Pressed):
    def back(self, **places: Any) -> str:
        return self.address(f"{self.own}webhooks-page")


class _Test(_Press):
    done = noop("A test message is on its way; the list below says how it went")

    def act(self, **places: Any) -> None:
        services.send_test(self.destination.one(self.asker, places, to_change=True))


class _Switch(_Press):
    done = noop("Switched")

    def act(self, **places: Any) -> None:
        row = self.destination.one(self.asker, places, to_change=True)
        services.change_destination(row, url=None, happenings=None, active=not row.active)


class _Remove(_Press):
    done = noop("Removed, with its list of messages")

    def act(self, **places: Any) -> None:
        services.remove_destination(self.destination.one(self.asker, places, to_change=True))


class _SendAgain(_Press):
    done = noop("Sent once more")

    def act(self, **places: Any) -> None:
        services.send_again(self.delivery.one(self.asker, places, to_change=True))


class TestDestination(OfManager, _Test):
    """The club's."""


class SwitchDestination(OfManager, _Switch):
    """The club's."""


class RemoveDestination(OfManager, _Remove):
    """The club's."""


class SendAgain(OfManager, _SendAgain):
    """The club's."""


class TestOwn(_Own, _Test):
    """A member's own."""


class SwitchOwn(_Own, _Switch):
    """A member's own."""


class RemoveOwn(_Own, _Remove):
    """A member's own."""


class SendOwnAgain(_Own, _SendAgain):
    """A member's own."""
