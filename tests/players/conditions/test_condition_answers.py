"""What players, coaches and staff are told about conditions, and who is told."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from courses.greens import services as greens
from courses.greens.models import GreenWork, RecoveryTime
from courses.greens.services import GreenWorkBody
from courses.layout.models import Course
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.outbox.work import handlers
from golfstats.ground.walls.scope import club_scope
from players.conditions.models import ConditionEffect, RoundNote
from players.conditions.refresh import refresh_rounds
from players.figures.models import RoundFigures
from players.rounds.input import RoundInput
from players.rounds.models import Round
from tests.factories import round_body
from tests.players.conditions.conftest import MAY_CORING, SPRING_CORING, GreenClub
from tests.players.conditions.green_golf import days, play, simulated_round, work_off
from tests.players.conftest import Place, client_of
from tests.web.conftest import signed_in


def get(member: Any, path: str) -> Any:
    return client_of(member).get(f"/api/v1/{path}")


def test_the_effect_falls_with_the_days_and_says_what_it_rests_on(fitted_club: GreenClub) -> None:
    answer = get(fitted_club.place.coach, "condition-effect").json()
    assert (answer["rounds"], answer["days"], answer["claimed"]) == (16, 8, True)
    assert answer["chance_it_costs"] > 0.9
    (coring,) = answer["kinds"]
    assert (coring["kind"], coring["rounds"], coring["known"]) == ("coring_medium", 16, True)
    assert coring["perhaps"]["high"] > coring["perhaps"]["low"] > 0
    # Sixteen rounds of two members claim that it costs, and give no size.
    assert [entry["days_after"] for entry in coring["strokes_a_round"]] == [0, 7, 14, 21, 28]
    assert coring["strokes_a_round"][0]["strokes"]["enough"] is False
    assert [(window["first_day"], window["last_day"]) for window in coring["windows"]] == [
        (0, 3),
        (4, 7),
        (8, 14),
        (15, 21),
    ]
    assert answer["courses"] == [{"course": str(fitted_club.course.id), "rounds": 16, "known": True}]
    assert answer["elsewhere"]["low"] < coring["perhaps"]["low"]
    assert answer["cannot_tell"]
    # Every round of these two has the same plain approaches: the long game was no worse then.
    assert answer["tee_to_green"]["low"] < 0 < answer["tee_to_green"]["high"]


def test_staff_are_told_green_by_green_how_little_is_known(fitted_club: GreenClub) -> None:
    address = f"courses/{fitted_club.course.id}/cost-by-green"
    answer = get(fitted_club.place.greenkeeper, address).json()
    assert [one["green"] for one in answer["results"]] == list(range(1, 19))
    # Sixteen rounds met each disturbed green at most once: far from enough for any of them.
    for one in answer["results"]:
        assert one["strokes"]["enough"] is False
        assert one["strokes"]["minimum_n"] > one["strokes"]["n"]
        assert one["perhaps"]["low"] < one["perhaps"]["high"]
    assert answer["words"].startswith("Too few putts on any one green")
    assert get(fitted_club.place.player_member, address).status_code == 403
    page = signed_in(fitted_club.place.greenkeeper).get(
        f"/clubs/{fitted_club.place.club.slug}/courses/{fitted_club.course.id}"
    )
    assert "Which greens does it cost most on?" in page.content.decode()
    assert "Too few putts on any one green" in page.content.decode()


def test_a_club_with_too_few_rounds_is_told_so(place: Place) -> None:
    with club_scope(place.club.id):
        play(place.manager, [simulated_round(np.random.default_rng(1), place.player, dt.date(2026, 6, 1))])
        work_off("condition_effect")
    answer = get(place.player_member, "condition-effect").json()
    assert (answer["enough"], answer["chance_it_costs"], answer["claimed"]) == (False, None, False)
    assert answer["at_full_disturbance"]["words"].startswith("too few: 0 of at least 12")
    assert answer["elsewhere"] == {"low": 0.0, "high": 1.8}
    contexts = get(place.player_member, "context-effects").json()["results"]
    assert {context["strokes"]["value"] for context in contexts} == {None}


def test_before_anything_was_fitted(place: Place) -> None:
    answer = get(place.player_member, "condition-effect").json()
    assert (answer["fitted_at"], answer["enough"], answer["kinds"]) == (None, False, [])
    assert get(place.player_member, "context-effects").json()["results"] == []


def test_a_window_shows_raw_owed_and_adjusted(green_club: GreenClub) -> None:
    place = green_club.place
    answer = get(place.other_member, f"players/{place.other_player.id}/condition-adjusted?last=7").json()
    assert answer["window"] == {"rounds": 7, "left_out": 0}
    putting = answer["putting"]
    assert putting["raw"]["value"] < putting["adjusted"]["value"]
    assert putting["owed"]["low"] <= putting["owed"]["value"] <= putting["owed"]["high"]
    listed = [one["putting"]["raw"]["value"] for one in answer["rounds"]]
    assert putting["raw"]["value"] == pytest.approx(np.mean(listed), abs=1e-3)
    owed = [one["putting"]["owed"]["value"] for one in answer["rounds"]]
    assert putting["owed"]["value"] == pytest.approx(np.mean(owed), abs=1e-3)
    undisturbed = get(place.other_member, f"players/{place.other_player.id}/condition-adjusted?last=3").json()
    assert undisturbed["putting"]["owed"]["value"] == 0
    assert undisturbed["putting"]["adjusted"] == undisturbed["putting"]["raw"]


def test_the_page_tells_what_the_greens_took_with_every_interval(green_club: GreenClub) -> None:
    place = green_club.place
    address = f"players/{place.other_player.id}"

    def sentences(last: int) -> str:
        answer = get(place.other_member, f"{address}/condition-adjusted?last={last}").json()
        raw, owed, adjusted = (answer["putting"][name]["words"] for name in ("raw", "owed", "adjusted"))
        page = signed_in(place.other_member).get(f"/clubs/{place.club.slug}/{address}/greens?last={last}")
        return page.content.decode().replace(raw, "RAW").replace(owed, "OWED").replace(adjusted, "ADJUSTED")

    assert (
        "As it was: RAW; the greens took OWED of all members on disturbed greens. Without that: ADJUSTED."
        in (sentences(7))
    )
    assert "RAW, none of it on disturbed greens." in sentences(3)


def test_undisturbed_rounds_are_whole_even_where_nothing_is_known(place: Place) -> None:
    with club_scope(place.club.id):
        (round_,) = play(
            place.manager, [simulated_round(np.random.default_rng(1), place.player, dt.date(2026, 6, 1))]
        )
    answer = get(place.player_member, f"rounds/{round_.id}/condition").json()
    assert (answer["note"], answer["disturbance"], answer["putting"]["owed"]["value"]) == ("", 0, 0)
    assert answer["putting"]["adjusted"]["value"] == answer["putting"]["raw"]["value"]


def test_the_recovery_that_the_putts_show_takes_the_place_of_the_usual(green_club: GreenClub) -> None:
    place, course = green_club.place, green_club.course
    day = (SPRING_CORING + dt.timedelta(days=1)).isoformat()
    told = get(place.player_member, f"courses/{course.id}/condition?on={day}").json()["recovery_days"]
    assert told == [{"kind": "coring_medium", "days": 10.0, "known_from": "this club's putts"}]


def test_a_club_that_cannot_say_how_much_names_the_usual_recovery(fitted_club: GreenClub) -> None:
    """Its sixteen rounds claim that coring costs, and do not say how much: nor do they say until when."""
    place, course = fitted_club.place, fitted_club.course
    with club_scope(place.club.id):
        assert not RecoveryTime.objects.exists()
    day = (MAY_CORING + dt.timedelta(days=1)).isoformat()
    told = get(place.player_member, f"courses/{course.id}/condition?on={day}").json()["recovery_days"]
    assert told == [{"kind": "coring_medium", "days": 10.5, "known_from": "usual"}]


def test_what_another_release_fitted_is_fitted_anew_in_the_night(fitted_club: GreenClub) -> None:
    """A club whose members had stopped posting was told the old recovery days for ever."""
    club = fitted_club.place.club
    with club_scope(club.id):
        OutstandingWork.objects.filter(kind="condition_effect").delete()
        handlers["audit"].work(str(club.id))
        assert not OutstandingWork.objects.filter(kind="condition_effect").exists()
        row = ConditionEffect.objects.get()
        row.document |= {"edition": "of an older release"}
        row.document["greens"]["recovery"] = {"coring_medium": [29.0, 22.0, 38.0]}
        row.save()
        handlers["audit"].work(str(club.id))
        assert work_off("condition_effect") == [str(club.id)]
    answer = get(fitted_club.place.coach, "condition-effect").json()
    assert answer["kinds"][0]["recovery_days"]["value"] != 29.0


def test_a_course_that_was_never_cored_is_told_nothing_of_another_as_its_own(fitted_club: GreenClub) -> None:
    """Its page said of the other course's rounds that members lose so many putts here."""
    place, coach = fitted_club.place, Client()
    coach.force_login(place.coach.user)
    home, there = (
        coach.get(f"/clubs/{place.club.slug}/courses/{course.id}").content.decode()
        for course in (fitted_club.course, fitted_club.other_course)
    )
    assert "such work costs members here strokes; too few rounds to say how many" in home
    assert "what such work costs on this course is unknown (0 rounds after it)" in there
    assert "members here lose" not in there
    assert "without work" not in there
    answer = get(place.coach, "condition-effect").json()
    assert answer["courses"][0]["course"] == str(fitted_club.course.id)


