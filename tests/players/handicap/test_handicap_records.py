"""The handicap record as a club sees it: posted, corrected, back-dated, decided upon, explained.

Differentials and indexes are worked by hand from the Rules of Handicapping 2024 (rule numbers beside each check).
"""

from __future__ import annotations

import datetime as dt
import threading
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from courses.layout.models import Course, PlayingConditions, TeeSet
from golfstats.calc.handicap import PUBLISHED, build_record
from golfstats.ground import clock
from golfstats.ground.clock import today_at
from golfstats.ground.clubs.models import Role
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.outbox.worker import drain
from golfstats.ground.walls.scope import club_scope
from players import kinds
from players.handicap import recompute
from players.handicap.history import load_history
from players.handicap.models import HandicapLine, PlayerHandicap
from players.people.models import Player
from players.rounds.models import Round
from tests import factories
from tests.databases import committed
from tests.factories import PARS
from tests.players.conftest import Place, client_of

FIRST_DAY = dt.date(2026, 4, 1)


def post_total(place: Place, over_par: int, day: int, **fields: Any) -> Round:
    """An 18-hole round of hole scores, so many strokes over par 72, at most one on a hole."""
    extra = [1 if number < over_par else 0 for number in range(18)]
    holes = [{"number": n + 1, "score": PARS[n] + extra[n]} for n in range(18)]
    played_on = FIRST_DAY + dt.timedelta(days=day)
    return factories.make_round(place.player_member, place.player, played_on, holes=holes, **fields)


def record(place: Place) -> dict[str, Any]:
    drain()
    return client_of(place.player_member).get(f"/api/v1/players/{place.player.id}/handicap").json()


def differentials(body: dict[str, Any]) -> list[str]:
    """Oldest first."""
    return [line["differential"] for line in reversed(body["record"])]


def test_three_scores_make_an_index(place: Place) -> None:
    """(113/126) x (AGS - 71.7), Rule 5.1a; with three scores the lowest less 2.0, Rule 5.2a."""
    with club_scope(place.club.id):
        for day, over in enumerate([8, 12, 10]):
            post_total(place, over, day)
    body = record(place)
    assert body["official"] is False
    assert "official" in body["notice"]
    assert differentials(body) == ["7.4", "11.0", "9.2"]
    assert (body["index"], body["shown"], body["low_index"]) == ("5.4", "5.4", None)


def test_late_post_takes_its_place_in_order_of_play(place: Place) -> None:
    """Rule 4.3: a score entered late goes into date order, and everything after it is computed again."""
    with club_scope(place.club.id):
        for day, over in [(0, 8), (10, 12), (20, 10)]:
            post_total(place, over, day)
    before = record(place)
    with club_scope(place.club.id):
        post_total(place, 5, 5)
    after = record(place)
    assert differentials(after) == ["7.4", "4.8", "11.0", "9.2"]
    assert before["index"] == "5.4"
    assert after["index"] == "3.8"  # four scores: the lowest, 4.8, less 1.0


def test_deleting_and_correcting_recompute(place: Place) -> None:
    with club_scope(place.club.id):
        rounds = [post_total(place, over, day) for day, over in enumerate([8, 12, 10, 3])]
    assert record(place)["index"] == "2.0"  # 3 over is a differential of 3.0, less 1.0
    client = client_of(place.player_member)
    assert client.delete(f"/api/v1/rounds/{rounds[3].id}", headers={"If-Match": "*"}).status_code == 204
    assert record(place)["index"] == "5.4"
    assert (
        client.patch(
            f"/api/v1/rounds/{rounds[0].id}", {"counting": False}, format="json", headers={"If-Match": "*"}
        ).status_code
        == 200
    )
    body = record(place)
    assert (body["index"], differentials(body)) == (None, ["11.0", "9.2"])


