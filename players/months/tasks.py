"""What the worker does about months on paper."""

from __future__ import annotations

from uuid import UUID

from django.core.mail import EmailMessage
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.ground.mail.letters import MAILS_OF_ROOMS, written_in
from golfstats.ground.mail.services import mail_file
from golfstats.ground.operations import Asker
from golfstats.ground.outbox.work import AGAIN, Queue, handler
from golfstats.ground.words import dates_as, month_of_year
from players.months import services
from players.months.models import MonthReport, ReportState
from players.months.writing import Month, report_of
from players.people.models import Player
from players.people.permissions import squad_places, visible_players

ROOM = "months"


@handler(
    services.MONTH_REPORT,
    on_failure=lambda key, reason: services.mark_failed(UUID(key), reason),
    queue=Queue.LONG,
)
def write_report(key: str) -> str | None:
    """As whoever asked may read it now: they may have left the squad, or a guardian taken a consent back."""
    report = (
        MonthReport.objects.select_related("asked_by__club", "asked_by__user", "player", "squad")
        .filter(id=UUID(key), state=ReportState.PENDING)
        .first()
    )
    if report is None:
        return None
    players = _players(report)
    if not players:
        services.mark_failed(report.id, noop("There is nobody whose golf you may read"))
        return None
    asker = Asker(report.asked_by)
    squad = "" if report.squad is None else report.squad.name
    with written_in(report.asked_by.user.language):
        content = report_of(asker, players, Month(report.month), squad=squad)
    if not services.keep_file(report, content, [player.id for player in players]):
        return AGAIN
    if report.to_be_mailed:
        mail_file(ROOM, report.id)
    return None


def _players(report: MonthReport) -> list[Player]:
    member = report.asked_by
    if report.player is not None:
        return list(visible_players(member).filter(id=report.player.id))
    places = squad_places(member).filter(squad=report.squad).values("player_id")
    return list(visible_players(member).filter(id__in=places).order_by("name", "id"))


def _mails(report_id: UUID) -> list[EmailMessage]:
    """Read when it is sent: what may no longer be downloaded, or is gone, is not mailed either."""
    report = services.made(report_id)
    if report is None or not services.may_still_be_read(report):
        return []
    user = report.asked_by.user
    with written_in(user.language), dates_as(report.asked_by.club.date_style):
        subject = gettext("{month} on paper").format(month=month_of_year(report.month))
        text = gettext("The report that you asked for is attached.")
    mail = EmailMessage(subject, f"{text}\n", to=[user.email])
    mail.attach(f"golf-{report.month:%Y-%m}.pdf", bytes(report.file or b""), "application/pdf")
    return [mail]


MAILS_OF_ROOMS[ROOM] = _mails


@handler(services.FORGET)
def forget_report(key: str) -> None:
    services.forget(UUID(key))
