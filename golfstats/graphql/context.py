"""What a resolver knows of the request."""

from __future__ import annotations

from dataclasses import dataclass

import strawberry

from golfstats.clubs.models import Club, Member


@dataclass
class Context:
    """Who asks, in which club; the club's scope is entered."""

    member: Member
    club: Club
    changes_something: bool = False
    """The operation is a mutation; known once it is executed."""


Info = strawberry.Info[Context, None]
