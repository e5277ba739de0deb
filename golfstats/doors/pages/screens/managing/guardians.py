"""What a manager does for players without seeing their golf: recording what guardians said, erasing who asks for it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms as django_forms
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.doors.pages.forms import Choice, Given, Tick, Words
from golfstats.doors.pages.screens.managing.base import ManagerForm, OfManager
from golfstats.ground import inputs
from golfstats.ground.clubs.models import ErasedGolf, Role
from golfstats.ground.members.answers import members
from golfstats.ground.operations import Query
from players.people.answers import consents, guarded_players
from players.people.models import Player
from players.people.operations import GUARDED, Guardian
from players.people.services import record_guardian
from players.record.erasing import erase_without_sign_in


class Guardians(OfManager):
    """Everybody, those under age first."""

    def get(self, request: HttpRequest) -> HttpResponse:
        rows = list(GUARDED.visible(self.asker).order_by("-under_age", "name", "id"))
        guarded = zip(rows, guarded_players(self.asker, rows), strict=True)
        players = [(one, row.member_id is None) for row, one in guarded]
        return self.page("guardians", {"players": players})


class RecordGuardian(ManagerForm):
    done = noop("Recorded")
    template = "guardian"
    row: Player

    def prepare(self, **places: Any) -> None:
        self.row = GUARDED.one(self.asker, places, to_change=True)
        self.title = gettext("What the guardian of {name} said").format(name=self.row.name)

    def fields(self) -> Mapping[str, django_forms.Field]:
        coaches = [(str(one.id), one.name) for one in members().filter(role=Role.COACH).order_by("name")]
        return {
            "under_age": Tick(gettext("Under age")),
            "consent_by": Words(
                gettext("Guardian who consents"),
                gettext("Left out: nobody has consented yet"),
                required=False,
            ),
            "approved_coach": Choice(
                gettext("Coach who may read before that"), [("", gettext("nobody")), *coaches], required=False
            ),
        }

    def present(self) -> Mapping[str, Any]:
        row = self.row
        return {
            "under_age": row.under_age,
            "consent_by": row.consent_by,
            "approved_coach": str(row.approved_coach_id or ""),
        }

    def save(self, given: Given) -> None:
        guardian = inputs.checked(Guardian, given)
        record_guardian(
            self.member,
            self.row,
            under_age=guardian.under_age,
            consent_by=guardian.consent_by,
            coach_id=guardian.approved_coach,
        )

    def back(self) -> str:
        return self.address("guardians-page")

    def extra(self) -> dict[str, object]:
        (consented,) = consents(self.asker, [self.row], Query())
        return {"consents": consented}


class ErasePlayer(ManagerForm):
    """For a player without a sign-in, who cannot do it by themselves."""

    button = noop("Erase them for good")
    template = "erase_player"
    row: Player

    def prepare(self, **places: Any) -> None:
        self.row = GUARDED.one(self.asker, places, to_change=True)
        self.title = gettext("Erase {name} from the club").format(name=self.row.name)

    def fields(self) -> Mapping[str, django_forms.Field]:
        return {
            "name": Words(
                gettext("Their name"), gettext("As it stands here: {name}").format(name=self.row.name)
            )
        }

    def extra(self) -> dict[str, object]:
        return {"anonymous": self.club.erased_golf == ErasedGolf.ANONYMOUS}

    def save(self, given: Given) -> None:
        name = self.row.name
        erasure = erase_without_sign_in(self.row, given["name"])
        stays = " ".join(f"{one.what}. {one.why}" for one in erasure.kept)
        self.done = gettext("{name} is erased. What stays, to tell them: {stays}").format(
            name=name, stays=stays
        )

    def back(self) -> str:
        return self.address("guardians-page")
