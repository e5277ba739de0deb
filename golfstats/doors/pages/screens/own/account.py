"""One's own account on pages: joining a club, leaving it, the password, tokens and sign-ins."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.contrib.auth import login, views
from django.contrib.auth.mixins import LoginRequiredMixin
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse_lazy
from django.utils.safestring import mark_safe
from django.utils.translation import gettext, gettext_lazy
from django.utils.translation import gettext_noop as noop
from django.views import View

from golfstats.doors.pages.forms import fault_words, refusal_words
from golfstats.doors.pages.languages import translated
from golfstats.doors.pages.limits import too_often
from golfstats.doors.rest.http.throttles import may_try_to_sign_in, wait
from golfstats.doors.rest.problems import status_of
from golfstats.ground import inputs
from golfstats.ground.clubs import accounts, invitations, second_factor
from golfstats.ground.clubs.models import Member, Scope
from golfstats.ground.clubs.sign_in import LOCKED_SECONDS, is_own_password
from golfstats.ground.faults import ProblemError, Refusal
from golfstats.ground.mail.services import mail_password_link
from golfstats.ground.members import answers, operations, questions
from golfstats.ground.standing import Person
from golfstats.ground.words import spoken

SCOPES = (
    (Scope.READ.value, noop("looking")),
    (Scope.ROUNDS.value, noop("looking, and posting rounds")),
    (Scope.EVERYTHING.value, noop("everything")),
)
BACKEND = "golfstats.ground.clubs.sign_in.GuardedBackend"


class Join(View):
    """What an invitation's link leads to: accept it as who one is signed in, or make a sign-in of one's own."""

    def get(self, request: HttpRequest, token: str) -> HttpResponse:
        return self._page(request, token)

    def post(self, request: HttpRequest, token: str) -> HttpResponse:
        try:
            user = accounts.account(request.user.pk)
            if user is not None:
                member = invitations.accept(token, user)
            elif not may_try_to_sign_in(request):
                return too_often(wait(60))
            else:
                given = {name: request.POST.get(name, "") for name in ("username", "password", "email")}
                asked = {name: text for name, text in given.items() if text or name != "email"}
                new = inputs.checked(questions.SignUp, {"invitation": token, **asked})
                member = invitations.sign_up(token, new.username, new.password, new.email or "")
                login(request, member.user, backend=BACKEND)
                messages.success(
                    request,
                    gettext("Your name to sign in with is {user}.").format(user=member.user.get_username()),
                )
        except ProblemError as problem:
            return self._page(request, token, problem)
        return redirect("club-page", member.club.slug)

    def _page(self, request: HttpRequest, token: str, problem: ProblemError | None = None) -> HttpResponse:
        club = invitation = None
        if problem is None or problem.because != Refusal.NOT_FOUND:
            try:
                club, invitation = invitations.club_of(token)
            except ProblemError as refused:
                problem = refused
        context = {"invited_to": club, "invitation": invitation, "problem": problem}
        return render(
            request, "web/join.html", context, status=200 if problem is None else status_of(problem)
        )


class Account(LoginRequiredMixin, View):
    """The clubs one belongs to, one's tokens, and when one's password was used."""

    def get(self, request: HttpRequest) -> HttpResponse:
        return self._page(request)

    def _page(self, request: HttpRequest, made: str = "") -> HttpResponse:
        person = _person(request)
        context = {
            "made": made,
            "scopes": translated(SCOPES),
            "clubs": answers.clubs(person),
            "tokens": answers.tokens(person),
            "email": person.user.email,
            "second_factor": second_factor.is_set_up(person.user),
            "recovery_codes": second_factor.recovery_codes_left(person.user),
            "sign_ins": answers.sign_ins(person)[:20],
        }
        return render(request, "web/account.html", context)

    def post(self, request: HttpRequest) -> HttpResponse:
        if "make" in request.POST:
            return self._made(request)
        if "change-email" in request.POST:
            return self._email_changed(request)
        if "remove" in request.POST:
            _remove_second_factor(request)
        for name, act in (("leave", _leave), ("prefer", _prefer), ("end", _end_token)):
            if name in request.POST:
                act(request, request.POST[name])
        return redirect("account")

    def _made(self, request: HttpRequest) -> HttpResponse:
        """The page with a new token's text, which is shown this once."""
        asked = {name: request.POST.get(name, "") for name in ("name", "scope", "days")}
        try:
            new = inputs.checked(questions.NewToken, {name: text for name, text in asked.items() if text})
        except ProblemError as problem:
            messages.error(request, "; ".join(refusal_words(problem)))
            return redirect("account")
        _, text = accounts.make_token(_person(request).user, new.name, new.scope, new.days)
        response = self._page(request, made=text)
        response["Cache-Control"] = "no-store"
        return response

    def _email_changed(self, request: HttpRequest) -> HttpResponse:
        if not may_try_to_sign_in(request):
            return too_often(wait(60))
        given = {"present": request.POST.get("present", ""), "email": request.POST.get("email") or None}
        try:
            change = inputs.checked(questions.EmailChange, given)
            accounts.change_email(_person(request).user, change.present, change.email or "")
            messages.success(request, gettext("Saved where a link goes if you forget your password"))
        except ProblemError as problem:
            messages.error(request, "; ".join(refusal_words(problem)))
        return redirect("account")


