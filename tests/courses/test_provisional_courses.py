"""Courses from a scorecard: who sees them, what they serve for, and how they become the club's."""

from __future__ import annotations

from typing import Any

import pytest

from courses.layout.models import Course, TeeSet
from golfstats.ground.clubs.models import Member
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.handicap.models import HandicapLine
from players.plans.models import RoundPlan
from players.rounds.models import Round
from tests import factories
from tests.courses.test_courses_layout import codes, nine_holes
from tests.graphql.asking import refusal
from tests.players.conftest import Place, client_of

SCORES = [{"number": number, "score": 5} for number in range(1, 10)]


def card(**changes: Any) -> dict[str, Any]:
    holes = [hole | {"par_women": 4, "stroke_index_women": hole["stroke_index_men"]} for hole in nine_holes()]
    return {"name": "Shore course", "tee": "Yellow", "holes": holes} | changes


def entered(member: Member, **changes: Any) -> str:
    response = client_of(member).post("/api/v1/scorecards", card(**changes), format="json")
    assert response.status_code == 201, response.content
    assert response.json()["provisional"] is True
    return str(response.json()["id"])


def seen_by(member: Member) -> list[str]:
    listed = client_of(member).get("/api/v1/courses").json()["results"]
    return sorted(course["name"] for course in listed)


def tee_of(place: Place, course: str) -> str:
    with club_scope(place.club.id):
        return str(TeeSet.objects.get(course=course).id)


@pytest.fixture
def posted(place: Place) -> tuple[str, str]:
    """A provisional course of the player's, and a round that they played there."""
    course = entered(place.player_member)
    body = {
        "course": "shore course",
        "tee": "yellow",
        "section": "front",
        "played_on": "2026-06-14",
        "holes": SCORES,
    }
    response = client_of(place.player_member).post("/api/v1/rounds", body, format="json")
    assert response.status_code == 201, response.content
    return course, str(response.json()["id"])


def test_it_serves_its_maker_their_coaches_and_managers_and_nobody_else(place: Place) -> None:
    course = entered(place.player_member)
    both = ["Long course", "Shore course"]
    assert [seen_by(one) for one in (place.player_member, place.coach, place.manager)] == [both] * 3
    tee = tee_of(place, course)
    below = ["", f"/tees/{tee}", f"/tees/{tee}/shapes", "/green-work", "/notes", "/playing-conditions"]
    for stranger in (place.other_member, place.greenkeeper):
        assert seen_by(stranger) == ["Long course"]
        client = client_of(stranger)
        assert {client.get(f"/api/v1/courses/{course}{path}").status_code for path in below} == {404}
        error = refusal(stranger, "query($id: UUID!) { course(id: $id) { name } }", id=course)
        assert error["extensions"]["type"] == "/problems/not-found"


def test_a_coach_of_others_does_not_see_it_and_one_course_of_a_coach_is_not_the_players(place: Place) -> None:
    course = entered(place.other_member)
    assert seen_by(place.coach) == ["Long course"]
    entered(place.coach, name="Coach's find")
    assert seen_by(place.player_member) == ["Long course"]
    assert client_of(place.coach).get(f"/api/v1/courses/{course}").status_code == 404


def test_the_card_is_as_it_was_printed(place: Place) -> None:
    rating = {"gender": "men", "section": "front", "course_rating": 33.4, "slope_rating": 118, "par": 36}
    course = entered(place.player_member, ratings=[rating], unit="metres", altitude=1500)
    read = client_of(place.player_member).get(f"/api/v1/courses/{course}").json()
    (tees,) = read["tees"]
    assert (read["hole_count"], read["altitude"], tees["ratings"]) == (9, 1500, [rating])
    # 301 metres are 329.2 yards (a yard is 0.9144 m by definition).
    assert tees["holes"][0]["length"] == pytest.approx(301 / 0.9144, abs=0.05)


def test_round_and_plan_are_there_at_once(place: Place, posted: tuple[str, str]) -> None:
    tee = tee_of(place, posted[0])
    asked = {"tee": tee, "planned_for": "2026-06-14", "section": "front"}
    address = f"/api/v1/players/{place.player.id}/plans"
    assert client_of(place.player_member).post(address, asked, format="json").status_code == 202
    with club_scope(place.club.id):
        assert RoundPlan.objects.get().holes == 9
        assert Round.objects.get().tee_set_id.hex == tee.replace("-", "")


def test_nobody_else_may_play_it_or_plan_on_it(place: Place) -> None:
    tee = tee_of(place, entered(place.player_member))
    client = client_of(place.other_member)
    body = {
        "course": "Shore course",
        "tee": "Yellow",
        "section": "front",
        "played_on": "2026-06-14",
        "holes": SCORES,
    }
    assert codes(client.post("/api/v1/rounds", body, format="json")) == [("/course", "no_such_course")]
    asked = {"tee": tee, "planned_for": "2026-06-14"}
    address = f"/api/v1/players/{place.other_player.id}/plans"
    assert codes(client.post(address, asked, format="json")) == [("/tee", "no_such_tee")]


def test_a_player_corrects_a_round_that_the_coach_posted_on_a_course_of_the_coach(place: Place) -> None:
    entered(place.coach, name="Coach's find")
    body = {
        "player": str(place.player.id),
        "course": "Coach's find",
        "tee": "Yellow",
        "section": "front",
        "played_on": "2026-06-14",
        "holes": SCORES,
    }
    round_ = client_of(place.coach).post("/api/v1/rounds", body, format="json").json()
    corrected = client_of(place.player_member).patch(
        f"/api/v1/rounds/{round_['id']}", {"note": "windy"}, format="json", headers={"If-Match": '"1"'}
    )
    assert corrected.status_code == 200, corrected.content


