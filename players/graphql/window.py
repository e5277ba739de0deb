"""Which rounds a question is about, checked as REST checks its query strings."""

from __future__ import annotations

import datetime as dt
from typing import Any

import strawberry

from golfstats.api import bodies
from golfstats.graphql.inputs import given_fields
from players.api.query_string import QueryT, WindowQuery


@strawberry.input(description="The last so many rounds (20 if nothing is said), or those between two days.")
class Window:
    last: int | None = strawberry.UNSET
    since: dt.date | None = strawberry.field(name="from", default=strawberry.UNSET)
    until: dt.date | None = strawberry.field(name="to", default=strawberry.UNSET)
    benchmark: str | None = strawberry.UNSET


def window_query(window: Window | None) -> WindowQuery:
    return asked(WindowQuery, window)


def asked(model: type[QueryT], window: Window | None = None, **given: Any) -> QueryT:
    """REST's query string with this window and these other parameters; what is None is left out."""
    names = {"since": "from", "until": "to"}
    of_window = {} if window is None else given_fields(window)
    others = {name: value for name, value in given.items() if value is not None}
    return bodies.checked(model, {names.get(name, name): value for name, value in of_window.items()} | others)
