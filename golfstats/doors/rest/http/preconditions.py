"""For which state of a row a change is meant: its version where rows have one, else what a read of it answers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from golfstats.doors.rest.http.versions import check_if_match, check_tag, digest
from golfstats.doors.rest.renderers import JSONRenderer
from golfstats.ground.faults import ProblemError
from golfstats.ground.operations import Asker, Change, Gathering, Operation, Reading

ByPath = Mapping[str, Mapping[str, Operation]]
Telling = Reading | Gathering


def telling(path: str, by_path: ByPath) -> Telling | None:
    """The read that tells what a change at this address changes: at the same one, or at the one above it."""
    for place in (path, path.rpartition("/")[0]):
        read = by_path.get(place, {}).get("GET")
        if isinstance(read, Reading | Gathering) and _about_the_same(read, by_path[path].values()):
            return read
    return None


def _about_the_same(read: Operation, changes: Iterable[Operation]) -> bool:
    """Not of what a read above leaves untold, as a guardian is of a player."""
    models = {None if one.about is None else one.about.model for one in changes}
    heads = {None if one.about is None else one.about.head for one in changes}
    own = (None, None) if read.about is None else (read.about.model, read.about.head)
    return models == {own[0]} and heads == {own[1]}


def takes_if_match(operation: Change, by_path: ByPath) -> bool:
    """Whether one may say for which state the change is meant."""
    has_reading = operation.verb != "POST" and telling(operation.path, by_path) is not None
    return has_reading or operation.version is not None


def stale(
    given: str | None,
    operation: Change,
    rows: list[Any],
    read: Telling | None,
    asker: Asker,
    places: Mapping[str, object],
) -> ProblemError | None:
    """Why the change is not meant for the row as it is; None if it is. ``given`` is in the words of If-Match."""
    word = "answer" if operation.about is None else operation.about.word
    try:
        if operation.version is not None and rows:
            check_if_match(given, operation.version(rows[0]), word, needed=operation.version_needed)
        elif operation.version is None and read is not None and operation.verb != "POST":
            check_tag(given, lambda: _tag_held(read, asker, places), word)
    except ProblemError as error:
        return error
    return None


def present_tag(operation: Change, read: Telling | None, asker: Asker, places: Mapping[str, object]) -> str:
    """The tag to name for what the change is about as it is now; refused to whom the read would be."""
    if operation.version is not None and operation.about is not None:
        return str(operation.version(operation.about.one(asker, places)))
    assert read is not None  # noqa: S101 - it takes a tag, and has no version
    if read.roles:
        asker.needs(*read.roles)
    return tag_of(read, asker, places)


def _tag_held(read: Telling, asker: Asker, places: Mapping[str, object]) -> str:
    """Likewise before a change. Whatever was loaded before is loaded again."""
    asker.forget()
    if read.about is None:
        asker.hold_club()
    return tag_of(read, asker, places)


def tag_of(read: Telling, asker: Asker, places: Mapping[str, object]) -> str:
    """The tag that the read has now, asked without parameters."""
    rows = [] if read.about is None else [read.about.one(asker, places)]
    ask = read.read if isinstance(read, Reading) else read.gather
    answers = ask(asker, *([rows] if rows else []), read.parameters())
    answer = answers[0] if rows else answers
    shown = answer if isinstance(read, Reading) else {"results": list(answer)}
    version = getattr(read, "version", None)
    tag = digest(JSONRenderer().render(shown))
    return tag if version is None else f"{version(rows[0])}.{tag}"
