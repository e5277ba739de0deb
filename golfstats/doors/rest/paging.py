from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from django.core import signing
from django.db.models import Model
from rest_framework import pagination
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.utils.urls import replace_query_param

from golfstats.ground.faults import Fault, invalid
from golfstats.ground.stretches import Stretch


class CursorPagination(pagination.CursorPagination):
    """Pages by cursor, newest first: cheap at any depth, and stable while rows are added.

    A cursor holds the ordering columns of the row that it starts beyond, signed. All columns of ``ordering``
    have the same direction and the last one is unique, so rows with equal first columns are neither
    repeated nor left out, which an offset among them would do once one more is added.
    """

    base_url: str
    page_size = 50
    max_page_size = 200
    page_size_query_param = "page_size"

    def __init__(self, model: type[Model], ordering: Sequence[str], request: Request) -> None:
        self._model, self._ordering = model, tuple(ordering)
        self._signer = signing.Signer(salt=f"{model._meta.label}:{','.join(ordering)}")
        self.request = request
        self.base_url = request.build_absolute_uri()
        self._page: Sequence[Any] = ()

    def get_page_size(self, request: Request) -> int:
        """The size asked for; a 422 problem if it is none."""
        given = request.query_params.get(self.page_size_query_param)
        if given is None:
            return self.page_size
        if not (given.isascii() and given.isdigit() and 1 <= int(given[:9]) <= self.max_page_size):
            fault = Fault("/page_size", "invalid", f"a number from 1 to {self.max_page_size}")
            raise invalid([fault], "The query string is not valid")
        return int(given)

    def find(self, rows: Callable[[Stretch], list[Any]]) -> Sequence[Any]:
        """What the request asks for, of the list whose stretches ``rows`` gives."""
        size = self.get_page_size(self.request)
        cursor = self._cursor(self.request)
        backwards = cursor is not None and cursor[0] == "previous"
        columns = tuple(name.removeprefix("-") for name in self._ordering)
        descending = self._ordering[0].startswith("-") != backwards
        page_and_one = rows(Stretch(columns, descending, cursor and tuple(cursor[1]), size + 1))
        more = len(page_and_one) > size
        page = page_and_one[:size]
        if backwards:
            page.reverse()
        self._page = page
        self.has_next = more or backwards
        self.has_previous = more if backwards else cursor is not None
        return page

    def get_paginated_response(self, data: Any) -> Response:
        """With the neighbouring pages in the header ``Link`` as well (RFC 8288)."""
        following, previous = self.get_next_link(), self.get_previous_link()
        response = Response({"next": following, "previous": previous, "results": data})
        pages = {"next": following, "prev": previous}
        links = [f'<{address}>; rel="{name}"' for name, address in pages.items() if address]
        if links:
            response.headers["Link"] = ", ".join(links)
        return response

    def get_next_link(self) -> str | None:
        return self._link("next", -1) if self.has_next and self._page else None

    def get_previous_link(self) -> str | None:
        return self._link("previous", 0) if self.has_previous and self._page else None

    def _cursor(self, request: Request) -> tuple[str, list[str]] | None:
        given = request.query_params.get(self.cursor_query_param)
        if given is None:
            return None
        try:
            direction, values = self._signer.unsign_object(given)
        except signing.BadSignature:
            fault = Fault("/cursor", "invalid", "take cursors from next and previous of this very list")
            raise invalid([fault], "The query string is not valid") from None
        return direction, values

    def _link(self, direction: str, index: int) -> str:
        row = self._page[index]
        fields = {field.name: field for field in self._model._meta.concrete_fields}
        values = [fields[name.removeprefix("-")].value_to_string(row) for name in self._ordering]
        cursor = self._signer.sign_object((direction, values))
        return replace_query_param(self.base_url, self.cursor_query_param, cursor)
