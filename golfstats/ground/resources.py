"""The usual operations of rows, declared together: listed, read, added, changed and deleted at one address."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet
from pydantic import BaseModel

from golfstats.ground.clubs.models import Role
from golfstats.ground.events import Event
from golfstats.ground.operations import AnyRow, Asker, Change, Listing, Operation, Query, Reading, Subject


def reading_of(subject: Subject[Any], **operation: Any) -> Reading:
    """The reading that tells of one row what lists tell of it."""
    own: dict[str, Any] = {"about": subject, "answer": subject.head, "tells": subject.tells}
    return Reading(read=lambda asker, rows, _: subject.heads(asker, rows), **{**operation, **own})


@dataclass(frozen=True)
class Writes:
    """One way in which a :func:`resource` is written."""

    summary: str
    do: Callable[..., Any]
    body: type[BaseModel] | None = None
    description: str = ""
    sends: tuple[Event, ...] = ()
    """What programs are told once it is done."""


def resource(
    subject: Subject[Any],
    *,
    path: str,
    plural: str,
    order: tuple[str, ...],
    lists: str,
    reads: str = "",
    add: Writes | None = None,
    change: Writes | None = None,
    delete: Writes | None = None,
    roles: tuple[Role, ...] = (),
    readers: tuple[Role, ...] = (),
    query: type[Query] = Query,
    rows: Callable[[Asker], QuerySet[Any]] | None = None,
    about: Subject[Any] | None = None,
    parent: str = "",
    present: Callable[[AnyRow], Mapping[str, Any]] | None = None,
    version: Callable[[AnyRow], int] | None = None,
    one: str = "",
) -> list[Operation]:
    """The operations of rows that are listed, read and written at one address.

    ``roles`` may write, ``readers`` may read (nobody named is every member). ``one`` is the address of a
    single row, below the list's unless given.
    """
    word, words = subject.word.replace(" ", "_"), plural.replace(" ", "_")
    names: dict[str, Any] = {"name": words.replace("_", "-"), "path": path}
    single: dict[str, Any] = {
        "name": word.replace("_", "-"),
        "path": one or f"{path}/<uuid:{subject.parameter}>",
        "about": subject,
    }
    listed: dict[str, Any] = {"about": about, "parent": parent}
    operations: list[Operation] = [
        Listing(
            **names,
            **listed,
            id=f"list_{words}",
            field=words,
            summary=lists,
            roles=readers,
            query=query,
            rows=rows or subject.visible,
            of=subject,
            order=order,
        )
    ]
    if reads:
        operations.append(
            reading_of(subject, **single, id=f"read_{word}", summary=reads, roles=readers, version=version)
        )

    def written(how: str, verb: str, writes: Writes, **more: Any) -> Change:
        named = f"{how}_{word}"
        return Change(id=named, field=named, verb=verb, roles=roles, **more, **vars(writes))

    if add is not None:
        operations.append(written("add", "POST", add, **names, about=about, of=subject))
    if change is not None:
        operations.append(
            written("change", "PATCH", change, **single, of=subject, present=present, version=version)
        )
    if delete is not None:
        operations.append(written("delete", "DELETE", delete, **single, version=version))
    return operations
