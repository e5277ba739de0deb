"""As what somebody asks, and who asks where no club is meant."""

from __future__ import annotations

import enum
from dataclasses import dataclass
from functools import cached_property

from knox.models import AuthToken

from golfstats.ground.clubs.models import User


class Standing(enum.Enum):
    """As what somebody asks."""

    MEMBER = "a member of the club that the request is about; its scope is entered"
    PERSON = "whoever is signed in; no club is meant"
    SIGNING_IN = "a person who may give name and password with the request"
    ANYBODY = "somebody who need not have a sign-in"


@dataclass(frozen=True)
class Person:
    """Who asks where no club is meant."""

    user_id: int
    """0 for somebody who is not signed in."""
    site: str = ""
    """Address of the service as it was reached: ``https://golf.example/``."""
    token: AuthToken | None = None
    """The one that the request carries."""

    @cached_property
    def user(self) -> User:
        return User.objects.get(pk=self.user_id)
