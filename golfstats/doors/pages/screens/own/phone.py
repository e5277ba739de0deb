"""What makes a phone treat the service as an app: manifest, worker, and the state of a session."""

from __future__ import annotations

import hashlib
import json
from functools import cache
from pathlib import Path

from django.contrib.staticfiles import finders
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.templatetags.static import static
from django.urls import reverse

FILES = (
    "web/style.css",
    "web/icon.svg",
    "web/register.js",
    "web/words.js",
    "web/entry/entry.js",
    "web/entry/greens.js",
    "web/entry/guesses.js",
    "web/entry/notation.js",
    "web/entry/pad.js",
    "web/entry/playing.js",
    "web/entry/drafts.js",
    "web/entry/saying.js",
    "web/entry/sending.js",
    "web/entry/spoken.js",
    "web/entry/spoken_words.js",
)
"""What the pages need on which golf is entered."""


def manifest(_: HttpRequest) -> HttpResponse:
    icon = {
        "src": static("web/icon.svg"),
        "sizes": "any",
        "type": "image/svg+xml",
        "purpose": "any maskable",
    }
    document = {
        "name": "golfstats",
        "short_name": "golfstats",
        "start_url": reverse("front-page"),
        "scope": "/",
        "display": "standalone",
        "background_color": "#f6f5f0",
        "theme_color": "#1d5f7a",
        "icons": [icon],
    }
    return JsonResponse(document, content_type="application/manifest+json")


@cache
def _worker() -> str:
    """The worker with the files it keeps; its name changes when any of them does."""
    paths = [Path(str(finders.find(name))) for name in FILES]
    text = Path(str(finders.find("web/worker.js"))).read_text(encoding="utf-8")
    digest = hashlib.sha256(b"".join([text.encode(), *(path.read_bytes() for path in paths)])).hexdigest()[
        :12
    ]
    addresses = json.dumps([static(name) for name in FILES])
    return text.replace("golfstats-VERSION", f"golfstats-{digest}").replace('["FILES"]', addresses)


def worker(_: HttpRequest) -> HttpResponse:
    return HttpResponse(
        _worker(),
        content_type="text/javascript; charset=utf-8",
        headers={"Service-Worker-Allowed": "/", "Cache-Control": "no-cache"},
    )


def session(request: HttpRequest) -> HttpResponse:
    """Whether somebody is signed in, and the token that a form needs now: a page may be older than its session."""
    signed_in = request.user.is_authenticated
    return JsonResponse(
        {"signed_in": signed_in, "token": get_token(request)}, headers={"Cache-Control": "no-store"}
    )