def test_only_maker_and_managers_change_it(place: Place) -> None:
    course = entered(place.player_member)
    address = f"/api/v1/courses/{course}"
    coach = client_of(place.coach)  # sees it
    assert coach.put(f"{address}/scorecard", card(), format="json").status_code == 403
    assert coach.delete(address).status_code == 403
    maker = client_of(place.player_member)
    longer = [hole | {"length": 350} for hole in card()["holes"]]
    corrected = maker.put(f"{address}/scorecard", card(name="Shore links", holes=longer), format="json")
    assert (corrected.status_code, corrected.json()["name"]) == (200, "Shore links")
    with club_scope(place.club.id):
        long_course = Course.objects.get(name="Long course").id
    assert maker.put(f"/api/v1/courses/{long_course}/scorecard", card(), format="json").status_code == 403
    assert maker.delete(f"/api/v1/courses/{long_course}").status_code == 403
    assert maker.delete(address).status_code == 204


def test_names_tell_nobody_what_others_entered(place: Place) -> None:
    entered(place.player_member)
    entered(place.other_member)  # the same name
    again = client_of(place.player_member).post("/api/v1/scorecards", card(), format="json")
    assert codes(again) == [("/name", "name_taken")]
    taken = client_of(place.player_member).post("/api/v1/scorecards", card(name="long course"), format="json")
    assert codes(taken) == [("/name", "name_taken")]


def test_a_card_that_does_not_fit_together_stores_nothing(place: Place) -> None:
    holes = [hole | {"stroke_index_men": 1} for hole in card()["holes"]]
    refused = client_of(place.player_member).post("/api/v1/scorecards", card(holes=holes), format="json")
    assert codes(refused) == [("/holes", "stroke_indexes_not_a_permutation")]
    assert seen_by(place.player_member) == ["Long course"]


def test_a_greenkeeper_enters_none(place: Place) -> None:
    assert client_of(place.greenkeeper).post("/api/v1/scorecards", card(), format="json").status_code == 403


def test_a_manager_takes_it_into_the_clubs_courses(place: Place) -> None:
    course = entered(place.player_member)
    taken = client_of(place.manager).patch(f"/api/v1/courses/{course}", {"provisional": False}, format="json")
    assert (taken.status_code, taken.json()["provisional"]) == (200, False)
    assert seen_by(place.other_member) == ["Long course", "Shore course"]
    # From now on it is the club's: its maker changes nothing more.
    address = f"/api/v1/courses/{course}/scorecard"
    assert client_of(place.player_member).put(address, card(), format="json").status_code == 403


def test_a_manager_merges_it_and_its_golf_is_analysed_on_the_other(
    place: Place, posted: tuple[str, str]
) -> None:
    course, round_ = posted
    with club_scope(place.club.id):
        club = factories.make_course("Shore Links", 9)
        yellow = factories.make_tee_set(club, "yellow")
    worker.drain()
    with club_scope(place.club.id):
        assert not HandicapLine.objects.exists()
    merged = client_of(place.manager).post(
        f"/api/v1/courses/{course}/merged", {"into": str(club.id)}, format="json"
    )
    assert (merged.status_code, merged.json()["name"]) == (200, "Shore Links"), merged.content
    read = client_of(place.player_member).get(f"/api/v1/rounds/{round_}").json()
    assert (read["course"]["name"], read["analysis"]) == ("Shore Links", "pending")
    worker.drain()
    with club_scope(place.club.id):
        moved = Round.objects.get()
        assert (moved.tee_set_id, moved.analysis) == (yellow.id, "done")
        assert not Course.objects.filter(id=course).exists()
        # The club's tees are rated and the card's were not: now the round is on the record.
        assert HandicapLine.objects.get(round=moved).adjusted_gross_score == 45


def test_tees_that_the_other_course_lacks_move_there(place: Place, posted: tuple[str, str]) -> None:
    course, round_ = posted
    with club_scope(place.club.id):
        club = factories.make_course("Shore Links", 9)
        factories.make_tee_set(club, "White")
    merged = client_of(place.manager).post(
        f"/api/v1/courses/{course}/merged", {"into": str(club.id)}, format="json"
    )
    assert merged.status_code == 200
    with club_scope(place.club.id):
        assert sorted(club.tee_sets.values_list("name", flat=True)) == ["White", "Yellow"]
        assert Round.objects.get(id=round_).tee_set.course_id == club.id


def test_golf_is_not_merged_into_tees_whose_holes_nobody_has_entered_yet(
    place: Place, posted: tuple[str, str]
) -> None:
    course, round_ = posted
    with club_scope(place.club.id):
        club = factories.make_course("Shore Links", 9)
        TeeSet.objects.create(course=club, name="Yellow")
    merged = client_of(place.manager).post(
        f"/api/v1/courses/{course}/merged", {"into": str(club.id)}, format="json"
    )
    assert codes(merged) == [("/into", "no_such_holes")]
    read = client_of(place.player_member).get(f"/api/v1/rounds/{round_}").json()
    assert read["course"]["id"] == course


def test_merging_is_refused_where_it_would_lose_something(place: Place) -> None:
    course = entered(place.player_member)
    manager = client_of(place.manager)
    with club_scope(place.club.id):
        long_course = str(Course.objects.get(name="Long course").id)
    address = f"/api/v1/courses/{course}/merged"
    assert codes(manager.post(address, {"into": long_course}, format="json")) == [("/into", "other_holes")]
    assert codes(manager.post(address, {"into": course}, format="json")) == [("/into", "no_such_course")]
    own = manager.post(f"/api/v1/courses/{long_course}/merged", {"into": long_course}, format="json")
    assert own.status_code == 409
