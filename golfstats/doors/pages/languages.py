"""In which language a page speaks: the person's own, else the one chosen in this browser, else the first it asks for.

Pages speak every language of ``settings.LANGUAGES``; programs are answered in English whatever they ask for, and go by
codes. Words are Django's: a catalogue a language in ``locale``, whose keys are the English sentences.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.utils import translation
from django.utils.cache import patch_vary_headers
from django.utils.translation import gettext
from django.views.decorators.http import require_POST
from django.views.i18n import set_language

from golfstats.doors.rest.problems import FOR_PROGRAMS
from golfstats.ground.clubs import accounts

Key = TypeVar("Key")

NOT_PAGES = (*FOR_PROGRAMS, "/calendar/", "/.well-known/", "/oauth/token", "/health", "/metrics")
"""What programs ask for. They are answered in English."""


class PageLanguage:
    """Speaks the reader's language while a page is made, and says which it is."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.path.startswith(NOT_PAGES) or len(settings.LANGUAGES) == 1:
            return self.get_response(request)
        language = _of_person(request) or translation.get_language_from_request(request)
        with translation.override(language):
            response = self.get_response(request)
        response.headers.setdefault("Content-Language", language)
        patch_vary_headers(response, ["Accept-Language", "Cookie"])
        return response


def _of_person(request: HttpRequest) -> str:
    """The language that whoever is signed in chose for their account; empty for none, or one no longer spoken."""
    chosen: str = getattr(request.user, "language", "")
    return chosen if chosen in dict(settings.LANGUAGES) else ""


@require_POST
def choose_language(request: HttpRequest) -> HttpResponseBase:
    """The language of this browser and, for somebody signed in, of their account."""
    user = accounts.account(request.user.pk)
    chosen = request.POST.get("language", "")
    if user is not None and chosen in ("", *dict(settings.LANGUAGES)):
        accounts.choose_language(user, chosen)
    response: HttpResponseBase = set_language(request)
    if not chosen:
        response.delete_cookie(settings.LANGUAGE_COOKIE_NAME)
    return response


def translated(choices: Iterable[tuple[Key, str]]) -> list[tuple[Key, str]]:
    """Choices whose words were marked where they are listed, in the reader's language."""
    return [(key, gettext(words)) for key, words in choices]