def test_staff_learn_what_their_work_cost_and_when_the_greens_were_back(green_club: GreenClub) -> None:
    place = green_club.place
    with club_scope(place.club.id):
        work = GreenWork.objects.get(starts_on=SPRING_CORING)
    path = f"courses/{green_club.course.id}/green-work/{work.id}/cost"
    assert [get(member, path).status_code for member in (place.player_member, place.coach)] == [403, 403]
    cost = get(place.greenkeeper, path).json()
    assert cost["rounds"] == 4
    assert cost["strokes"]["low"] > 0
    # Four rounds in the first four days, the disturbance falling from day to day.
    assert cost["first_day"]["value"] * 2 < cost["strokes"]["value"] < cost["first_day"]["value"] * 4
    assert (
        SPRING_CORING.isoformat() < cost["back"]["earliest"] <= cost["back"]["on"] <= cost["back"]["latest"]
    )
    assert cost["back"]["known_from"] == "this club's putts"


def test_work_costs_less_on_some_greens_and_over_nine_holes(green_club: GreenClub) -> None:
    place = green_club.place
    with club_scope(place.club.id):
        work = GreenWork.objects.get(starts_on=SPRING_CORING)
    path = f"courses/{green_club.course.id}/green-work/{work.id}/cost"
    whole = get(place.manager, path).json()["strokes"]["value"]
    with club_scope(place.club.id):
        RoundFigures.objects.update(holes_played=9)
    assert get(place.manager, path).json()["strokes"]["value"] == pytest.approx(whole / 2, rel=1e-3)
    with club_scope(place.club.id):
        GreenWork.objects.update(holes=[1, 2, 3])
    assert get(place.manager, path).json()["strokes"]["value"] == pytest.approx(whole / 12, rel=1e-3)


