"""What a resolver knows of the request."""

from __future__ import annotations

from dataclasses import dataclass

import strawberry

from golfstats.ground.clubs.models import Club, Member
from golfstats.ground.operations import Asker


@dataclass
class Context:
    """Who asks, in which club; the club's scope is entered."""

    member: Member
    club: Club
    asker: Asker
    changes_something: bool = False
    """The operation is a mutation; known once it is executed."""
    cost: int | None = None
    """Of the document; known once it is measured."""


Info = strawberry.Info[Context, None]
