"""A month on paper: asked for, waited for, and downloaded."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext

from golfstats.doors.pages.base import ClubPage
from golfstats.ground import inputs
from golfstats.ground.operations import Query
from players.months.answers import report_file
from players.months.operations import ASKERS_OF_SQUADS, MONTH_REPORT, PDF, NewReport, ask
from players.people.models import Player, Squad
from players.people.operations import SQUAD

MONTHS = 12
SHOWN = 12


def last_months(today: date) -> list[date]:
    """First days of this month and of those before it, the latest first."""
    months = [today.replace(day=1)]
    while len(months) < MONTHS:
        months.append((months[-1] - timedelta(days=1)).replace(day=1))
    return months


class _OnPaper(ClubPage):
    """What is asked for, and what was."""

    tells = ""

    def show(self, of: Player | Squad) -> HttpResponse:
        rows = list(MONTH_REPORT.visible(self.asker).order_by("-id")[:SHOWN])
        context: dict[str, object] = {
            "of": of,
            "months": last_months(self.today),
            "reports": MONTH_REPORT.heads(self.asker, rows),
            "mail": self.member.user.email,
        }
        return self.page("months", context)

    def ask_for(self, of: Player | Squad) -> None:
        given = {"month": self.request.POST.get("month", ""), "mail": "mail" in self.request.POST}
        ask(self.asker, of, inputs.checked(NewReport, given))
        messages.success(self.request, gettext("The report is being written; it is here in a minute"))


class PlayerOnPaper(_OnPaper):
    def get(self, request: HttpRequest, player_id: UUID) -> HttpResponse:
        return self.show(self.visible_player(player_id))

    def post(self, request: HttpRequest, player_id: UUID) -> HttpResponse:
        self.ask_for(self.visible_player(player_id))
        return redirect(self.address("player-on-paper", player_id))


class SquadOnPaper(_OnPaper):
    def get(self, request: HttpRequest, squad_id: UUID) -> HttpResponse:
        return self.show(self._squad(squad_id))

    def post(self, request: HttpRequest, squad_id: UUID) -> HttpResponse:
        self.ask_for(self._squad(squad_id))
        return redirect(self.address("squad-on-paper", squad_id))

    def _squad(self, squad_id: UUID) -> Squad:
        self.asker.needs(*ASKERS_OF_SQUADS)
        squad: Squad = SQUAD.one(self.asker, {"squad_id": squad_id})
        return squad


class ReportFile(ClubPage):
    def get(self, request: HttpRequest, report_id: UUID) -> HttpResponse:
        report = MONTH_REPORT.visible(self.asker).filter(id=report_id).first()
        if report is None:
            raise Http404
        name = f"golf-{report.month:%Y-%m}.pdf"
        headers = {"Content-Disposition": f'attachment; filename="{name}"'}
        return HttpResponse(report_file(self.asker, report, Query()), content_type=PDF, headers=headers)