def test_work_on_which_nobody_has_played_cost_nothing_yet(green_club: GreenClub) -> None:
    place = green_club.place
    with club_scope(place.club.id):
        work = GreenWork.objects.create(
            course=green_club.course, kind="rolling", starts_on="2030-01-01", ends_on="2030-01-01", uid="r"
        )
    answer = get(place.manager, f"courses/{green_club.course.id}/green-work/{work.id}/cost").json()
    assert (answer["rounds"], answer["strokes"]["value"]) == (0, 0)


def test_putting_against_chipping_is_too_few_until_there_are_enough(place: Place) -> None:
    with club_scope(place.club.id):
        course = Course.objects.get()
    answer = get(place.player_member, f"courses/{course.id}/around-the-green").json()
    assert answer["strokes_gained"]["words"] == "too few: 0 of at least 30 shots"


def test_expected_putts_of_the_day(green_club: GreenClub) -> None:
    """On the day of the coring more than usual, the more the longer the putt; long before it as usual."""
    path = f"courses/{green_club.course.id}/expected-putts"
    cored = get(green_club.place.player_member, f"{path}?on={SPRING_CORING}").json()["results"]
    extra = {row["distance_ft"]: row["today"]["value"] - row["usual"] for row in cored}
    assert 0 < extra[3] < extra[8] < extra[20]
    assert all(row["today"]["low"] > row["usual"] for row in cored)
    before = get(green_club.place.player_member, f"{path}?on=2026-03-01").json()["results"]
    assert all(row["today"]["value"] == pytest.approx(row["usual"], abs=1e-3) for row in before)


def test_whose_rounds_may_be_seen(green_club: GreenClub) -> None:
    """A player his own, a coach his squad's, a manager all, a greenkeeper none: 404, never 403."""
    place = green_club.place
    with club_scope(place.club.id):
        own = Round.objects.filter(player=place.player).first()
        others = Round.objects.filter(player=place.other_player).first()
    paths = [
        f"rounds/{own.id}/condition",
        f"rounds/{others.id}/condition",
        f"players/{place.player.id}/condition-adjusted",
        f"players/{place.other_player.id}/condition-adjusted",
        f"squads/{place.squad.id}/condition-adjusted",
    ]
    seen = {
        member.role: [get(member, path).status_code for path in paths]
        for member in (place.player_member, place.coach, place.manager, place.greenkeeper)
    }
    assert seen == {
        "player": [200, 404, 200, 404, 404],
        "coach": [200, 404, 200, 404, 200],
        "manager": [200] * 5,
        "greenkeeper": [404] * 5,
    }


