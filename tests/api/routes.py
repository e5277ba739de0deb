"""Every route of the service, found in the URL configuration, and what its path and query name."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from django.db import models
from django.urls import URLPattern, URLResolver, get_resolver
from rest_framework.views import APIView

from courses.calendars.models import CalendarFeed, Event
from courses.greens.models import GreenReading, GreenWork
from courses.layout.models import Course, PlayingConditions, TeeSet
from golfstats.ground.clubs.models import AccessToken, Club, Invitation, Member
from golfstats.ground.webhooks.models import Delivery, Destination
from players.coaching.models import Goal, PracticeNote
from players.files.models import Import
from players.handicap.models import CommitteeAction
from players.months.models import MonthReport
from players.people.models import Player, Squad
from players.plans.models import RoundPlan
from players.rounds.models import BagWord, Round, RoundInPlay

# Which row an id in a path is of.
ROWS: dict[str, type[models.Model]] = {
    "action_id": CommitteeAction,
    "club_id": Club,
    "course_id": Course,
    "day_id": PlayingConditions,
    "delivery_id": Delivery,
    "destination_id": Destination,
    "event_id": Event,
    "feed_id": CalendarFeed,
    "goal_id": Goal,
    "import_id": Import,
    "invitation_id": Invitation,
    "member_id": Member,
    "note_id": PracticeNote,
    "plan_id": RoundPlan,
    "report_id": MonthReport,
    "play_id": RoundInPlay,
    "player_id": Player,
    "reading_id": GreenReading,
    "round_id": Round,
    "squad_id": Squad,
    "tee_id": TeeSet,
    "token_id": AccessToken,
    "word_id": BagWord,
    "work_id": GreenWork,
}
# Describes the operations of GraphQL, and is none.
DESCRIPTIONS = {"graphql-schema"}
# Parts of a path that name no row of a club.
WORDS = {"key": "gained.total", "name": "parts", "picture": "season"}
# Query parameters that hold an id, where the API document does not say so by the format "uuid".
ROWS_OF_PARAMETERS = {
    "course": Course,
    "destination": Destination,
    "player": Player,
    "players": Player,
    "tee": TeeSet,
}


@dataclass(frozen=True)
class Route:
    """One path of the URL configuration."""

    name: str
    path: str
    view: Any
    methods: tuple[str, ...]

    @property
    def parameters(self) -> list[str]:
        return re.findall(r"<(?:\w+:)?(\w+)>", self.path)

    @property
    def is_rest(self) -> bool:
        is_view = isinstance(self.view, type) and issubclass(self.view, APIView)
        return is_view and self.name not in DESCRIPTIONS

    def row_of(self, parameter: str) -> type[models.Model]:
        """The model whose key this parameter is; ``KeyError`` for one that nobody has told of."""
        return ROWS[parameter]

    def address(self, values: dict[str, Any]) -> str:
        return "/" + re.sub(r"<(?:\w+:)?(\w+)>", lambda found: str(values[found[1]]), self.path)

    def openapi_path(self) -> str:
        return "/" + re.sub(r"<(?:\w+:)?(\w+)>", r"{\1}", self.path)


@cache
def all_routes() -> tuple[Route, ...]:
    return tuple(sorted(_walk(get_resolver().url_patterns, ""), key=lambda route: (route.path, route.name)))


def _walk(patterns: list[URLPattern | URLResolver], prefix: str) -> Iterator[Route]:
    for pattern in patterns:
        path = prefix + str(pattern.pattern)
        if isinstance(pattern, URLResolver):
            yield from _walk(pattern.url_patterns, path)
            continue
        view = getattr(pattern.callback, "cls", None) or getattr(pattern.callback, "view_class", None)
        yield Route(pattern.name or path, path, view or pattern.callback, _methods(view))


def _methods(view: Any) -> tuple[str, ...]:
    if view is None:  # a function: it decides by itself
        return ("GET", "POST")
    names = [name for name in view.http_method_names if name not in ("head", "options", "trace")]
    return tuple(name.upper() for name in names if hasattr(view, name))


def operations() -> dict[str, tuple[Route, str]]:
    """Every method of every route of the API, REST and GraphQL, and of calendars."""
    routes = [route for route in all_routes() if route.is_rest or route.path.startswith("calendar/")]
    return {f"{method} {route.name}": (route, method) for route in routes for method in route.methods}


def pages() -> dict[str, Route]:
    """Every page, which is every route that is no operation."""
    others = {route for route, _ in operations().values()}
    return {route.name: route for route in all_routes() if route not in others}
