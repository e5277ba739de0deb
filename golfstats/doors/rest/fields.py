"""Lists of which only some fields are wanted: ``?fields=id,name``."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from rest_framework.request import Request
from rest_framework.response import Response

from golfstats.ground.faults import Fault, invalid

FIELDS = "fields"
FIELDS_MEANING = "Names of the fields wanted of each line, with commas between; the others are left out."
PART = "application/vnd.golfstats.part+json"
"""Media type of such a list, so that no program takes its lines for whole ones."""


def field_names(line: type) -> list[str]:
    return [one.name for one in dataclasses.fields(line)]


@dataclass(frozen=True)
class Part:
    """Which fields of each line are wanted; none named is all."""

    names: tuple[str, ...]

    @classmethod
    def of(cls, request: Request, line: type) -> Part:
        """What the query string names; a 422 problem for a field that there is not."""
        given = request.query_params.get(FIELDS)
        if given is None:
            return cls(())
        names, known = tuple(dict.fromkeys(given.split(","))), field_names(line)
        if not set(names) <= set(known):
            fault = Fault(f"/{FIELDS}", "unknown_field", f"known are: {', '.join(known)}")
            raise invalid([fault], "The query string is not valid")
        return cls(names)

    def lines(self, lines: Iterable[Any]) -> list[Any]:
        if not self.names:
            return list(lines)
        return [{name: getattr(line, name) for name in self.names} for line in lines]

    def told(self, response: Response) -> Response:
        """As what the list is: whole, or in part."""
        if self.names:
            response.content_type = PART
        return response
