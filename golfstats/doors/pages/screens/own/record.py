"""A person's own record: who read it, everything of it to take along, and its end."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django import forms as django_forms
from django.contrib import messages
from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.doors.pages.base import ClubPage
from golfstats.doors.pages.form_page import FormPage
from golfstats.doors.pages.forms import Choice, Given, Tick, Words
from golfstats.doors.pages.languages import translated
from golfstats.doors.pages.limits import too_often
from golfstats.doors.pages.taking_in import imports_begun_by, take_in
from golfstats.doors.rest.http.throttles import may_try_to_sign_in, wait
from golfstats.ground.clubs import accounts
from golfstats.ground.clubs.models import ErasedGolf
from golfstats.ground.clubs.sign_in import LOCKED_SECONDS
from golfstats.ground.faults import ProblemError
from golfstats.ground.operations import Query
from players.files.answers import ImportFindings
from players.files.models import ImportKind
from players.people import permissions
from players.people.answers import consents, golf_reads
from players.record import services
from players.record.answers import own_export, own_file
from players.record.erasing import erase, knows_password
from players.record.operations import FILE_NAME, ZIP

WHICH_ROUNDS = (
    (ImportKind.SHOTS.value, noop("those kept shot by shot")),
    (ImportKind.SCORES.value, noop("those of which the scores alone are kept (after the others)")),
)


class Readers(ClubPage):
    """Who else read the player's golf: for the player and for managers."""

    tells = ""

    def get(self, request: HttpRequest, player_id: UUID) -> HttpResponse:
        player = self.visible_player(player_id)
        (reads,) = golf_reads(self.asker, [player], Query())
        return self.page("readers", {"player": player, "reads": reads})


class RecordPage(ClubPage):
    """What the club keeps of whoever looks: to take along."""

    def get(self, request: HttpRequest) -> HttpResponse:
        player = permissions.own_player(self.member)
        (consented,) = ([],) if player is None else consents(self.asker, [player], Query())
        context = {
            "player": player,
            "consents": consented,
            "export": own_export(self.asker, Query()),
        }
        return self.page("record", context)

    def post(self, request: HttpRequest) -> HttpResponse:
        services.ask_for_export(self.member)
        messages.success(request, gettext("Your file is being written; it is here in a minute"))
        return redirect(self.address("record-page"))


class RecordFile(ClubPage):
    def get(self, request: HttpRequest) -> HttpResponse:
        headers = {"Content-Disposition": f'attachment; filename="{FILE_NAME}"'}
        return HttpResponse(own_file(self.asker), content_type=ZIP, headers=headers)


class Bring(FormPage):
    """A player who comes from another club sends the file that it gave them."""

    title = noop("Bring your rounds from another club")
    button = noop("Go on")
    done = noop("Your rounds are being taken in; look again in a minute")
    template = "bring"
    findings: ImportFindings | None = None

    def fields(self) -> Mapping[str, django_forms.Field]:
        hint = gettext("A zip, {FILE_NAME} unless you have named it otherwise, of up to 5 MB").format(
            FILE_NAME=FILE_NAME
        )
        return {
            "file": django_forms.FileField(label=gettext("The file"), help_text=hint),
            "kind": Choice(gettext("Which rounds"), translated(WHICH_ROUNDS)),
            "look": Tick(gettext("Only look: say what would be taken in, and save nothing")),
        }

    def save(self, given: Given) -> None:
        file = given["file"]
        self.findings = take_in(self.asker, file, kind=given["kind"], dry_run=given.get("look", False))

    def saved(self, form: django_forms.Form) -> HttpResponse:
        if self.findings is not None:
            return self._form(form)
        messages.success(self.request, self.done)
        return redirect(self.address("bring-page"))

    def back(self) -> str:
        return self.address("record-page")

    def extra(self) -> dict[str, object]:
        return {"imports": imports_begun_by(self.asker), "findings": self.findings}


class Erase(FormPage):
    """A person erases themselves: they type their name and password, and are told what is kept."""

    title = noop("Erase yourself from the club")
    button = noop("Erase me for good")
    template = "erase"

    def fields(self) -> Mapping[str, django_forms.Field]:
        asked: dict[str, django_forms.Field] = {
            "name": Words(
                gettext("Your name"), gettext("As it stands here: {name}").format(name=self.member.name)
            )
        }
        if self.member.user.has_usable_password():
            asked["password"] = django_forms.CharField(
                label=gettext("Your password"), widget=django_forms.PasswordInput()
            )
        return asked

    def back(self) -> str:
        return self.address("record-page")

    def extra(self) -> dict[str, object]:
        return {"anonymous": self.club.erased_golf == ErasedGolf.ANONYMOUS}

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        """Before there is a scope: what is counted in it is taken back with a refusal."""
        user = accounts.account(request.user.pk)
        if request.method == "POST" and user is not None:
            if not may_try_to_sign_in(request):
                return too_often(wait(60))
            try:
                self.knows_password = knows_password(user, request.POST.get("password", ""))
            except ProblemError:
                return too_often(LOCKED_SECONDS)
        return super().dispatch(request, *args, **kwargs)

    def save(self, given: Given) -> None:
        self.erasure = erase(self.member, given["name"], knows_password=self.knows_password)

    def saved(self, form: django_forms.Form) -> HttpResponse:
        """Told here and now: there may be no account left to come back with."""
        if self.erasure.account_gone:
            logout(self.request)
        return render(self.request, "web/erased.html", {"erasure": self.erasure, "left": self.club.name})
