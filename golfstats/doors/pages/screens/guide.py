"""The developers' guide. Its pieces of Python are one script, which a test takes from the page and runs."""

from __future__ import annotations

import json
from dataclasses import dataclass

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views import View

from golfstats.doors.pages.programs import TOKEN_DAYS
from golfstats.doors.rest.http.throttles import rate
from golfstats.doors.rest.reference.examples import examples, message_name
from golfstats.ground.events import EVENTS, Event, Happening
from golfstats.ground.webhooks.services import MOST_OF_ONES_OWN


@dataclass(frozen=True)
class ToldEvent:
    """A line of the guide's table."""

    name: str
    when: str
    data: str
    """Name of the component in the API document."""
    own: bool
    example: str
    """A message's JSON."""


def events() -> list[ToldEvent]:
    return [_event_shown(EVENTS[one]) for one in Happening]


def _event_shown(event: Event) -> ToldEvent:
    name = event.happening.value
    example = json.dumps(examples().get(message_name(name), {}).get("body"))
    return ToldEvent(name, event.meaning, event.message.__name__, event.own, example)


class Guide(View):
    def get(self, request: HttpRequest) -> HttpResponse:
        requests, seconds = rate()
        context = {
            "site": request.build_absolute_uri("/").rstrip("/"),
            "requests": requests,
            "seconds": seconds,
            "graphql": settings.GRAPHQL,
            "events": events(),
            "own_addresses": MOST_OF_ONES_OWN,
            "token_days": TOKEN_DAYS,
            "round_kilobytes": settings.ROUND_BODY_LIMIT // 1024,
        }
        return render(request, "web/guide.html", context)
