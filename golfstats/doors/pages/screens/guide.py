"""The developers' guide. Its pieces of Python are one script, which a test takes from the page and runs."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views import View

from golfstats.doors.rest.throttles import rate
from golfstats.ground.webhooks.models import Happening


class Guide(View):
    def get(self, request: HttpRequest) -> HttpResponse:
        requests, seconds = rate()
        context = {
            "site": request.build_absolute_uri("/").rstrip("/"),
            "requests": requests,
            "seconds": seconds,
            "graphql": settings.GRAPHQL,
            "happenings": ", ".join(Happening.values),
        }
        return render(request, "web/guide.html", context)
