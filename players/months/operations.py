"""Asking for a month on paper, and having it."""

from __future__ import annotations

from pydantic import Field

from golfstats.ground.clubs.models import Role
from golfstats.ground.inputs import Body, Day
from golfstats.ground.operations import Asker, Change, Listing, Operation, Subject
from golfstats.ground.resources import reading_of
from players.months import answers, services
from players.months.models import MonthReport
from players.people.models import Player, Squad
from players.people.operations import PLAYER, SQUAD

PDF = "application/pdf"
WHO = (Role.PLAYER, Role.COACH, Role.MANAGER)
ASKERS_OF_SQUADS = (Role.COACH, Role.MANAGER)

MONTH_REPORT = Subject(
    word="report",
    parameter="report_id",
    root="month_report",
    model=MonthReport,
    visible=lambda asker: services.own_reports(asker.member).select_related("player", "squad"),
    head=answers.MonthReport,
    heads=answers.report_heads,
)


class NewReport(Body):
    """Which month, and where it goes."""

    month: Day = Field(description="Any day of it.")
    mail: bool = Field(False, description="Send it to your own address as well.")


def ask(asker: Asker, of: Player | Squad, new: NewReport) -> MonthReport:
    asker.looks_at("analysis", [of.id])  # a squad's key is every player's in it
    return services.ask_for_report(asker.member, of, new.month, asker.today, to_be_mailed=new.mail)


SAID = (
    "A worker writes it: rounds, parts with interval and sample, what changed, the greens taken out, goals, what to "
    "work on, the (unofficial) index. It is kept for a week, for nobody but you."
)

OPERATIONS: list[Operation] = [
    Change(
        name="player-month-reports",
        id="ask_for_player_month",
        path="players/<uuid:player_id>/month-reports",
        field="ask_for_player_month",
        verb="POST",
        summary="Ask for a month of a player on paper",
        description=SAID,
        about=PLAYER,
        roles=WHO,
        body=NewReport,
        do=ask,
        of=MONTH_REPORT,
        status=202,
    ),
    Change(
        name="squad-month-reports",
        id="ask_for_squad_month",
        path="squads/<uuid:squad_id>/month-reports",
        field="ask_for_squad_month",
        verb="POST",
        summary="Ask for a month of a squad on paper: a line a player, then a sheet each",
        description=SAID,
        about=SQUAD,
        roles=ASKERS_OF_SQUADS,
        body=NewReport,
        do=ask,
        of=MONTH_REPORT,
        status=202,
    ),
    Listing(
        name="month-reports",
        id="list_month_reports",
        path="month-reports",
        field="month_reports",
        summary="The reports that you asked for, newest first",
        rows=MONTH_REPORT.visible,
        of=MONTH_REPORT,
        order=("-id",),
    ),
    reading_of(
        MONTH_REPORT,
        name="month-report",
        id="read_month_report",
        path="month-reports/<uuid:report_id>",
        summary="How far a report is",
        description=f"With `Accept: {PDF}` the report itself, once it is done.",
        written={PDF: answers.report_file},
    ),
]
