"""A form on a page of its own: shown, checked as the API checks, and shown again with its faults."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from django import forms as django_forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.doors.pages import forms
from golfstats.doors.pages.base import ClubPage
from golfstats.doors.pages.forms import Given
from golfstats.ground.faults import ProblemError, Refusal

REFUSED = 422


class Crumb(NamedTuple):
    """What a form is about, and where that stands."""

    words: str
    address: str


class FormPage(ClubPage):
    """Subclasses say what is asked (``fields``), who may (``prepare``) and what is done (``save``)."""

    title = ""
    button = noop("Save")
    done = noop("Saved")
    caution = ""
    template = "form"

    def fields(self) -> Mapping[str, django_forms.Field]:
        raise NotImplementedError

    def prepare(self, **places: Any) -> None:
        """Find what the address names; raise where the member may not be here."""

    def present(self) -> Mapping[str, object]:
        """What the form shows at first."""
        return {}

    def save(self, given: Given) -> None:
        """Do it. A problem with faults is shown at their fields."""
        raise NotImplementedError

    def back(self) -> str:
        """Where to go afterwards."""
        return self.address("club-page")

    def crumb(self) -> Crumb | None:
        """What the form is about, said above its title."""
        return None

    def extra(self) -> dict[str, object]:
        """What the template shows beside the form."""
        return {}

    def get(self, request: HttpRequest, **places: Any) -> HttpResponse:
        self.prepare(**places)
        return self._form(forms.form_of(self.fields(), present=self.present()))

    def post(self, request: HttpRequest, **places: Any) -> HttpResponse:
        self.prepare(**places)
        form = forms.form_of(self.fields(), request.POST, files=request.FILES)
        if form.is_valid():
            try:
                self.save(forms.given(form))
            except ProblemError as problem:
                if problem.because in {Refusal.NOT_ALLOWED, Refusal.NOT_FOUND}:
                    raise
                forms.place_faults(form, problem)
            else:
                return self.saved(form)
        return self._form(form, status=REFUSED)

    def saved(self, form: django_forms.Form) -> HttpResponse:
        """What is answered once it is done."""
        messages.success(self.request, gettext(self.done))
        return redirect(self.back())

    def _form(self, form: django_forms.Form, status: int = 200) -> HttpResponse:
        context = {
            "title": gettext(self.title),
            "button": gettext(self.button),
            "caution": gettext(self.caution),
            "back": self.back(),
            "crumb": self.crumb(),
            "form": form,
        }
        return self.page(self.template, context | self.extra(), status=status)