def _remove_second_factor(request: HttpRequest) -> None:
    try:
        second_factor.remove(_person(request).user, _code(request))
        messages.success(request, gettext("Your password alone signs you in again"))
    except ProblemError as problem:
        messages.error(request, "; ".join(refusal_words(problem)))


def _code(request: HttpRequest) -> str:
    return "".join(request.POST.get("code", "").split())


def _leave(request: HttpRequest, slug: str) -> None:
    mine = _membership(request, slug)
    try:
        operations.leave(mine)
        messages.success(request, gettext("You have left {name}").format(name=mine.club.name))
    except ProblemError as problem:
        messages.error(request, spoken(problem.title))


def _prefer(request: HttpRequest, slug: str) -> None:
    invitations.prefer(_membership(request, slug))


def _end_token(request: HttpRequest, token_id: str) -> None:
    try:
        accounts.end_token(_person(request).user_id, UUID(token_id))
    except (ProblemError, ValueError):
        raise Http404 from None


def _membership(request: HttpRequest, slug: str) -> Member:
    try:
        return operations.own_membership(_person(request), slug or "-")
    except ProblemError:
        raise Http404 from None


def _person(request: HttpRequest) -> Person:
    assert request.user.pk is not None  # noqa: S101 - LoginRequiredMixin came first
    return Person(int(request.user.pk))


class SecondFactor(LoginRequiredMixin, View):
    """Setting up a second factor: an authenticator is told a key and shows that it has it."""

    def get(self, request: HttpRequest) -> HttpResponse:
        return self._page(request)

    def post(self, request: HttpRequest) -> HttpResponse:
        try:
            codes = second_factor.confirm(_person(request).user, _code(request))
        except ProblemError as problem:
            return self._page(request, fault=fault_words(problem.faults[0]))
        return render(request, "web/second_factor.html", {"codes": codes})

    def _page(self, request: HttpRequest, fault: str = "") -> HttpResponse:
        try:
            beginning = second_factor.begin(_person(request).user)
        except ProblemError:
            return redirect("account")
        picture = mark_safe(beginning.picture())  # noqa: S308 - made of squares by the library, holds no text of theirs
        context = {"beginning": beginning, "picture": picture, "fault": fault}
        return render(request, "web/second_factor.html", context, status=422 if fault else 200)


class ChangePassword(views.PasswordChangeView):
    template_name = "web/password.html"
    success_url = reverse_lazy("account")
    extra_context = {"title": gettext_lazy("Change your password"), "button": gettext_lazy("Change")}

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        try:
            is_own_password(_person(request).user, request.POST.get("old_password", ""))
        except ProblemError:
            return too_often(LOCKED_SECONDS)
        return super().post(request, *args, **kwargs)

    def form_valid(self, form: Any) -> HttpResponse:
        accounts.end_all_tokens(form.user)
        messages.success(self.request, gettext("Password changed; every token has ended"))
        return super().form_valid(form)


class Address(forms.Form):
    email = forms.EmailField(max_length=254, widget=forms.EmailInput(attrs={"autocomplete": "email"}))


class ForgottenPassword(View):
    """Answers the same, and as quickly, whether or not the address belongs to anybody: a worker looks that up."""

    def get(self, request: HttpRequest) -> HttpResponse:
        return self._page(request, Address())

    def post(self, request: HttpRequest) -> HttpResponse:
        if not may_try_to_sign_in(request):
            return too_often(wait(60))
        form = Address(request.POST)
        if not form.is_valid():
            return self._page(request, form)
        try:
            mail_password_link(form.cleaned_data["email"], request.build_absolute_uri("/"))
        except ProblemError as problem:
            return too_often(float(problem.headers["Retry-After"]))
        messages.success(request, gettext("If the address belongs to a sign-in, a link is on its way"))
        return redirect("sign-in")

    def _page(self, request: HttpRequest, form: Address) -> HttpResponse:
        context = {"title": gettext("Forgotten password"), "button": gettext("Send a link"), "form": form}
        return render(request, "web/password.html", context)


class ResetPassword(views.PasswordResetConfirmView):
    template_name = "web/password.html"
    success_url = reverse_lazy("sign-in")
    extra_context = {"title": gettext_lazy("Choose a new password"), "button": gettext_lazy("Save")}

    def form_valid(self, form: Any) -> HttpResponse:
        accounts.end_all_tokens(form.user)
        messages.success(self.request, gettext("Password changed: sign in with it"))
        return super().form_valid(form)
