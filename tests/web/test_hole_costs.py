"""The page of what holes cost: words first, a picture a hole, numbers beneath; for staff and coaches."""

from __future__ import annotations

from dataclasses import asdict

import pytest

from courses.layout.models import TeeSet
from golfstats.calc.plan.hole_costs import Cost, GolferCosts, HoleCosts
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.walls.scope import club_scope
from players.plans.models import HoleMap
from players.rounds.models import Round
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page

PINS = ("front", "back", "left", "right")


def golfer(handicap: float, bunker: float) -> GolferCosts:
    pins = tuple(Cost(pin, 0.01) for pin in PINS)
    return GolferCosts(
        handicap, 4.0 + handicap / 20, 0.08, pins, (Cost("bunker left, 230 yards from the tee", bunker),)
    )


@pytest.fixture
def tee(place: Place, played: Round) -> TeeSet:
    """Two holes as the worker works them out: one drawn, one generic."""
    costs = ((0.05, 0.12, 0.31), (0.0, 0.0, 0.01))
    with club_scope(place.club.id):
        tee_set = TeeSet.objects.get()
        for number, of_hole in enumerate(costs, start=1):
            golfers = tuple(golfer(h, cost) for h, cost in zip((5.0, 15.0, 25.0), of_hole, strict=True))
            told = HoleCosts(number, number == 2, golfers, "<svg><title>a map</title></svg>")
            HoleMap.objects.create(tee_set=tee_set, gender="women", number=number, document=asdict(told))
        return tee_set


def where(place: Place, tee: TeeSet) -> str:
    return f"/clubs/{place.club.slug}/courses/{tee.course_id}/tees/{tee.id}/costs?gender=women"


def test_the_dearest_thing_is_said_first_and_drawn_by_hole(place: Place, tee: TeeSet) -> None:
    answer = signed_in(place.coach).get(where(place, tee))
    page = Page.of(answer.content)
    said = "Hole 1, bunker left, 230 yd, costs most: 0.31 strokes for handicap 25, 0.05 for handicap 5."
    assert said in page.text
    assert page.text.index(said) < page.text.index("The numbers")
    # Of the drawn hole a map, of the generic one none; a picture of costs for both.
    assert answer.content.count(b"<title>a map</title>") == 1
    assert "nobody has drawn this hole" in page.text
    assert answer.content.count(b'class="drawn small"') == 2
    assert page.inline == []
    assert page.headed >= page.tables
    # The members' one round is too little for a mean or a stroke index, and both say so.
    assert "too few" in page.text
    assert "1 shot" in page.text
    assert "Too few: a suggestion needs 60 scores" in page.text


def test_nothing_is_said_of_what_the_model_cannot_tell(place: Place, tee: TeeSet) -> None:
    with club_scope(place.club.id):
        HoleMap.objects.get(number=1).delete()
    page = Page.of(signed_in(place.greenkeeper).get(where(place, tee)).content)
    assert "No pin and no bunker costs anybody more" in page.text


def test_managers_ask_and_players_read_nothing(place: Place, tee: TeeSet) -> None:
    assert signed_in(place.player_member).get(where(place, tee)).status_code == 403
    for other in (place.player_member, place.coach, place.greenkeeper):
        assert signed_in(other).post(where(place, tee)).status_code == 403
    manager = signed_in(place.manager)
    asked = manager.post(where(place, tee).replace("women", "men"))
    assert asked.status_code == 302
    page = Page.of(manager.get(asked.headers["Location"]).content)
    assert "A worker is at it" in page.text
    assert "Not worked out yet" in page.text
    assert OutstandingWork.objects.filter(kind="hole_maps", key=f"{tee.id}:men").exists()


def test_a_hole_that_cannot_be_drawn_is_said_to_be_so_instead_of_never_being_worked_out(
    place: Place, tee: TeeSet
) -> None:
    with club_scope(place.club.id):
        document = HoleMap.objects.get(number=1).document
        for number in range(3, 18):
            told = document | {"number": number}
            HoleMap.objects.create(tee_set=tee, gender="women", number=number, document=told)
        tee.holes.filter(number=18).update(length=20)
    because = "Hole 18 is not 40 to 700 yards long: only a map can say what it looks like."
    for member, what_to_do in (
        (place.manager, "Correct its length"),
        (place.coach, "A manager can correct its length."),
    ):
        page = Page.of(signed_in(member).get(where(place, tee)).content)
        assert because in page.text
        assert what_to_do in page.text
        assert "look again" not in page.text
        assert "Work it out anew" not in page.text