def test_queries_do_not_grow_with_rounds(green_club: GreenClub) -> None:
    place = green_club.place
    paths = [
        f"players/{place.player.id}/condition-adjusted?last={{}}",
        f"squads/{place.squad.id}/condition-adjusted?last={{}}",
    ]

    def queries(last: int) -> list[int]:
        counts = []
        for path in paths:
            with CaptureQueriesContext(connection) as found:
                assert get(place.manager, path.format(last)).status_code == 200
            counts.append(len(found))
        return counts

    assert queries(2) == queries(30)


def test_queries_of_the_analysis_do_not_grow_with_rounds(place: Place) -> None:
    rng = np.random.default_rng(2)
    with club_scope(place.club.id):
        play(
            place.manager,
            [simulated_round(rng, place.player, day) for day in days(dt.date(2026, 6, 1), 1, 8)],
        )
        ids = list(Round.objects.values_list("id", flat=True))
        counts = []
        for some in (ids[:1], ids):
            with CaptureQueriesContext(connection) as found:
                refresh_rounds(some)
            counts.append(len(found))
    assert counts[0] == counts[1]


def test_the_same_fit_twice_says_the_same(fitted_club: GreenClub) -> None:
    with club_scope(fitted_club.place.club.id):
        before = ConditionEffect.objects.get().document
        handlers["condition_effect"].work(str(fitted_club.place.club.id))
        assert ConditionEffect.objects.get().document == before


def test_what_holds_at_home_is_not_said_of_another_course(green_club: GreenClub) -> None:
    """Nobody has putted on the other course after such work: its note and its work say "unknown"."""
    place, other = green_club.place, green_club.other_course
    with club_scope(place.club.id):
        work = greens.add_work(
            place.greenkeeper, other, GreenWorkBody(kind="coring_medium", starts_on=SPRING_CORING)
        )
        (round_,) = play(
            place.manager,
            [simulated_round(np.random.default_rng(3), place.player, SPRING_CORING, course=other.name)],
        )
        work_off("greens_changed")
    condition = get(place.player_member, f"rounds/{round_.id}/condition").json()
    assert "on this course is unknown" in condition["note"]
    assert "members here lose" not in condition["note"]
    putting = condition["putting"]
    assert putting["raw"]["value"] is not None
    assert (putting["owed"]["value"], putting["adjusted"]["value"]) == (None, None)
    cost = get(place.greenkeeper, f"courses/{other.id}/green-work/{work.id}/cost").json()
    assert (cost["known"], cost["first_day"]["value"]) == (False, None)
    assert cost["perhaps"]["low"] < 3 < cost["perhaps"]["high"]


def test_a_penalty_on_the_green_is_not_putting(place: Place) -> None:
    """The same putts with and without a penalty stroke: the same putting, although the hole cost one more."""
    body = round_body(place.player, played_on="2026-06-01")
    shots = body["holes"][0]["shots"]
    first_putt = next(number for number, shot in enumerate(shots) if shot["lie"] == "green")
    with club_scope(place.club.id):
        (clean,) = play(place.manager, [RoundInput.model_validate(body)])
        shots[first_putt] |= {"penalty_strokes": 1, "penalty_kind": "lateral_drop"}
        body |= {"played_on": "2026-06-02"}
        (marked,) = play(place.manager, [RoundInput.model_validate(body)])
        scores = [RoundFigures.objects.get(round=round_).score for round_ in (clean, marked)]
    raw = [
        get(place.player_member, f"rounds/{round_.id}/condition").json()["putting"]["raw"]["value"]
        for round_ in (clean, marked)
    ]
    assert scores[1] == scores[0] + 1
    assert raw[1] == raw[0]


def test_notes_are_told_again_when_the_effect_is_fitted_again(green_club: GreenClub) -> None:
    """Another effect, the same rounds: the note of a round on cored greens says the new one."""
    place = green_club.place
    with club_scope(place.club.id):
        before = {note.round_id: note.text for note in RoundNote.objects.all()}
        ConditionEffect.objects.all().delete()
        work_off("condition_effect")
        after = {note.round_id: note.text for note in RoundNote.objects.all()}
    assert before
    assert before.keys() == after.keys()
    assert all("members here lose" in text for text in before.values())
    assert all("too few rounds on disturbed greens" in text.lower() for text in after.values())


def test_an_effect_stored_in_a_former_form_is_none_until_the_next_fit(green_club: GreenClub) -> None:
    place = green_club.place
    with club_scope(place.club.id):
        ConditionEffect.objects.update(document={"greens": {"rounds": 41}, "kinds": {}, "contexts": []})
    answer = get(place.player_member, "condition-effect").json()
    assert (answer["fitted_at"], answer["enough"]) == (None, False)
    with club_scope(place.club.id):
        work_off("condition_effect")
    assert get(place.player_member, "condition-effect").json()["fitted_at"] is not None
