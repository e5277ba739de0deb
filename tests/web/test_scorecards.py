"""A course from its scorecard, on one page without scripts; a manager takes it in or merges it."""

from __future__ import annotations

from courses.layout.models import Course, TeeSet
from courses.plans.models import HoleShape
from golfstats.ground.walls.scope import club_scope
from tests import factories
from tests.players.conftest import client_of
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page
from tests.web.test_tomorrow import where

INDEXES = [7, 3, 9, 5, 6, 1, 8, 4, 2]


def card(**changes: str) -> dict[str, str]:
    """What a form of a nine-hole card sends: holes 10 to 18 stay empty."""
    holes = {}
    for number in range(1, 10):
        for gender in ("men", "women"):
            holes[f"h{number}-par_{gender}"] = "4"
            holes[f"h{number}-stroke_index_{gender}"] = str(INDEXES[number - 1])
        holes[f"h{number}-length"] = str(300 + number)
    return {"name": "Shore course", "tee": "Yellow", "unit": "yards", **holes} | changes


def test_a_player_enters_a_course_and_plans_on_it(place: Place) -> None:
    client = signed_in(place.player_member)
    tomorrow = client.get(where(place, "tomorrow"))
    address = where(place, "courses/from-a-scorecard")
    assert address in Page.of(tomorrow.content).links
    page = Page.of(client.get(address).content)
    assert page.inline == []
    saved = client.post(address, card())
    assert saved.status_code == 302
    with club_scope(place.club.id):
        course = Course.objects.get(provisional=True)
        tee = TeeSet.objects.get(course=course)
        assert (course.hole_count, tee.holes.count()) == (9, 9)
    offered = client.get(saved.headers["Location"])
    assert f'value="{tee.id}" selected' in offered.content.decode()
    assert "Shore course" in client.get(where(place, "rounds/new")).content.decode()
    for page_ in ("tomorrow", "rounds/new"):
        others = signed_in(place.other_member).get(where(place, page_))
        assert "Shore course" not in others.content.decode()
    # Its maker corrects it; others do not find it, and a coach who sees it may not.
    correct = where(place, f"courses/{course.id}/scorecard")
    assert b'value="301"' in client.get(correct).content
    assert client.post(correct, card(name="Shore links", **{"h1-length": "310"})).status_code == 302
    assert signed_in(place.other_member).get(correct).status_code == 404
    assert signed_in(place.coach).post(correct, card()).status_code == 403
    with club_scope(place.club.id):
        assert Course.objects.get(id=course.id).name == "Shore links"
        assert tee.holes.get(number=1).length == 310
    assert client.post(where(place, f"courses/{course.id}/scorecard/remove")).status_code == 302
    with club_scope(place.club.id):
        assert not Course.objects.filter(id=course.id).exists()


def test_faults_stand_at_their_fields_and_what_was_entered_stays(place: Place) -> None:
    client = signed_in(place.player_member)
    address = where(place, "courses/from-a-scorecard")
    refused = client.post(address, card(**{"h2-length": "12000", "h3-par_men": ""}))
    assert refused.status_code == 422
    text = refused.content.decode()
    assert "Hole 2, length" in text
    assert 'value="12000"' in text
    # A nine whose card gives it the odd numbers of eighteen.
    odd = {f"h{number}-stroke_index_men": str(2 * number - 1) for number in range(1, 10)}
    assert "count them up in their order" in client.post(address, card(**odd)).content.decode()


def test_its_maker_says_what_the_holes_look_like(place: Place) -> None:
    client = signed_in(place.player_member)
    address = where(place, "courses/from-a-scorecard")
    for wrong, why in (
        ("dogleg right 240", "begin with a hole"),
        ("9" * 5000 + " dogleg right 240", "begin with a hole"),
        ("3 dogleg sideways", "Hole 3, words: Clause 1: “dogleg sideways”"),
    ):
        refused = client.post(address, card(words=wrong))
        assert refused.status_code == 422
        assert why in refused.content.decode()
    with club_scope(place.club.id):
        assert not Course.objects.filter(provisional=True).exists()
    saved = client.post(address, card(words="1 dogleg right 200\n\n4. water right 180-280, slopes front"))
    assert saved.status_code == 302
    with club_scope(place.club.id):
        tee = TeeSet.objects.get(course__provisional=True)
        said = dict(HoleShape.objects.values_list("hole__number", "words"))
    assert said == {1: "dogleg right 200", 4: "water right 180-280, slopes front"}
    # By the API likewise; nobody but they and managers.
    shapes = f"/api/v1/courses/{tee.course_id}/tees/{tee.id}/shapes"
    body = {"holes": [{"number": 2, "words": "bunker left 230-260"}]}
    for member, status in ((place.player_member, 200), (place.coach, 403), (place.other_member, 404)):
        assert client_of(member).put(shapes, body, format="json").status_code == status


def test_a_manager_takes_it_in_or_merges_it(place: Place) -> None:
    client, manager = signed_in(place.player_member), signed_in(place.manager)
    for name in ("Shore course", "Dune course"):
        client.post(where(place, "courses/from-a-scorecard"), card(name=name))
    with club_scope(place.club.id):
        shore, dune = (Course.objects.get(name=name).id for name in ("Shore course", "Dune course"))
        factories.make_tee_set(factories.make_course("Dunes", 9), "Yellow")
        club = Course.objects.get(name="Dunes").id
    assert "provisional" in manager.get(where(place, "courses")).content.decode()
    layout = manager.get(where(place, f"courses/{dune}/layout")).content.decode()
    assert place.player_member.name in layout
    assert f'value="{club}"' in layout
    assert manager.post(where(place, f"courses/{shore}/take-in")).status_code == 302
    assert manager.post(where(place, f"courses/{dune}/merge"), {"into": str(club)}).status_code == 302
    with club_scope(place.club.id):
        left = set(Course.objects.filter(provisional=False).values_list("name", flat=True))
        assert left >= {"Shore course", "Dunes"}
        assert not Course.objects.filter(provisional=True).exists()
    assert client.post(where(place, f"courses/{shore}/merge"), {"into": str(club)}).status_code == 403
