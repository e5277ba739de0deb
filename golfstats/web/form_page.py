"""A form on a page of its own: shown, checked as the API checks, and shown again with its faults."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from golfstats.api.problems import ProblemError
from golfstats.web import forms
from golfstats.web.base import ClubPage
from golfstats.web.forms import Field


class FormPage(ClubPage):
    """Subclasses say what is asked (``fields``), who may (``prepare``) and what is done (``save``)."""

    title = ""
    button = "Save"
    done = "Saved"
    caution = ""
    template = "form"

    def fields(self) -> Sequence[Field]:
        raise NotImplementedError

    def prepare(self, **places: Any) -> None:
        """Find what the address names; raise where the member may not be here."""

    def present(self) -> Mapping[str, Any]:
        """What the form shows at first."""
        return {}

    def save(self, given: dict[str, Any]) -> None:
        """Do it. A problem with faults is shown at their fields."""
        raise NotImplementedError

    def back(self) -> str:
        """Where to go afterwards."""
        return self.address("club-page")

    def extra(self) -> dict[str, Any]:
        """What the template shows beside the form."""
        return {}

    def get(self, request: HttpRequest, **places: Any) -> HttpResponse:
        self.prepare(**places)
        return self._form(self.present())

    def post(self, request: HttpRequest, **places: Any) -> HttpResponse:
        self.prepare(**places)
        try:
            self.save(forms.given(request.POST, self.fields()))
        except ProblemError as problem:
            if problem.status in {403, 404}:
                raise
            return self._form(request.POST.dict(), problem)
        messages.success(request, self.done)
        return redirect(self.back())

    def _form(self, values: Mapping[str, Any], problem: ProblemError | None = None) -> HttpResponse:
        fields = self.fields()
        context = {
            "title": self.title,
            "button": self.button,
            "caution": self.caution,
            "back": self.back(),
            "fields": forms.bound(fields, values, problem),
            "faults": forms.elsewhere(fields, problem),
        }
        return self.page(self.template, context | self.extra(), status=problem.status if problem else 200)
