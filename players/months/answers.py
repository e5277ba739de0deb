"""What is told of a report, and its file."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from golfstats.ground.faults import ProblemError, Refusal
from golfstats.ground.operations import Asker, Query
from golfstats.sentences import Sentence
from players.months import models, services
from players.months.models import ReportState
from players.people.answers import Named


@dataclass(frozen=True, kw_only=True)
class MonthReport:
    """A month of a player or a squad on paper: the PDF is the same address with `Accept: application/pdf`."""

    id: UUID
    player: Named | None
    """Whose month it is; null where it is a squad's."""
    squad: Named | None
    """The squad's, where it is one's."""
    month: dt.date
    """Its first day."""
    to_be_mailed: bool
    """Whether it goes to your own address as well."""
    state: ReportState
    """How far the worker is."""
    reason: str
    """Why it failed."""
    asked_at: dt.datetime
    finished_at: dt.datetime | None
    size: int
    """Bytes of the file."""
    kept_until: dt.datetime | None
    """It is taken away then; ask again for another."""


def report_heads(_: Asker, rows: Sequence[models.MonthReport]) -> list[MonthReport]:
    return [_report(row) for row in rows]


def _report(row: models.MonthReport) -> MonthReport:
    finished = row.finished_at
    return MonthReport(
        id=row.id,
        player=None if row.player is None else Named(row.player.id, row.player.name),
        squad=None if row.squad is None else Named(row.squad.id, row.squad.name),
        month=row.month,
        to_be_mailed=row.to_be_mailed,
        state=ReportState(row.state),
        reason=row.reason,
        asked_at=row.asked_at,
        finished_at=finished,
        size=row.size,
        kept_until=None if finished is None else finished + services.KEPT,
    )


def report_file(asker: Asker, report: models.MonthReport, _: Query) -> bytes:
    """The PDF; refused until it is made, and from when somebody in it may no longer be read."""
    if report.file is None:
        raise ProblemError("not-made-yet", Sentence("The report is not made"), Refusal.CONFLICT)
    if not services.may_still_be_read(report):
        title = Sentence("Somebody in this report is no longer yours to read; ask for another")
        raise ProblemError("no-longer-readable", title, Refusal.CONFLICT)
    asker.looks_at("analysis", report.tells_of)
    return bytes(report.file)