def test_rounds_posted_for_one_another_are_put_right(place: Place) -> None:
    """Each player's record is folded while the round still stands on the other's."""
    players = (place.player, place.other_player)
    with club_scope(place.club.id):
        rounds = [factories.make_round(place.manager, player, FIRST_DAY) for player in players]
    drain()
    client = client_of(place.manager)
    for round_, owner in zip(rounds, reversed(players), strict=True):
        tag = client.get(f"/api/v1/rounds/{round_.id}")["ETag"]
        corrected = client.patch(
            f"/api/v1/rounds/{round_.id}", {"player": str(owner.id)}, format="json", headers={"If-Match": tag}
        )
        assert corrected.status_code == 200
    drain()
    stands = {
        str(player.id): [
            line["round"] for line in client.get(f"/api/v1/players/{player.id}/handicap").json()["record"]
        ]
        for player in players
    }
    assert stands == {
        str(place.player.id): [str(rounds[1].id)],
        str(place.other_player.id): [str(rounds[0].id)],
    }
    assert not OutstandingWork.objects.filter(kind=kinds.HANDICAP).exists()


def test_playing_conditions_of_the_part_of_day(place: Place) -> None:
    """Rule 5.6: the day's PCC counts for every score of that day; here the afternoon had one of its own."""
    with club_scope(place.club.id):
        course = Course.objects.get()
        post_total(place, 8, 0, start_time="09:00")
        post_total(place, 8, 0, start_time="14:00")
        post_total(place, 8, 1)
        for part, pcc in [("day", 1), ("afternoon", 3)]:
            PlayingConditions.objects.create(
                course=course, played_on=FIRST_DAY, part_of_day=part, pcc=pcc, origin="invented"
            )
    # (113/126) x (80 - 71.7 - 1) = 6.55 -> 6.5; with PCC 3: 4.75 -> 4.8; without: 7.4
    assert differentials(record(place)) == ["6.5", "4.8", "7.4"]


def test_one_number_explains_itself_line_by_line(place: Place) -> None:
    with club_scope(place.club.id):
        rounds = [post_total(place, over, day) for day, over in enumerate([8, 12, 10])]
    drain()
    address = f"/api/v1/players/{place.player.id}/handicap/{rounds[2].id}"
    body = client_of(place.player_member).get(address).json()
    assert body["official"] is False
    assert body["holes"][0] | {"note": ""} == {
        "number": 1,
        "par": 4,
        "stroke_index": 7,
        "strokes_received": 0,
        "score": 5,
        "maximum": 9,
        "maximum_rule": "3.1a",
        "maximum_why": body["holes"][0]["maximum_why"],
        "adjusted": 5,
        "note": "",
    }
    rules = [step["rule"] for step in body["steps"]]
    assert rules[0] == "2.2a"
    assert {"5.1a", "5.2a"} <= set(rules)
    assert body["steps"][-1]["value"] == "5.4"


def test_course_and_playing_handicaps_on_each_tee(place: Place) -> None:
    """5.4 x 126/113 + (71.7 - 72) = 5.72 -> 6; stroke play at 95% of 5.72 = 5.44 -> 5 (Rules 6.1a, 6.2a)."""
    with club_scope(place.club.id):
        for day, over in enumerate([8, 12, 10]):
            post_total(place, over, day)
        course = Course.objects.get()
    drain()
    address = f"/api/v1/courses/{course.id}/handicaps?player={place.player.id}"
    [tee] = client_of(place.player_member).get(address).json()["tees"]
    whole = next(section for section in tee["sections"] if section["section"] == "18")
    assert whole["course_handicap"] == 6
    playing = {one["format"]: one["playing_handicap"] for one in whole["playing_handicaps"]}
    assert playing["stroke_play"] == 5
    # Nine holes: half of 5.4 is 2.7; 2.7 x 126/113 + (35.9 - 36) = 2.91 -> 3 (Rule 6.1b)
    front = next(section for section in tee["sections"] if section["section"] == "front")
    assert front["course_handicap"] == 3


