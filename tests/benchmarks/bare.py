"""The least that Django makes of a request: one view that sends bytes, behind the middleware of a new project."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.http import HttpRequest, HttpResponse
from django.test import override_settings
from django.urls import path

from tests.benchmarks.asking import Client

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
]
"""As Django writes them into a new project: what is found out lazily is never asked for here."""
_bodies: list[bytes] = []


def send(_request: HttpRequest, number: int) -> HttpResponse:
    return HttpResponse(_bodies[number], content_type="application/json")


urlpatterns = [path("<int:number>", send)]


@contextmanager
def bare_client(bodies: list[bytes]) -> Iterator[Client]:
    """Whose ``/0``, ``/1`` and so on answer with these bytes."""
    _bodies[:] = bodies
    with override_settings(ROOT_URLCONF=__name__, MIDDLEWARE=MIDDLEWARE):
        yield Client("of nobody")
