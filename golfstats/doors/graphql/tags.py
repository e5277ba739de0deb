"""What ``ifMatch`` of a mutation takes, told by GraphQL itself so that nobody has to ask REST for it."""

from __future__ import annotations

import enum
from collections.abc import Mapping
from typing import Any

import strawberry

from golfstats.doors.rest.http.preconditions import ByPath, present_tag, telling
from golfstats.ground.faults import Fault, invalid
from golfstats.ground.operations import Asker, Change

MEANING = (
    "What `ifMatch` of a mutation takes: the tag of what it would change, as it is now. Ask for it in the document "
    "that reads the rest: both are of one moment."
)


class Tags:
    """The mutations that take a tag, by their names, and how each finds the present one."""

    def __init__(self, changes: Mapping[str, Change], by_path: ByPath) -> None:
        self._changes = changes
        self._reads = {name: telling(one.path, by_path) for name, one in changes.items()}

    @property
    def cost(self) -> int:
        """Of the dearest, because a document does not say which it means before it is executed."""
        return max(0 if read is None else read.cost for read in self._reads.values())

    @property
    def names(self) -> object:
        """As an enumeration of GraphQL."""
        make: Any = enum.Enum  # checkers know only names written out
        named = strawberry.enum(make("GuardedChange", {name: name for name in self._changes}))
        definition = named.__strawberry_definition__
        definition.description = "A mutation that takes `ifMatch`."
        for value in definition.values:
            value.description = self._changes[value.name].summary
        return named

    def tell(self, asker: Asker, _: Any, given: Mapping[str, Any]) -> str:
        """The tag as REST writes it; refused to whom the read is refused."""
        name, key = given["of"].value, given["id"]
        change = self._changes[name]
        if change.about is None:
            return f'"{present_tag(change, self._reads[name], asker, {})}"'
        if key is None:
            raise invalid([Fault("/id", "missing", f"which {change.about.word} is meant")])
        return f'"{present_tag(change, self._reads[name], asker, {change.about.parameter: key})}"'
