"""What a service refuses: one shape for every door, naming each fault and its place.

Nothing here knows of HTTP. A door says a refusal in its own way: REST as problem details (RFC 9457),
GraphQL as an error with extensions, a page as words beside the field.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum

from golfstats.sentences import Sentence, as_kept, counted


class Refusal(Enum):
    """Why something is refused."""

    UNCLEAR = "it cannot be read, or names nothing that is there"
    NOT_SIGNED_IN = "nobody is signed in"
    NOT_ALLOWED = "this member may not do it"
    NOT_FOUND = "it does not exist, or not for this person"
    GONE = "it was there and has been deleted"
    CONFLICT = "it does not go with what is there already"
    CHANGED = "it was changed since it was read"
    UNCONDITIONAL = "a change has to say which version it is meant for"
    TOO_LARGE = "it is larger than is taken"
    UNSUPPORTED = "it comes in a form that is not taken"
    INVALID = "it has faults, each with its place"
    TOO_OFTEN = "it was asked too often"
    UNAVAILABLE = "a part of the service is down; ask again"
    OURS = "something went wrong here"


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong. ``pointer`` is a JSON pointer (RFC 6901) into the request body."""

    pointer: str
    code: str
    """Name for programs."""
    detail: str
    """What is wrong, in words."""
    hole: int | None = None
    shot: int | None = None
    line: int | None = None
    """Number of the line in the text or file; null where it is not about one."""
    column: int | None = None

    def as_dict(self) -> dict[str, object]:
        places = {"hole": self.hole, "shot": self.shot, "line": self.line, "column": self.column}
        known = {name: value for name, value in places.items() if value is not None}
        return {"pointer": self.pointer, "code": self.code, "detail": self.detail, **known}

    def as_kept(self) -> dict[str, object]:
        """To store: with the sentence in parts, so that it is told again in any language."""
        return {**self.as_dict(), "sentence": as_kept(self.detail)}


@dataclass(eq=False)
class ProblemError(Exception):
    """Raise to refuse. ``kind`` is a stable name for programs (the last part of a problem's type)."""

    kind: str
    title: str
    because: Refusal = Refusal.UNCLEAR
    detail: str = ""
    faults: Sequence[Fault] = ()
    headers: Mapping[str, str] = field(default_factory=dict)
    """Of an HTTP answer; other doors leave them out."""
    extra: Mapping[str, object] = field(default_factory=dict)


NOT_VALID = Sentence("The request is not valid")


def invalid(faults: Iterable[Fault], title: str = NOT_VALID) -> ProblemError:
    """Refused with every fault found."""
    every = list(faults)
    detail = Sentence("{every}; see errors.", every=counted(len(every), "fault"))
    return ProblemError("invalid-request", title, Refusal.INVALID, detail, every)


def not_found(what: str = "Nothing") -> ProblemError:
    """It does not exist, or not for this person."""
    return ProblemError("not-found", Sentence("{what} found here", what=what), Refusal.NOT_FOUND)
