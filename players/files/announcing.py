"""What programs are told of imports."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated
from uuid import UUID

from pydantic import Field

from golfstats.ground.events import Event, Happening, Hearers
from players.files.models import Import, ImportState


@dataclass(frozen=True)
class ImportMessage:
    """An import of rounds that has ended."""

    import_: Annotated[UUID, Field(serialization_alias="import", description="Id of the import.")]
    state: ImportState
    """Whether its rounds are in."""
    added: int
    """Rounds that are new."""


def _ended(row: Import) -> ImportMessage:
    return ImportMessage(row.id, ImportState(row.state), row.added)


def _whoever_began_it(row: Import) -> Hearers:
    return Hearers(member=row.started_by_id)


IMPORT_ENDED = Event(
    Happening.IMPORT_ENDED,
    of=Import,
    message=ImportMessage,
    says=_ended,
    hearers=_whoever_began_it,
    own=True,
)
