"""Query-string filters: an unknown or unreadable parameter is refused, never ignored."""

from __future__ import annotations

from typing import Any, TypeVar

import django_filters
from django.db.models import Model, QuerySet
from rest_framework.request import Request

from golfstats.api.problems import Fault, invalid

ModelT = TypeVar("ModelT", bound=Model)

PAGING = frozenset({"cursor", "page_size", "format"})


def refuse_unknown(request: Request, known: frozenset[str] = frozenset()) -> None:
    """For a list without filters: a 422 problem for any parameter but these and ``format``."""
    names = ", ".join(sorted(known)) or "none"
    unknown = sorted(set(request.query_params) - known - {"format"})
    if unknown:
        faults = [Fault(f"/{name}", "unknown_parameter", f"known are: {names}") for name in unknown]
        raise invalid(faults, "The query string is not valid")


def checked_filter(
    filter_set: type[django_filters.FilterSet], request: Request, rows: QuerySet[ModelT]
) -> QuerySet[ModelT]:
    """Rows that pass the request's filters; a 422 problem for a parameter that cannot be applied."""
    return filtered(filter_set, dict(request.query_params.items()), rows)


def filtered(
    filter_set: type[django_filters.FilterSet], query: dict[str, Any], rows: QuerySet[ModelT]
) -> QuerySet[ModelT]:
    """Rows that pass filters with these values; problems as for a query string."""
    unknown = set(query) - set(filter_set.base_filters) - PAGING
    known = ", ".join(sorted(filter_set.base_filters))
    faults = [Fault(f"/{name}", "unknown_parameter", f"known are: {known}") for name in sorted(unknown)]
    applied = filter_set(query, queryset=rows)
    if not applied.is_valid():
        for name, errors in applied.errors.items():
            faults += [Fault(f"/{name}", "invalid", str(error)) for error in errors]
    if faults:
        raise invalid(faults, "The query string is not valid")
    return applied.qs  # type: ignore[no-any-return]  # django-filter has no types
