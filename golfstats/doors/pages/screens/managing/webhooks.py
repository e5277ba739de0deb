"""Addresses that are told what happens, and what was sent to them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms as django_forms

from golfstats.doors.pages.forms import Words
from golfstats.doors.pages.screens.managing.base import Button, ManagerForm
from golfstats.ground import inputs
from golfstats.ground.operations import Change
from golfstats.ground.webhooks import services
from golfstats.ground.webhooks.models import Happening
from golfstats.ground.webhooks.operations import DELIVERY, DESTINATION, OPERATIONS, NewDestination

(ADD,) = (one for one in OPERATIONS if isinstance(one, Change) and one.id == "add_webhook")


class Webhooks(ManagerForm):
    title = "Tell an address"
    button = "Add"
    template = "webhooks"

    def fields(self) -> Mapping[str, django_forms.Field]:
        return {
            "url": Words("Address", "https only, and none of a private network"),
            "happenings": django_forms.MultipleChoiceField(
                label="What it is told",
                choices=[(one.value, str(one.label)) for one in Happening],
                widget=django_forms.CheckboxSelectMultiple,
            ),
        }

    def present(self) -> Mapping[str, Any]:
        return {"happenings": [one.value for one in Happening]}

    def save(self, given: dict[str, Any]) -> None:
        made = ADD.do(self.asker, inputs.checked(NewDestination, given))
        self.done = f"Added. Messages are signed with this secret, shown this once: {made.secret}"

    def back(self) -> str:
        return self.address("webhooks-page")

    def extra(self) -> dict[str, Any]:
        destinations = DESTINATION.heads(self.asker, list(DESTINATION.visible(self.asker).order_by("id")))
        rows = DELIVERY.visible(self.asker).order_by("-id")[:20]
        return {"destinations": destinations, "deliveries": DELIVERY.heads(self.asker, list(rows))}


class _OfDestination(Button):
    def back(self, **places: Any) -> str:
        return self.address("webhooks-page")


class TestDestination(_OfDestination):
    done = "A test message is on its way; the list below says how it went"

    def act(self, **places: Any) -> None:
        services.send_test(DESTINATION.one(self.asker, places, to_change=True))


class SwitchDestination(_OfDestination):
    done = "Switched"

    def act(self, **places: Any) -> None:
        row = DESTINATION.one(self.asker, places, to_change=True)
        services.change_destination(row, url=None, happenings=None, active=not row.active)


class RemoveDestination(_OfDestination):
    done = "Removed, with its list of messages"

    def act(self, **places: Any) -> None:
        services.remove_destination(DESTINATION.one(self.asker, places, to_change=True))


class SendAgain(_OfDestination):
    done = "Sent once more"

    def act(self, **places: Any) -> None:
        services.send_again(DELIVERY.one(self.asker, places, to_change=True))
