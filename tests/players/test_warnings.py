"""What looks wrong in a round but may be right is told with its place, saved, and can be dismissed."""

from __future__ import annotations

from typing import Any

import pytest

from courses.layout.models import Course, Rating
from golfstats.ground.walls.scope import club_scope
from players.rounds.models import Round, Shot
from tests import factories
from tests.factories import round_body
from tests.players.conftest import Place, client_of
from tests.players.simulated_golf import play_rounds

ADDRESS = "/api/v1/rounds"
HEAD = "course: Long course\ntee: White\ndate: 2026-06-14\n"


def text_of(first_hole: str, head: str = HEAD) -> str:
    """A round whose first hole (390 yards, par 4) is told so; of the others the score."""
    return head + f"1 {first_hole}\n" + "".join(f"{n} =5/2\n" for n in range(2, 19))


def post(place: Place, body: Any) -> Any:
    return client_of(place.player_member).post(ADDRESS, body, format="json")


def post_text(place: Place, text: str, address: str = ADDRESS) -> Any:
    return client_of(place.player_member).post(address, text, content_type="text/plain")


def warned(place: Place, first_hole: str, head: str = HEAD) -> list[tuple[str, int | None, int | None, str]]:
    response = post_text(place, text_of(first_hole, head), f"{ADDRESS}/check")
    assert response.status_code == 200, response.content
    return [(w["code"], w["hole"], w["shot"], w["did_you_mean"]) for w in response.json()["warnings"]]


@pytest.mark.parametrize(
    ("hole", "code", "shot", "meant"),
    [
        ("T38 F150 G18 G2", "tee_distance_unlike_hole", 1, "T380"),
        ("T390 F500 G18 G2", "farther_than_hole", 2, "F50"),
        ("T390 F15 G18 G2", "shot_too_long", 2, "F150"),
        ("T390 F150 R260 G18 G2", "away_from_hole", 3, ""),
        ("T390 F150 G180 G2", "very_long_putt", 3, "G18"),
        ("T390+1sd F200 G18 G2", "replayed_from_elsewhere", 2, "T390"),
        ("T390+2sd T390 F150 G18 G2", "unusual_penalty", 1, "+1sd"),
        ("T390+2sd F180 G18 G2", "unusual_penalty", 1, "+2ot"),
        ("T390 F150 G18 G2 =4/3", "putts_disagree", None, "2"),
        ("T390 F150 G18 G2 pen1", "penalties_disagree", None, "pen0"),
        ("T390 F150 R40 R30 x3", "score_below_shots", None, ""),
        ("=4/4", "no_stroke_to_the_green", None, ""),
        ("T390 F150 G18 G2 fw-", "fairway_disagrees", None, "fw+"),
        ("T390 R150 G18 G2 fw+", "fairway_disagrees", None, "fw-"),
        ("T390 F150 R20 G18 G2 gir+", "green_disagrees", None, "gir-"),
        ("=6/2 gir+", "green_disagrees", None, "gir-"),
        ("T390(left,right) F150 G18 G2", "said_twice", 1, "left"),
        ("T390 F150 G18 G2 =4 =5", None, None, ""),
        ("T390(driver) F150(lfet) G18 G2", "unknown_club", 2, "left"),
        ("T390(drivr) F150 G18 G2", "unknown_club", 1, "driver"),
    ],
)
def test_what_looks_wrong_is_told_with_its_place(
    place: Place, hole: str, code: str | None, shot: int | None, meant: str
) -> None:
    if code is None:  # a score that the shots contradict stays a fault
        assert post_text(place, text_of(hole)).status_code == 422
        return
    assert warned(place, hole) == [(code, 1, shot, meant)]


@pytest.mark.parametrize(
    "hole",
    [
        "T390 F150 G18 G2",
        "T390(driver) F150(7i) G18(putter) G2 =4/2 fw+ gir+ pen0",
        "T360 R150(60) S20(56°) G18 G2 fw- gir-",
        "T390+1sd T390 F150 G18 G2",
        "T390 R150+1ld R160 G18 G2",
        "T390 F150 E8(putter) G2 =4/2",
        "T390 R100 R20 R50 G18 x8",
        "=5/2 gir-",
        "=3/0",
    ],
)
def test_ordinary_golf_is_not_doubted(place: Place, hole: str) -> None:
    assert warned(place, hole) == []


def test_every_doubt_of_a_round_stands_beside_its_faults(place: Place) -> None:
    text = text_of("T38 F150 G18 G2").replace("\n2 =5/2", "\n2 =2/3")
    answer = post_text(place, text)
    assert answer.status_code == 422
    assert [fault["code"] for fault in answer.json()["errors"]] == ["more_putts_than_score"]
    assert [one["code"] for one in answer.json()["warnings"]] == ["tee_distance_unlike_hole"]


def test_looking_at_a_round_saves_nothing(place: Place) -> None:
    answer = post_text(place, text_of("t390(7I, left) f150 g18 g2"), f"{ADDRESS}/check").json()
    assert (answer["holes_played"], answer["score"]) == (18, 4 + 17 * 5)
    assert "1 T390(7-iron,left) F150 G18 G2 =4/2" in answer["notation"]
    with club_scope(place.club.id):
        assert not Round.objects.exists()


