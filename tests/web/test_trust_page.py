"""The page that says how far to trust the others."""

from __future__ import annotations

import datetime as dt

from golfstats.ground.walls.scope import club_scope
from players.coaching.models import Forecast, ForecastKind
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page


def test_claims_sources_and_what_came_true_stand_on_one_page(place: Place) -> None:
    with club_scope(place.club.id):
        Forecast.objects.bulk_create(
            Forecast(
                player=place.player,
                kind=ForecastKind.GOAL,
                subject=str(number),
                said_on=dt.date(2026, 5, 1),
                chance=0.92,
                came_true=number > 2,
                judged_on=dt.date(2026, 6, 1),
            )
            for number in range(30)
        )
    text = Page.of(signed_in(place.player_member).get(f"/clubs/{place.club.slug}/trust").content).text
    assert "When we said 92%, it was so 90% of 30 times." in text
    assert "Cost on days 0 to 3" in text
    assert "Tried in " in text
    assert "from memory and not checked against the paper" in text
