from __future__ import annotations

from typing import TYPE_CHECKING

from rest_framework.request import Request
from rest_framework.throttling import SimpleRateThrottle, UserRateThrottle

if TYPE_CHECKING:  # Django REST framework's views import this module
    from rest_framework.views import APIView


class PersonThrottle(UserRateThrottle):
    """A person's requests a minute, over all their tokens (setting ``THROTTLE``)."""

    scope = "person"


class SignInThrottle(SimpleRateThrottle):
    """Attempts to sign in from one address, right or wrong, before it is known who asks."""

    scope = "sign_in"

    def get_cache_key(self, request: Request, view: APIView) -> str:
        return self.cache_format % {"scope": self.scope, "ident": self.get_ident(request)}
