"""What is told of a person's record."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from golfstats.ground.operations import Asker, Query
from players.plans.playing import refuse_pictures_while_asker_plays
from players.record import services
from players.record.models import ExportState, RecordExport

FILE = "/api/v1/me/record/file"


@dataclass(frozen=True, kw_only=True)
class Export:
    """The file with everything that the club keeps of you."""

    state: ExportState
    """How far the worker is."""
    reason: str
    """Why it failed."""
    asked_at: dt.datetime
    finished_at: dt.datetime | None
    size: int
    """Bytes of the file."""
    kept_until: dt.datetime | None
    """It is taken away then; ask again for another."""
    address: str | None
    """Where it is, once it is done."""


def export_of(row: RecordExport) -> Export:
    finished = row.finished_at if row.state == ExportState.DONE else None
    return Export(
        state=ExportState(row.state),
        reason=row.reason,
        asked_at=row.asked_at,
        finished_at=row.finished_at,
        size=row.size,
        kept_until=None if finished is None else finished + services.KEPT,
        address=None if finished is None else FILE,
    )


def own_file(asker: Asker) -> bytes:
    """Not while they play a round that counts: it holds the pictures of their plans."""
    refuse_pictures_while_asker_plays(asker)
    return services.file_of(asker.member)


def own_export(asker: Asker, _: Query) -> Export | None:
    """The latest that the member asked for, if any."""
    row = services.export_of(asker.member)
    return None if row is None else export_of(row)
