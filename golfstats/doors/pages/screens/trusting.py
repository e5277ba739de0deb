"""How far to trust this: what was tried in hostile worlds, and what came true of what this club was told."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse

from golfstats.doors.pages.base import ClubPage
from golfstats.ground.operations import Query
from players.club.trust import trust
from players.coaching.ledger import forecast_record


class TrustPage(ClubPage):
    def get(self, request: HttpRequest) -> HttpResponse:
        found = trust(self.asker, Query())
        record = forecast_record(self.asker, Query())
        return self.page("trust", {"trust": found, "record": record})
