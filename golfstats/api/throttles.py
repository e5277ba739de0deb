from __future__ import annotations

from rest_framework.throttling import UserRateThrottle


class PersonThrottle(UserRateThrottle):
    """A person's requests a minute, over all their tokens (setting ``THROTTLE``)."""

    scope = "person"
