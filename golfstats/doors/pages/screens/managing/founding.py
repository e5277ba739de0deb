"""Founding a club from nothing, where whoever runs the service lets people do so."""

from __future__ import annotations

from typing import Any

from django import forms as django_forms
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login
from django.db import IntegrityError, transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext
from django.views import View

from golfstats.doors.pages import forms
from golfstats.doors.pages.forms import Given
from golfstats.doors.pages.limits import too_often
from golfstats.doors.pages.screens.own.account import BACKEND
from golfstats.doors.rest.http.throttles import may_try_to_sign_in, wait
from golfstats.ground.clock import time_zones
from golfstats.ground.clubs import accounts, services
from golfstats.ground.faults import Fault, ProblemError, invalid

NAMES_IN_ADDRESSES = r"^[a-z0-9]+(-[a-z0-9]+)*$"


class Found(View):
    """Club, and for who is not signed in a sign-in of their own. What comes next is on the club's own page."""

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> Any:
        if not settings.OPEN_FOUNDING:
            raise Http404
        return super().dispatch(request, *args, **kwargs)

    def get(self, request: HttpRequest) -> HttpResponse:
        return self._page(request, forms.form_of(self._fields(request)))

    def post(self, request: HttpRequest) -> HttpResponse:
        if not may_try_to_sign_in(request):
            return too_often(wait(60))
        form = forms.form_of(self._fields(request), request.POST)
        if form.is_valid():
            try:
                return self._founded(request, form.cleaned_data)
            except ProblemError as problem:
                forms.place_faults(form, problem)
        return self._page(request, form, status=422)

    def _founded(self, request: HttpRequest, given: Given) -> HttpResponse:
        try:
            with transaction.atomic():
                manager = accounts.account(request.user.pk)
                if manager is None:
                    manager = accounts.make_account(given["username"], given["password"])
                club = services.found_club(given["slug"], given["name"], given["time_zone"], manager)
        except IntegrityError:
            raise invalid(
                [Fault("/slug", "taken", gettext("There is a club of that address already."))]
            ) from None
        if request.user.pk is None:
            login(request, manager, backend=BACKEND)
            messages.success(
                request,
                gettext("Your name to sign in with is {manager}.").format(manager=manager.get_username()),
            )
        return redirect("manage", club.slug)

    def _fields(self, request: HttpRequest) -> dict[str, django_forms.Field]:
        zones = [("", gettext("Choose one")), *((zone, zone) for zone in time_zones())]
        fields: dict[str, django_forms.Field] = {
            "name": forms.Words(gettext("Name of the club")),
            "slug": django_forms.RegexField(
                NAMES_IN_ADDRESSES,
                label=gettext("Its name in addresses"),
                help_text=gettext("Small letters, digits and hyphens: larkmoor-heath"),
                max_length=50,
                error_messages={"invalid": gettext("Only small letters, digits and hyphens.")},
            ),
            "time_zone": forms.Choice(gettext("Time zone"), zones),
        }
        if request.user.pk is None:
            fields["username"] = django_forms.CharField(
                label=gettext("Name you wish to sign in with"),
                help_text=gettext(
                    "Four digits are added, so that it is yours alone; the next page says the whole name."
                ),
                max_length=140,
            )
            fields["password"] = django_forms.CharField(
                label=gettext("Password"),
                help_text=gettext("At least 10 characters."),
                widget=django_forms.PasswordInput(attrs={"autocomplete": "new-password"}),
            )
        return fields

    def _page(self, request: HttpRequest, form: django_forms.Form, status: int = 200) -> HttpResponse:
        return render(request, "web/found.html", {"form": form}, status=status)
