"""What a German page says of single words, whose English says more than one thing."""

from __future__ import annotations

from django.utils.translation import override

from golfstats.doors.pages.templatetags.web_words import beside
from golfstats.ground.walls.scope import club_scope
from players.conditions import analysis
from tests import factories
from tests.web.conftest import Place, signed_in
from tests.web.test_tomorrow import where

GERMAN = {"Accept-Language": "de"}


def test_none_of_several_is_not_none_of_one() -> None:
    with override("de"):
        assert beside(0.2) == "keiner"  # a miss
        assert beside(-4.0) == "4 links"
    assert beside(0.2) == "none"


def test_a_round_of_scores_alone_says_why_it_has_no_strokes_gained(place: Place) -> None:
    with club_scope(place.club.id):
        holes = [{"number": number, "score": 5} for number in range(1, 19)]
        factories.make_round(place.manager, place.player, holes=holes)
        analysis.analyse_pending()
    client = signed_in(place.player_member)
    page = client.get(where(place, f"players/{place.player.id}/rounds"), headers=GERMAN).content.decode()
    assert "nur Ergebnis" in page
    assert "Kein Loch ist mit allen Schlägen erfasst" in page
