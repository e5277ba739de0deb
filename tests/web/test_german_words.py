"""What a German page says of single words, whose English says more than one thing."""

from __future__ import annotations

import datetime as dt

import pytest
from django.utils.translation import override

from courses.layout.models import Course, TeeSet
from golfstats.calc.plan.hole_costs import Cost, GolferCosts
from golfstats.doors.pages.templatetags.web_words import beside
from golfstats.ground.faults import ProblemError
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.words import dated, dates_as, spoken
from golfstats.sentences import Sentence
from players.conditions import analysis
from players.files.incoming.dialect import DateOrder, no_day_words
from players.files.incoming.parsing import Cells
from players.pictures.green_subjects import things_of
from players.plans.costs.course_costs import HoleForTheClub
from players.rounds.checking.counting import described
from players.rounds.models import RoundInPlay
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


def test_a_file_that_is_no_csv_says_so_in_german() -> None:
    with pytest.raises(ProblemError) as refused, override("de"):
        list(Cells('a,b\r\n"open,1\r\n').lines())
    (fault,) = refused.value.faults
    with override("de"):
        assert spoken(fault.detail) == "ein Anführungszeichen öffnet eine Zelle und keines schließt sie"


def test_a_cell_that_is_no_day_says_so_in_german() -> None:
    with override("de"):
        assert spoken(no_day_words("31.4.2026", DateOrder.YEAR_FIRST)) == (
            "'31.4.2026' ist, gelesen wie 2026-06-14, kein Tag eines Monats"
        )
        assert spoken(no_day_words("13.4.2026", DateOrder.MONTH_FIRST)) == (
            "'13.4.2026' ist, gelesen wie 6/14/2026, kein Tag eines Monats; "
            "es wäre einer mit dates: day_first (14.6.2026)"
        )
    assert no_day_words("13.4.2026", DateOrder.MONTH_FIRST).endswith("dates: day_first (14.6.2026)")


def test_the_round_in_play_has_its_day_as_the_club_writes_it(place: Place) -> None:
    with club_scope(place.club.id):
        tees = TeeSet.objects.select_related("course").get()
        words = described(RoundInPlay(tee_set=tees, played_on=dt.date(2026, 5, 3)))
    assert words == "the round at Long course of 2026-05-03"
    with override("de"):
        assert spoken(words) == "die Runde auf Long course vom 3. Mai 2026"
        with dates_as("iso"):
            assert spoken(words) == "die Runde auf Long course vom 2026-05-03"


def test_a_day_that_was_written_is_written_anew_in_another_language_and_another_way() -> None:
    day, form = dt.date(2026, 5, 3), "j F Y"
    with dates_as("day_month"), override("en-gb"):
        assert [dated(day, form), dated(day, form)] == ["3 May 2026"] * 2
        assert dated(day, "j M") == "3 May"
        with override("de"):
            assert dated(day, form) == "3. Mai 2026"
            with dates_as("iso"):
                assert dated(day, form) == "2026-05-03"
            assert dated(day, form) == "3. Mai 2026"
        assert dated(day, form) == "3 May 2026"


def test_green_work_and_a_trial_of_clubs_are_named_in_german(place: Place) -> None:
    client = signed_in(place.manager)
    with club_scope(place.club.id):
        course = Course.objects.get()
        factories.make_round(place.manager, place.player)
    form = {"kind": "coring_spring", "starts_on": "2026-03-02"}
    assert client.post(where(place, f"courses/{course.id}/green-work/new"), form).status_code == 302
    page = client.get(where(place, f"courses/{course.id}"), headers=GERMAN).content.decode()
    assert "<h3>Aerifizieren im Frühjahr</h3>" in page
    asked = f"players/{place.player.id}/trials?tag=club&a=driver&b=7-iron&outcome=side"
    page = client.get(where(place, asked), headers=GERMAN).content.decode()
    assert "<h2>Driver und Eisen 7</h2>" in page


def test_a_bunker_is_placed_in_german_in_a_picture_too() -> None:
    with override("de"):
        told = spoken(Sentence("bunker in the middle, {yards} yards from the tee", yards="230"))
        golfer = GolferCosts(5.0, 4.2, 0.08, (), (Cost(told, 0.1),))
        hole = HoleForTheClub(1, False, (golfer,), "", [])
        assert [one.what for one in things_of(hole)] == ["letzte 20 Yards", "Bunker Mitte, 230 yd"]


def test_one_moment_is_written_as_each_time_zone_has_it() -> None:
    noon = dt.datetime(2026, 5, 3, 12, tzinfo=dt.UTC)
    with dates_as("day_month"), override("en-gb"):
        assert dated(noon, "j M Y H:i") == "3 May 2026 12:00"
        assert dated(noon.astimezone(dt.timezone(dt.timedelta(hours=9))), "j M Y H:i") == "3 May 2026 21:00"
