"""What a page of ours may load: only what this service itself serves."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils.cache import patch_vary_headers

_OURS = (
    "default-src 'self'; script-src 'self'; style-src {styles}; img-src 'self' data:; object-src 'none'; "
    "base-uri 'self'; form-action 'self'; frame-ancestors 'none'"
)
PAGES = _OURS.format(styles="'self'")
API = _OURS.format(styles="'self' 'unsafe-inline'")
"""The packaged API reference writes its styles into the page. Scripts are files there as well."""


class AnswerHeaders:
    """With every answer: no script in a page, nothing from another host, and nothing kept by a cache on the way.

    Answers are somebody's own golf; what is the same for everybody says so itself.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        policy = API if request.path.startswith("/api/") else PAGES
        response.headers.setdefault("Content-Security-Policy", policy)
        if "Cache-Control" not in response.headers:
            is_read = request.method == "GET" and request.path.startswith("/api/")
            # A program may keep what it read, and asks each time whether it still holds.
            response.headers["Cache-Control"] = "private, no-cache" if is_read else "private, no-store"
            patch_vary_headers(response, ["Authorization", "Cookie", "Club"])
        return response
