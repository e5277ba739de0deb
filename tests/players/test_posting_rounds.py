"""Posting a round, as a player's phone does it: what is saved, and what every kind of bad input is told."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from courses.layout.models import Course, TeeSet
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.walls.scope import club_scope
from players.rounds.models import PlayedHole, Round, Shot
from tests.factories import round_body
from tests.players.conftest import Place, client_of

ADDRESS = "/api/v1/rounds"
T, B = {"lie": "tee", "distance": 400}, {"lie": "sand", "distance": 30}


def post(place: Place, body: Any, **headers: str) -> Any:
    return client_of(place.player_member).post(ADDRESS, body, format="json", headers=headers)


def saved_rounds(place: Place) -> int:
    with club_scope(place.club.id):
        return Round.objects.count()


def faults(response: Any) -> list[tuple[str, str, int | None, int | None]]:
    assert response.headers["Content-Type"] == "application/problem+json", response.content
    return [(f["pointer"], f["code"], f.get("hole"), f.get("shot")) for f in response.json()["errors"]]


def test_round_is_saved_shot_by_shot(place: Place) -> None:
    response = post(place, round_body())
    assert response.status_code == 201, response.content
    assert response.json()["analysis"] == "pending"
    assert response.json()["player"]["name"] == "Ines Aldana"
    with club_scope(place.club.id):
        assert [hole.score for hole in PlayedHole.objects.order_by("number")][:4] == [4, 4, 3, 5]
        first = Shot.objects.get(played_hole__number=1, number=3)
        assert (first.lie, first.distance, first.holed) == ("green", 6.0, False)  # 18 feet are 6 yards
        assert Shot.objects.filter(holed=True).count() == 18
    wanted = set(OutstandingWork.objects.values_list("kind", flat=True))
    assert wanted == {"handicap", "round_analysis"}


def test_score_after_stroke_and_distance(place: Place) -> None:
    """Out of bounds from the tee: the next shot is the third, from the same place (Rule 18.2 of the Rules of Golf)."""
    body = round_body()
    body["holes"][0] = {
        "number": 1,
        "shots": [
            {"lie": "tee", "distance": 390, "penalty_strokes": 1, "penalty_kind": "stroke_and_distance"},
            {"lie": "tee", "distance": 390},
            {"lie": "fairway", "distance": 150},
            {"lie": "green", "distance": 10},
        ],
    }
    assert post(place, body).status_code == 201
    with club_scope(place.club.id):
        hole = PlayedHole.objects.get(number=1)
        assert (hole.score, hole.penalties, hole.putts) == (5, 1, 1)


def test_hole_scores_with_and_without_putts(place: Place) -> None:
    holes = [{"number": n, "score": 5, **({"putts": 2} if n % 2 else {})} for n in range(1, 19)]
    holes[17] = {"number": 18, "score": 7, "picked_up": True}
    assert post(place, round_body(holes=holes)).status_code == 201
    with club_scope(place.club.id):
        assert PlayedHole.objects.get(number=18).picked_up
        assert PlayedHole.objects.get(number=2).putts is None


def test_every_fault_is_listed_with_its_place(place: Place) -> None:
    body = round_body(played_on="2190-01-01")
    body["holes"][6]["shots"][1]["distance"] = 300  # a putt of 300 feet
    body["holes"][7]["shots"].append({"lie": "green", "distance": 3})
    body["holes"][7]["shots"][-2]["holed"] = True
    body["holes"][8]["score"] = 9
    body["holes"][9]["shots"][0]["lie"] = "rough"
    response = post(place, body)
    assert response.status_code == 422
    assert faults(response) == [
        ("/played_on", "in_the_future", None, None),
        ("/holes/6/shots/1/distance", "impossible_distance", 7, 2),
        ("/holes/7/shots/5", "shot_after_holing_out", 8, 6),
        ("/holes/8/score", "score_disagrees", 9, None),
        ("/holes/9/shots/0/lie", "not_from_the_tee", 10, 1),
    ]
    assert saved_rounds(place) == 0


def test_shape_faults_name_hole_and_shot(place: Place) -> None:
    body = round_body()
    body["holes"][6]["shots"][2]["lie"] = "bush"
    body["holes"][6]["shots"][0]["distance"] = -4
    response = post(place, body)
    assert response.status_code == 422
    assert faults(response) == [
        ("/holes/6/shots/0/distance", "greater_than_equal", 7, 1),
        ("/holes/6/shots/2/lie", "literal_error", 7, 3),
    ]
    assert saved_rounds(place) == 0


@pytest.mark.parametrize(
    ("change", "pointer", "code"),
    [
        ({"tee": "Purple"}, "/tee", "no_such_tee"),
        ({"course": "Elsewhere"}, "/course", "no_such_course"),
        ({"player": "Tomas Rehn"}, "/player", "no_such_player"),
        ({"holes": [{"number": 1, "score": 4}]}, "/holes", "too_few_holes"),
        (
            {"holes": [{"number": n, "score": 4} for n in range(1, 10)], "section": "back"},
            "/holes",
            "wrong_number_of_holes",
        ),
        ({"colour": "blue"}, "/colour", "extra_forbidden"),
        ({"start_time": "10:00:00+02:00"}, "/start_time", "time_with_offset"),
        ({"start_time": 36000}, "/start_time", "time_with_offset"),
        ({"played_on": 1767225600}, "/played_on", "value_error"),
        ({"played_on": "1767225600"}, "/played_on", "value_error"),
    ],
)
def test_what_does_not_fit_is_refused(place: Place, change: dict[str, Any], pointer: str, code: str) -> None:
    response = post(place, round_body() | change)
    assert response.status_code == 422
    assert (pointer, code) in [fault[:2] for fault in faults(response)]
    assert saved_rounds(place) == 0


@pytest.mark.parametrize(
    ("hole", "field", "code"),
    [
        ({"shots": [T, *[B] * 38, {**B, "holed": True}]}, "shots", "too_many_strokes"),
        ({"shots": [T, *[B] * 38], "picked_up": True}, "shots", "too_many_strokes"),
        ({"shots": [T, B], "picked_up": True, "putts": 15}, "putts", "more_putts_than_score"),
        ({"shots": [T, B], "picked_up": True, "penalties": 15}, "penalties", "more_penalties_than_score"),
        ({"score": 3, "penalties": 3}, "penalties", "more_penalties_than_score"),
    ],
)
def test_what_no_score_can_be_is_refused(place: Place, hole: dict[str, Any], field: str, code: str) -> None:
    body = round_body()
    body["holes"][8] = {"number": 9, **hole}
    response = post(place, body)
    assert response.status_code == 422
    assert faults(response) == [(f"/holes/8/{field}", code, 9, None)]
    assert saved_rounds(place) == 0


def test_a_ball_picked_up_after_many_strokes_has_the_most_that_a_hole_takes(place: Place) -> None:
    body = round_body()
    body["holes"][8] = {"number": 9, "picked_up": True, "shots": [T, *[B] * 29]}
    assert post(place, body).status_code == 201
    with club_scope(place.club.id):
        assert PlayedHole.objects.get(number=9).score == 30


def test_a_tee_whose_holes_nobody_has_entered_yet_takes_no_round(place: Place) -> None:
    with club_scope(place.club.id):
        TeeSet.objects.create(course=Course.objects.get(), name="Red")
    response = post(place, round_body(tee="Red"))
    assert response.status_code == 422
    assert [fault[:2] for fault in faults(response)] == [("/tee", "no_such_holes")]
    assert saved_rounds(place) == 0


@pytest.mark.parametrize(
    ("body", "content_type", "status", "kind"),
    [
        (b"{not json", "application/json", 400, "not-json"),
        (b'"\xff\xfe"', "application/json", 400, "not-utf-8"),
        (b"[]", "application/json", 422, "invalid-request"),
        (b" " * (300 * 1024), "application/json", 413, "too-large"),
        (b"<round/>", "application/xml", 415, "unsupported-media-type"),
    ],
)
def test_bodies_that_are_no_round(
    place: Place, body: bytes, content_type: str, status: int, kind: str
) -> None:
    response = client_of(place.player_member).generic("POST", ADDRESS, body, content_type=content_type)
    assert response.status_code == status
    assert response.json()["type"] == f"/problems/{kind}"
    assert saved_rounds(place) == 0


def test_notation_is_accepted_and_given_back(place: Place) -> None:
    text = "course: Long course\ntee: White\ndate: 2026-06-14\n" + "".join(
        f"{n} =5/2\n" if n > 1 else "1 T390(driver) F148(8i,left) G18(low,read) G2\n" for n in range(1, 19)
    )
    client = client_of(place.player_member)
    response = client.generic("POST", ADDRESS, text, content_type="text/plain")
    assert response.status_code == 201, response.content
    given = client.get(response.headers["Location"], headers={"Accept": "text/plain"})
    assert "1 T390(driver) F148(8-iron,left) G18(low,read) G2 =4/2" in given.content.decode()
    again = client.generic(
        "PUT",
        response.headers["Location"],
        given.content,
        content_type="text/plain",
        headers={"If-Match": "*"},
    )
    assert again.status_code == 200, again.content


def test_notation_faults_have_line_and_column(place: Place) -> None:
    text = "course: Long course\ntee: White\ndate: 2026-06-14\n1 T390 Q148 G18\n"
    response = client_of(place.player_member).generic("POST", ADDRESS, text, content_type="text/plain")
    assert response.status_code == 422
    fault = response.json()["errors"][0]
    assert (fault["code"], fault["line"], fault["column"], fault["hole"]) == ("unknown_lie", 4, 8, 1)


def test_same_idempotency_key_posts_once(place: Place) -> None:
    headers = {"Idempotency-Key": "a-phone-in-a-tunnel"}
    first, second = (post(place, round_body(), **headers) for _ in range(2))
    assert (first.status_code, second.status_code) == (201, 201)
    assert json.loads(first.content) == json.loads(second.content)
    assert second.headers["Location"] == first.headers["Location"]
    assert saved_rounds(place) == 1
    other = post(place, round_body(note="another"), **headers)
    assert other.status_code == 422
    assert other.json()["type"] == "/problems/idempotency-key-reused"
    assert saved_rounds(place) == 1


def test_refused_request_may_be_put_right_under_its_key(place: Place) -> None:
    headers = {"Idempotency-Key": "once-more"}
    assert post(place, round_body(tee="Purple"), **headers).status_code == 422
    assert post(place, round_body(), **headers).status_code == 201


def test_correcting_and_deleting(place: Place) -> None:
    client = client_of(place.player_member)
    address = post(place, round_body()).headers["Location"]
    etag = client.get(address).headers["ETag"]
    changed = client.patch(address, {"ball": "the new one"}, format="json", headers={"If-Match": etag})
    assert changed.status_code == 200, changed.content
    assert client.get(address).json()["round"]["ball"] == "the new one"
    late = client.patch(address, {"ball": "older"}, format="json", headers={"If-Match": etag})
    assert late.status_code == 412
    assert client.delete(address, headers={"If-Match": "*"}).status_code == 204
    assert client.get(address).status_code == 404
    assert saved_rounds(place) == 0


def test_others_rounds_do_not_exist(place: Place) -> None:
    address = post(place, round_body()).headers["Location"]
    stranger = client_of(place.other_member)
    assert stranger.get(address).status_code == 404
    assert stranger.delete(address).status_code == 404
    assert stranger.get(ADDRESS).json()["results"] == []
    assert client_of(place.greenkeeper).get(address).status_code == 404
    assert client_of(place.coach).get(address).status_code == 200
    assert client_of(place.manager).get(address).status_code == 200


def test_queries_do_not_grow_with_shots(place: Place) -> None:
    few = round_body(holes=[{"number": n, "score": 5} for n in range(1, 18)] + [round_body()["holes"][17]])
    counts = []
    # Of another day: where a round of the day is there already, its holes are looked at as well.
    for body in (few, round_body(played_on="2026-06-15")):
        with CaptureQueriesContext(
            connection,
        ) as queries:
            assert post(place, body).status_code == 201
        counts.append(len(queries))
    assert counts[0] == counts[1]
