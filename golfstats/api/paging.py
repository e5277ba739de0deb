from __future__ import annotations

from rest_framework import pagination


class CursorPagination(pagination.CursorPagination):
    """Pages by cursor, newest first: cheap at any depth, and stable while rows are added."""

    page_size = 50
    max_page_size = 200
    page_size_query_param = "page_size"
    ordering = "-id"
