"""The way in: what this is, signing in and out, and which club."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.views import LoginView, LogoutView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views import View

from golfstats.clubs.membership import memberships
from golfstats.clubs.models import Member
from golfstats.web.base import UNOFFICIAL
from golfstats.web.sign_ins import demo_sign_ins


class FrontPage(View):
    """What this is; for a person who is signed in, his clubs."""

    def get(self, request: HttpRequest) -> HttpResponse:
        context = {"memberships": _memberships(request), "demo": demo_sign_ins(), "unofficial": UNOFFICIAL}
        return render(request, "web/front.html", context)


class SignIn(LoginView):
    """Leads to the person's club, or to the choice among several."""

    template_name = "web/sign_in.html"
    redirect_authenticated_user = True

    def get_default_redirect_url(self) -> str:
        found = _memberships(self.request)
        if len(found) == 1:
            return reverse("club-page", args=[found[0].club.slug])
        return reverse("front-page")

    def get_initial(self) -> dict[str, Any]:
        return {"username": self.request.GET.get("as", "")}

    def get_context_data(self, **kwargs: Any) -> dict[str, Any]:
        return super().get_context_data(**kwargs) | {"demo": demo_sign_ins()}


class SignOut(LogoutView):
    next_page = "front-page"
    http_method_names = ["post"]


def _memberships(request: HttpRequest) -> list[Member]:
    return memberships(request.user.pk) if request.user.pk is not None else []
