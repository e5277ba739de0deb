"""What a manager's pages share: who may be there, and buttons that do one thing."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.doors.pages.base import ClubPage
from golfstats.doors.pages.form_page import FormPage
from golfstats.doors.pages.forms import refusal_words
from golfstats.ground.clubs.models import Role
from golfstats.ground.faults import ProblemError, Refusal


class OfManager(ClubPage):
    def _answer(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        try:
            self.asker.needs(Role.MANAGER)
        except ProblemError as problem:
            return self.page("problem", {"problem": problem}, status=403)
        return super()._answer(request, *args, **kwargs)


class ManagerForm(OfManager, FormPage):
    """A form that only managers see."""


class Pressed(ClubPage):
    """A button of a list: does one thing, says so, and goes back. A refusal is said there as well."""

    done = noop("Done")

    def act(self, **places: Any) -> None:
        raise NotImplementedError

    def back(self, **places: Any) -> str:
        raise NotImplementedError

    def post(self, request: HttpRequest, **places: Any) -> HttpResponse:
        try:
            self.act(**places)
        except ProblemError as problem:
            if problem.because is Refusal.NOT_FOUND:
                raise
            messages.error(request, "; ".join(refusal_words(problem)))
        else:
            messages.success(request, self.done)
        return redirect(self.back(**places))


class Button(OfManager, Pressed):
    """One that only managers see."""

    def back(self, **places: Any) -> str:
        return self.address("manage")


class AskedFirst(Button):
    """What it takes away does not come back, and on a phone it lies a thumb's width from what is harmless."""

    question = ""
    consequence = ""
    button = ""

    def named(self, **places: Any) -> str:
        """What or who it is about."""
        raise NotImplementedError

    def get(self, request: HttpRequest, **places: Any) -> HttpResponse:
        context = {
            "question": gettext(self.question).format(name=self.named(**places)),
            "consequence": gettext(self.consequence),
            "button": gettext(self.button),
            "back": self.back(**places),
        }
        return self.page("confirm", context)
