"""Where a person lets a program of others in, and where that program fetches its token."""

from __future__ import annotations

from typing import Any

from authlib.oauth2 import OAuth2Error
from authlib.oauth2.rfc6749 import InvalidRequestError
from django.contrib.auth.mixins import LoginRequiredMixin
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.decorators import method_decorator
from django.utils.translation import gettext
from django.views import View
from django.views.decorators.csrf import csrf_exempt

from golfstats.doors.pages.programs import SCOPES, TOKEN_DAYS, scope_of, server
from golfstats.doors.pages.screens.own.account import SCOPES as WORDS
from golfstats.doors.pages.security import PAGES


class LetIn(LoginRequiredMixin, View):
    """The question, and the answer that takes the browser back to the program."""

    def get(self, request: HttpRequest) -> HttpResponse:
        return self._asked(request)

    def post(self, request: HttpRequest) -> HttpResponse:
        try:
            grant = _grant(request)
        except OAuth2Error as error:
            return _refused(request, error)
        person = request.user if "yes" in request.POST else None
        answer: HttpResponse = server.create_authorization_response(request, grant_user=person, grant=grant)
        return answer

    def _asked(self, request: HttpRequest) -> HttpResponse:
        try:
            grant = _grant(request)
        except OAuth2Error as error:
            return _refused(request, error)
        may = dict(WORDS)[scope_of(grant.request.scope).value]
        context = {"program": grant.client, "may": may, "days": TOKEN_DAYS}
        response = render(request, "web/let_in.html", context)
        # A browser holds the way back, to which the form's answer leads, to the same rule as the form itself.
        policy = PAGES.replace("form-action 'self'", f"form-action 'self' {grant.client.site}")
        response.headers["Content-Security-Policy"] = policy
        return response


@method_decorator(
    csrf_exempt, name="dispatch"
)  # nobody is signed in here: the code and its verifier say who asks
class FetchToken(View):
    def post(self, request: HttpRequest) -> HttpResponse:
        answer: HttpResponse = server.create_token_response(request)
        return answer


class AboutLettingIn(View):
    """Where everything is (RFC 8414)."""

    def get(self, request: HttpRequest) -> HttpResponse:
        return JsonResponse(
            {
                "issuer": request.build_absolute_uri("/").rstrip("/"),
                "authorization_endpoint": request.build_absolute_uri(reverse("let-in")),
                "token_endpoint": request.build_absolute_uri(reverse("fetch-token")),
                "scopes_supported": [one.value for one in SCOPES],
                "response_types_supported": ["code"],
                "grant_types_supported": ["authorization_code"],
                "token_endpoint_auth_methods_supported": ["none"],
                "code_challenge_methods_supported": ["S256"],
            }
        )


def _grant(request: HttpRequest) -> Any:
    try:
        return server.get_consent_grant(request, end_user=request.user)
    except ValueError:
        # Authlib repeats what was sent, in words that may not hold every letter (RFC 6749, 4.1.2.1).
        raise InvalidRequestError(gettext("Something in this address is not right")) from None


def _refused(request: HttpRequest, error: OAuth2Error) -> HttpResponse:
    """Said here and not at the program's address: nothing tells yet that it is the program's."""
    words = error.description or error.error
    return render(request, "web/let_in.html", {"refused": words}, status=400)
