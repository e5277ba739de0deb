"""The only code that writes reports of a month."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from golfstats.ground.clubs.models import Member
from golfstats.ground.faults import Fault, invalid
from golfstats.ground.outbox import work
from golfstats.sentences import Sentence
from players.months.models import MonthReport, ReportState
from players.people.models import Player, Squad
from players.people.permissions import visible_players

MONTH_REPORT = "month_report"
"""A month on paper; the key is the report's."""
FORGET = "forget_month_report"
KEPT = dt.timedelta(days=7)
OPEN_REPORTS = 5
"""A member's unfinished ones at a time: that of a squad is most of a minute of a worker."""


@transaction.atomic
def ask_for_report(
    member: Member, of: Player | Squad, month: dt.date, today: dt.date, *, to_be_mailed: bool
) -> MonthReport:
    """Have a worker write it. Refused for a month that has not begun, and for mail to nowhere."""
    faults = []
    if month > today:
        faults.append(Fault("/month", "not_begun", Sentence("this month has not begun")))
    if to_be_mailed and not member.user.email:
        faults.append(Fault("/mail", "no_address", Sentence("your account has no address for mail")))
    if MonthReport.objects.filter(asked_by=member, state=ReportState.PENDING).count() >= OPEN_REPORTS:
        faults.append(
            Fault(
                "",
                "too_many",
                Sentence(
                    "{open_reports} are being written already; wait for one of them",
                    open_reports=OPEN_REPORTS,
                ),
            )
        )
    if faults:
        raise invalid(faults, Sentence("No report can be made of this"))
    begun = MonthReport.objects.create(
        asked_by=member,
        player=of if isinstance(of, Player) else None,
        squad=of if isinstance(of, Squad) else None,
        month=month.replace(day=1),
        to_be_mailed=to_be_mailed,
        asked_at=timezone.now(),
    )
    work.ask(MONTH_REPORT, str(begun.id))
    return begun


def own_reports(member: Member) -> QuerySet[MonthReport]:
    """Without the files."""
    return MonthReport.objects.defer("file").filter(asked_by=member)


def made(report_id: UUID) -> MonthReport | None:
    """With its file."""
    rows = MonthReport.objects.select_related("asked_by__club", "asked_by__user")
    return rows.filter(id=report_id, file__isnull=False).first()


def may_still_be_read(report: MonthReport) -> bool:
    """Who left the squad, or whose guardian took a consent back, is in no file that is given out from then on."""
    seen = visible_players(report.asked_by).filter(id__in=report.tells_of).count()
    return seen == len(set(report.tells_of))


def keep_file(report: MonthReport, content: bytes, tells_of: Sequence[UUID]) -> bool:
    """False, and nothing is kept, where somebody in it was erased or is no longer to be read since it was begun."""
    # Held until this is committed: who is being erased then finds the file, and takes it along.
    of = visible_players(report.asked_by).filter(id__in=tells_of).order_by("id")
    if len(of.select_for_update(of=("self",), no_key=True)) < len(set(tells_of)):
        return False
    now = timezone.now()
    MonthReport.objects.filter(id=report.id).update(
        file=content, size=len(content), tells_of=list(tells_of), state=ReportState.DONE, finished_at=now
    )
    work.ask(FORGET, str(report.id), due_at=now + KEPT)
    return True


def mark_failed(report_id: UUID, reason: str) -> None:
    now = timezone.now()
    MonthReport.objects.filter(id=report_id).update(
        state=ReportState.FAILED, reason=reason[:500], finished_at=now
    )
    work.ask(FORGET, str(report_id), due_at=now + KEPT)


def forget(report_id: UUID) -> None:
    MonthReport.objects.filter(id=report_id).delete()


def forget_about(player_id: UUID) -> None:
    """Every file that tells of a player's golf: they are being erased."""
    MonthReport.objects.filter(tells_of__contains=[player_id]).delete()
