"""The way in: what this is, signing in and out, and which club."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.contrib.auth import authenticate
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView, LogoutView
from django.core.exceptions import ValidationError
from django.forms import CharField
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext
from django.views import View

from golfstats.doors.pages.base import UNOFFICIAL
from golfstats.doors.pages.limits import too_often
from golfstats.doors.pages.sign_ins import demo_sign_ins
from golfstats.doors.rest.http.throttles import may_try_to_sign_in, wait
from golfstats.ground.clubs.membership import memberships
from golfstats.ground.clubs.models import Member
from golfstats.ground.clubs.sign_in import LOCKED_SECONDS, address_of, is_locked
from golfstats.ground.faults import ProblemError
from golfstats.ground.words import spoken


class FrontPage(View):
    """What this is; for a person who is signed in, their clubs."""

    def get(self, request: HttpRequest) -> HttpResponse:
        context = {
            "memberships": _memberships(request),
            "demo": demo_sign_ins(),
            "unofficial": gettext(UNOFFICIAL),
            "open_founding": settings.OPEN_FOUNDING,
        }
        return render(request, "web/front.html", context)


class WithCode(AuthenticationForm):
    """Name, password and, of those who have set up a second factor, its code."""

    code = CharField(required=False, max_length=20)

    def clean(self) -> dict[str, object]:
        given = self.cleaned_data
        try:
            user = authenticate(
                self.request,
                username=given.get("username"),
                password=given.get("password"),
                code=given.get("code"),
            )
        except ProblemError as problem:
            raise ValidationError(spoken(problem.title)) from None
        if user is None:
            raise ValidationError(gettext("This name and password do not belong together."))
        self.user_cache = user
        return given


class SignIn(LoginView):
    """Leads to the person's club, or to the choice among several."""

    form_class = WithCode
    template_name = "web/sign_in.html"
    redirect_authenticated_user = True

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        """As the making of tokens: so many attempts from an address, and a lock after too many wrong passwords."""
        if not may_try_to_sign_in(request):
            return too_often(wait(60))
        if is_locked(request.POST.get("username", ""), address_of(request)):
            return too_often(LOCKED_SECONDS)
        return super().post(request, *args, **kwargs)

    def get_default_redirect_url(self) -> str:
        memberships = _memberships(self.request)
        if len(memberships) == 1:
            return reverse("club-page", args=[memberships[0].club.slug])
        return reverse("front-page")

    def get_initial(self) -> dict[str, object]:
        return {"username": self.request.GET.get("as", "")}

    def get_context_data(self, **kwargs: Any) -> dict[str, object]:
        return super().get_context_data(**kwargs) | {"demo": demo_sign_ins()}


class SignOut(LogoutView):
    next_page = "front-page"
    http_method_names = ["post"]


def _memberships(request: HttpRequest) -> list[Member]:
    return memberships(request.user.pk) if request.user.pk is not None else []