def test_what_would_i_need_to_shoot_is_what_then_happens(place: Place) -> None:
    with club_scope(place.club.id):
        for day, over in enumerate([8, 12, 10]):
            post_total(place, over, day)
        tee = TeeSet.objects.get()
    drain()
    address = f"/api/v1/players/{place.player.id}/handicap/targets?tee={tee.id}"
    targets = client_of(place.player_member).get(address).json()["targets"]
    promised = next(one for one in targets if one["lowest"] <= 76 <= one["highest"])
    with club_scope(place.club.id):
        post_total(place, 4, 30)
    assert record(place)["index"] == promised["index"]


def test_committee_decision_is_logged_has_effect_and_is_withdrawn(place: Place) -> None:
    """Rule 7.1a: the same amount on each of the recent scores."""
    with club_scope(place.club.id):
        for day, over in enumerate([8, 12, 10]):
            post_total(place, over, day)
    drain()
    manager = client_of(place.manager)
    address = f"/api/v1/players/{place.player.id}/committee-actions"
    body = {
        "kind": "adjust_scores",
        "effective_on": "2026-05-01",
        "value": "-1.0",
        "reason": "Evidence from matches.",
    }
    made = manager.post(address, body, format="json")
    assert made.status_code == 201, made.content
    assert (made.json()["index_before"], made.json()["decided_by"]) == ("5.4", "manager")
    assert record(place)["index"] == "4.4"
    withdrawn = manager.delete(f"{address}/{made.json()['id']}")
    assert withdrawn.json()["withdrawn_by"] == "manager"
    assert record(place)["index"] == "5.4"
    assert len(manager.get(address).json()["results"]) == 1


def test_a_decision_holds_from_its_first_day_to_its_last_though_nobody_plays(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    with club_scope(place.club.id):
        for day, over in enumerate([8, 12, 10]):
            post_total(place, over, day)
    tomorrow = today_at(place.club) + dt.timedelta(days=1)
    body = {
        "kind": "freeze_index",
        "effective_on": tomorrow.isoformat(),
        "expires_on": (tomorrow + dt.timedelta(days=1)).isoformat(),
        "value": "9.0",
        "reason": "Until the committee has met.",
    }
    address = f"/api/v1/players/{place.player.id}/committee-actions"
    assert client_of(place.manager).post(address, body, format="json").status_code == 201
    assert record(place)["index"] == "5.4"
    assert _index_when_a_decision_is_due(place, monkeypatch) == (tomorrow, "9.0")
    assert _index_when_a_decision_is_due(place, monkeypatch) == (tomorrow + dt.timedelta(days=2), "5.4")
    assert not OutstandingWork.objects.filter(kind=recompute.DECISION_DUE).exists()


def _index_when_a_decision_is_due(place: Place, monkeypatch: pytest.MonkeyPatch) -> tuple[dt.date, str]:
    due = OutstandingWork.objects.get(kind=recompute.DECISION_DUE)
    moment = due.due_at
    assert moment is not None
    monkeypatch.setattr(clock, "now", lambda: moment)
    OutstandingWork.objects.filter(id=due.id).update(due_at=timezone.now())
    return today_at(place.club), record(place)["index"]


def test_a_penalty_score_on_an_empty_record_is_told_and_counts_nothing(place: Place) -> None:
    """Rule 7.1b takes the lowest of the recent differentials; there is none."""
    body = {"kind": "low_penalty_score", "effective_on": "2026-05-01", "reason": "A score was not returned."}
    address = f"/api/v1/players/{place.player.id}/committee-actions"
    assert client_of(place.manager).post(address, body, format="json").status_code == 201
    found = record(place)
    assert (found["index"], len(found["record"])) == (None, 1)
    (line,) = found["record"]
    assert (line["round"], line["differential"]) == (None, None)


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        ({"kind": "promote"}, "/kind"),
        ({"value": None}, "/value"),
        ({"value": "0.5"}, "/value"),
        ({"kind": "freeze_index", "expires_on": "2026-01-01"}, "/expires_on"),
        ({"kind": "override_exceptional", "round": "01980000-0000-7000-8000-000000000001"}, "/round"),
        ({"reason": ""}, "/reason"),
    ],
)
def test_decision_that_cannot_be_recorded(place: Place, change: dict[str, Any], pointer: str) -> None:
    body = {
        "kind": "adjust_scores",
        "effective_on": "2026-05-01",
        "value": "-1.0",
        "reason": "Evidence.",
    } | change
    address = f"/api/v1/players/{place.player.id}/committee-actions"
    response = client_of(place.manager).post(address, body, format="json")
    assert response.status_code == 422
    assert pointer in [fault["pointer"] for fault in response.json()["errors"]]


