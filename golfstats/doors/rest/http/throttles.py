"""How often one may ask: a person over all their tokens and pages, an address before it is known who asks."""

from __future__ import annotations

import re
import time
from typing import TYPE_CHECKING

from django.conf import settings
from django.http import HttpRequest
from django.utils.translation import gettext_noop as noop
from rest_framework.request import Request
from rest_framework.throttling import BaseThrottle

from golfstats.ground.clubs.sign_in import address_of, counted_as
from golfstats.ground.counts import allowed, room_left

if TYPE_CHECKING:  # Django REST framework's views import this module
    from rest_framework.views import APIView

SECONDS = {"s": 1, "m": 60, "h": 3600, "d": 86400}
noop("Request was throttled.")  # the library's title, to be said in our words
LEFT = "golfstats.requests_left"
"""Where a request keeps how many more may follow it."""
SIGN_INS_A_MINUTE = 30
"""Attempts to sign in from one address, right or wrong."""


def within_rate(request: HttpRequest) -> bool:
    """Count a request of this person, or of this address while nobody is signed in (setting ``THROTTLE``)."""
    limit, seconds = rate()
    user_id = request.user.pk
    who = f"address {counted_as(address_of(request))}" if user_id is None else f"person {user_id}"
    left = room_left(f"request of {who}", limit, seconds)
    request.META[LEFT] = left or 0
    return left is not None


def rate_headers(request: HttpRequest) -> dict[str, str]:
    """How often one may ask, how often still, and when there is room again; nothing where nobody counted.

    In the words of the IETF's draft-ietf-httpapi-ratelimit-headers-10.
    """
    if LEFT not in request.META:
        return {}
    limit, seconds = rate()
    policy, left = f'"requests";q={limit};w={seconds}', f'"requests";r={request.META[LEFT]}'
    return {"RateLimit-Policy": policy, "RateLimit": f"{left};t={int(wait(seconds)) + 1}"}


def rate() -> tuple[int, int]:
    """So many requests in so many seconds."""
    match = re.fullmatch(r"(\d+)/([smhd]).*", settings.THROTTLE)
    if match is None:
        raise ValueError(f"THROTTLE is a number and a time such as 600/min, not {settings.THROTTLE!r}")
    return int(match[1]), SECONDS[match[2]]


def wait(seconds: int) -> float:
    """Seconds until the present window ends: by then room has been made."""
    return seconds - time.time() % seconds


class PersonThrottle(BaseThrottle):
    """For every endpoint."""

    def allow_request(self, request: Request, view: APIView) -> bool:
        del view
        return within_rate(request)

    def wait(self) -> float:
        return wait(rate()[1])


def may_try_to_sign_in(request: HttpRequest) -> bool:
    """Count an attempt from this address. Passwords are guessed before anybody is known."""
    return allowed(f"sign-in from {counted_as(address_of(request))}", SIGN_INS_A_MINUTE, 60)