def test_warnings_are_saved_and_stay_dismissed_while_the_value_is_the_same(place: Place) -> None:
    client = client_of(place.player_member)
    posted = post_text(place, text_of("T38 F500 G18 G2")).json()
    address = f"{ADDRESS}/{posted['id']}"
    first, second = posted["warnings"]
    assert (first["said"], first["pointer"]) == ("T38", "/holes/0/shots/0/distance")
    assert client.get(address).json()["warnings"] == posted["warnings"]

    dismissed = client.put(
        f"{address}/dismissed-warnings", {"warnings": [first["id"], second["id"]]}, format="json"
    ).json()
    assert [one["dismissed"] for one in dismissed["warnings"]] == [True, True]
    corrected = client.put(
        address, text_of("T38 F480 G18 G2"), content_type="text/plain", headers={"If-Match": '"1"'}
    ).json()
    assert [(one["said"], one["dismissed"]) for one in corrected["warnings"]] == [
        ("T38", True),
        ("F480", False),
    ]
    unknown = client.put(f"{address}/dismissed-warnings", {"warnings": ["?"]}, format="json")
    assert unknown.json()["errors"][0]["pointer"] == "/warnings/0"


def test_a_correction_elsewhere_keeps_what_was_said_of_the_holes(place: Place) -> None:
    client = client_of(place.player_member)
    posted = post_text(place, text_of("T390(left,right) F150 G18 G2 =4/3")).json()
    assert {one["code"] for one in posted["warnings"]} == {"said_twice", "putts_disagree"}
    patched = client.patch(
        f"{ADDRESS}/{posted['id']}", {"note": "windy"}, format="json", headers={"If-Match": '"1"'}
    ).json()
    assert {one["code"] for one in patched["warnings"]} == {"said_twice", "putts_disagree"}


def test_a_round_like_one_already_there_offers_the_earlier_one(place: Place) -> None:
    first, second = post(place, round_body()).json(), post(place, round_body()).json()
    assert first["warnings"] == []
    [warning] = second["warnings"]
    assert (warning["code"], warning["earlier_round"]) == ("like_another_round", first["id"])
    another = round_body(played_on="2026-06-15")
    assert post(place, another).json()["warnings"] == []
    client = client_of(place.player_member)
    assert client.delete(f"{ADDRESS}/{first['id']}", headers={"If-Match": '"1"'}).status_code == 204
    assert client.get(f"{ADDRESS}/{second['id']}").json()["warnings"] == []


@pytest.mark.parametrize(
    ("change", "like"),
    [({"note": "windy"}, True), ({"played_on": "2026-06-15"}, False), ({"tee": "Red"}, False)],
)
def test_a_round_is_like_another_until_that_is_corrected(
    place: Place, change: dict[str, str], like: bool
) -> None:
    with club_scope(place.club.id):
        factories.make_tee_set(Course.objects.get(), "Red")
    first, second = post(place, round_body()).json(), post(place, round_body()).json()
    client = client_of(place.player_member)
    corrected = client.patch(f"{ADDRESS}/{first['id']}", change, format="json", headers={"If-Match": '"1"'})
    assert corrected.status_code == 200
    told = client.get(f"{ADDRESS}/{second['id']}").json()["warnings"]
    assert [one["code"] for one in told] == ["like_another_round"] * like


def test_pars_that_do_not_sum_to_the_rated_par(place: Place) -> None:
    with club_scope(place.club.id):
        Rating.objects.filter(section="18").update(par=71)
    [warning] = post(place, round_body()).json()["warnings"]
    assert (warning["code"], warning["said"], warning["did_you_mean"]) == ("par_unlike_rating", "72", "71")


def test_a_club_is_kept_under_one_name(place: Place) -> None:
    post_text(place, text_of("T390(Driver) F150(7 iron) R60(LW) G18 G2"))
    post_text(place, text_of("T390(d) F150(7I) R60(lob wedge) G18 G2"))
    with club_scope(place.club.id):
        clubs = Shot.objects.exclude(club_used="").order_by("id").values_list("club_used", flat=True)
        assert sorted(set(clubs)) == ["7-iron", "driver", "lob-wedge"]


def test_a_players_own_word_for_a_club(place: Place) -> None:
    client = client_of(place.player_member)
    posted = post_text(place, text_of("T390(Old Faithful) F150 G18 G2")).json()
    assert [one["said"] for one in posted["warnings"]] == ["old-faithful"]
    words = f"/api/v1/players/{place.player.id}/bag-words"
    assert client.post(words, {"word": "7i", "club": "8i"}, format="json").status_code == 422
    added = client.post(words, {"word": "Old Faithful", "club": "5 Wood"}, format="json")
    assert added.json()["club"] == "5-wood"
    again = client.get(f"{ADDRESS}/{posted['id']}").json()
    assert again["warnings"] == []
    assert again["round"]["holes"][0]["shots"][0]["club"] == "5-wood"
    later = post_text(place, text_of("T390(old faithful) F150 G20 G2", HEAD.replace("14", "15"))).json()
    assert later["warnings"] == []
    assert client.get(words).json()["results"][0]["word"] == "old-faithful"


def test_a_club_is_doubted_once(place: Place) -> None:
    assert len(post_text(place, text_of("T390(chipper) F150(chipper) G18 G2")).json()["warnings"]) == 1
    later = text_of("T390(chipper) F150 G18 G2", HEAD.replace("14", "15"))
    assert post_text(place, later).json()["warnings"] == []


@pytest.mark.parametrize("handicap", [5.0, 28.0])
def test_simulated_golf_is_hardly_ever_doubted(place: Place, handicap: float) -> None:
    """False alarms: one in ten rounds at most has a warning, though a high handicap hits backwards at times."""
    with club_scope(place.club.id):
        rounds = play_rounds(place.player_member, place.player, 20, handicap)
        assert sum(bool(round_.warnings) for round_ in rounds) <= 2, [one.warnings for one in rounds]
