"""How far to trust this: what was tried in hostile worlds, and what came true of what this club was told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.doors.pages.base import ClubPage
from golfstats.ground.operations import Query
from golfstats.ground.words import counted
from players.club.trust import TriedClaim, trust
from players.coaching.models import ForecastKind
from players.coaching.reports.ledger import forecast_record

HEADINGS = {
    ForecastKind.GOAL: noop("Goals that are met"),
    ForecastKind.BETTER: noop("Better than three months ago"),
    ForecastKind.SHIFT: noop("A level that jumped"),
    ForecastKind.SCORE: noop("The score of a plan"),
    ForecastKind.NEXT: noop("The next round"),
    ForecastKind.HEALED: noop("Greens that are healed"),
}


@dataclass(frozen=True)
class TriedSubject:
    """The claims about one thing; the page shows them when it is opened."""

    name: str
    claims: Sequence[TriedClaim]

    @property
    def words(self) -> str:
        failing = sum(not one.holds for one in self.claims)
        claims = counted(len(self.claims), "claim")
        return (
            gettext("{words}; {failing} not in every world").format(words=claims, failing=failing)
            if failing
            else gettext("{words}, holding in every world").format(words=claims)
        )


class TrustPage(ClubPage):
    def get(self, request: HttpRequest) -> HttpResponse:
        answer = trust(self.asker, Query())
        record = forecast_record(self.asker, Query())
        by_subject = groupby(answer.claims, key=lambda one: one.subject)
        context = {
            "trust": answer,
            "subjects": [TriedSubject(name, list(claims)) for name, claims in by_subject],
            "record": record,
            "kinds": [
                (gettext(HEADINGS[one.kind]), one) for one in record.results if one.judged or one.waiting
            ],
        }
        return self.page("trust", context)