def test_only_a_manager_decides(place: Place) -> None:
    body = {"kind": "adjust_scores", "effective_on": "2026-05-01", "value": "-1.0", "reason": "Evidence."}
    address = f"/api/v1/players/{place.player.id}/committee-actions"
    assert client_of(place.coach).post(address, body, format="json").status_code == 403
    assert client_of(place.other_member).post(address, body, format="json").status_code == 404
    assert client_of(place.other_member).get(address).status_code == 404


def test_round_without_a_rating_is_left_out_and_said_so(place: Place) -> None:
    with club_scope(place.club.id):
        TeeSet.objects.get().ratings.filter(gender="women").delete()
        posted = post_total(place, 8, 0)
    body = record(place)
    assert body["record"] == []
    assert body["left_out"] == [
        {"round": str(posted.id), "reason": "no rating of this tee for the player over 18 holes"}
    ]


def test_history_is_read_in_five_queries_however_long(place: Place, scope: None) -> None:
    counts = []
    for rounds in (range(3), range(3, 15)):
        for day in rounds:
            post_total(place, 8 + day % 5, day)
        with CaptureQueriesContext(connection) as queries:
            history = load_history(place.player.id, today_at(place.club))
            build_record(history.scores, history.actions, PUBLISHED)
        counts.append(len(queries))
    assert counts == [5, 5]


def test_a_score_leaves_the_lines_that_it_does_not_change(place: Place, scope: None) -> None:
    for day in range(26):
        post_total(place, 8 + day % 5, day)
    drain()
    before = dict(HandicapLine.objects.values_list("sequence", "id"))
    post_total(place, 9, 26)
    drain()
    after = dict(HandicapLine.objects.values_list("sequence", "id"))
    assert len(after) == 27
    # Rule 5.2: the index rests on the last 20, of which the oldest has just gone.
    assert {place for place in before if before[place] == after[place]} == set(range(1, 7))


def test_asking_twice_computes_once(place: Place) -> None:
    with club_scope(place.club.id):
        post_total(place, 8, 0)
        post_total(place, 9, 1)
        wanted = OutstandingWork.objects.filter(kind=kinds.HANDICAP, key=str(place.player.id))
        assert wanted.count() == 1


@committed
def test_two_workers_at_once_store_the_same_record(two_clubs: tuple[Any, Any]) -> None:
    club = two_clubs[0]
    with club_scope(club.id):
        factories.make_tee_set(factories.make_course())
        member = factories.make_member(Role.PLAYER)
        player = factories.make_player(member=member)
        for day in range(4):
            factories.make_round(member, player, FIRST_DAY + dt.timedelta(days=day))

    def work() -> None:
        with club_scope(club.id):
            recompute.recompute(player.id)
        connection.close()

    threads = [threading.Thread(target=work) for _ in range(2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with club_scope(club.id):
        assert list(HandicapLine.objects.order_by("sequence").values_list("sequence", flat=True)) == [
            1,
            2,
            3,
            4,
        ]
        assert PlayerHandicap.objects.get().index == Decimal(
            "-0.7"
        )  # 72: 0.3 -> 0.3, less 1.0 with four scores
        assert Player.objects.count() == 1
