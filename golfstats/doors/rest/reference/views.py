"""The description of the API: for programs, and as pages to read and try."""

from __future__ import annotations

from functools import cache

import orjson
from django.http import HttpResponse
from django.shortcuts import render
from rest_framework.permissions import AllowAny
from rest_framework.request import Request
from rest_framework.views import APIView

from golfstats.doors.operations import OPERATIONS
from golfstats.doors.rest.http.sent import JSON
from golfstats.doors.rest.parameters import query_of
from golfstats.doors.rest.reference.openapi import document
from golfstats.doors.rest.reference.page import described
from golfstats.ground.operations import Query

LINKSET = "application/linkset+json"


class Description(APIView):
    """The document, in JSON."""

    permission_classes = [AllowAny]

    def get(self, request: Request) -> HttpResponse:
        query_of(Query, request, {})
        headers = {"Cache-Control": "public, max-age=3600"}
        return HttpResponse(_written(), content_type=JSON, headers=headers)


class Reference(APIView):
    """The same to read: our own page, since the usual viewers fail people who cannot see or have no mouse."""

    permission_classes = [AllowAny]

    def get(self, request: Request) -> HttpResponse:
        site = request.build_absolute_uri("/").rstrip("/")
        return render(request._request, "web/reference.html", {"described": described(), "site": site})


class Index(APIView):
    """What there is, as links (RFC 9727, RFC 9264): where a program starts that knows the host alone."""

    permission_classes = [AllowAny]

    def get(self, request: Request) -> HttpResponse:
        query_of(Query, request, {})
        media_type = f'{LINKSET}; profile="https://www.rfc-editor.org/info/rfc9727"'
        headers = {"Cache-Control": "public, max-age=3600"}
        links = orjson.dumps(_links(request.build_absolute_uri("/")))
        return HttpResponse(links, content_type=media_type, headers=headers)


def _links(site: str) -> dict[str, object]:
    api = f"{site}api/v1"
    items = [
        {"href": f"{api}/{one.path}", "title": one.summary}
        for one in OPERATIONS
        if one.path and one.method == "GET" and "<" not in one.path
    ]
    described = {
        "anchor": api,
        "service-desc": [{"href": f"{api}/openapi", "type": JSON}],
        "service-doc": [{"href": f"{api}/reference", "type": "text/html"}],
        "status": [{"href": f"{site}health/ready", "type": JSON}],
        "help": [{"href": f"{site}problems", "type": "text/html", "title": "What each refusal means"}],
        "item": [*items, {"href": f"{site}graphql", "title": "The same by GraphQL"}],
    }
    return {"linkset": [described]}


@cache
def _written() -> bytes:
    return orjson.dumps(document())
