"""Green work entered late through the API: the right rounds are told again, only those, and nothing raw changes."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

import pytest

from courses.greens.models import CourseNote
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.outbox.worker import drain
from golfstats.ground.walls.scope import club_scope
from players.coaching.models import PlayerReport
from players.coaching.reports.report import sections
from players.conditions.models import RoundNote
from players.figures.models import RoundFigures, ShotFigures
from players.rounds.input import RoundInput
from players.rounds.models import Round
from tests.factories import round_body
from tests.players.conditions.conftest import LATE_CORING, GreenClub
from tests.players.conditions.green_golf import play, work_off
from tests.players.conftest import client_of

RAW = ("total", "tee", "approach", "short_game", "putting", "putts", "score", "holes_covered", "benchmark")
SURFACE = ("surface_disturbance", "surface_strokes", "surface_low", "surface_high")


def stored(*columns: str) -> dict[tuple[dt.date, str], tuple[Any, ...]]:
    names = ("round__played_on", "round__tee_set__course__name", "round__player__name", *columns)
    return {row[:3]: row[3:] for row in RoundFigures.objects.values_list(*names)}


def notes() -> dict[tuple[dt.date, str], str]:
    names = ("round__played_on", "round__tee_set__course__name", "round__player__name", "text")
    return {row[:3]: row[3] for row in RoundNote.objects.values_list(*names)}


def shot_figures() -> list[tuple[Any, ...]]:
    return sorted(ShotFigures.objects.values_list("shot_id", "part", "strokes_gained"))


def core(club: GreenClub, **changes: Any) -> Any:
    body = {"kind": "coring_medium", "starts_on": LATE_CORING.isoformat()} | changes
    response = client_of(club.place.greenkeeper).post(
        f"/api/v1/courses/{club.course.id}/green-work", body, format="json"
    )
    assert response.status_code == 201, response.content
    return response.json()


def changed(before: dict[Any, Any], after: dict[Any, Any]) -> set[Any]:
    return {key for key in before.keys() | after.keys() if before.get(key) != after.get(key)}


def expected(*days_after: int) -> set[tuple[dt.date, str, str]]:
    return {(LATE_CORING + dt.timedelta(days=days), "Long course", "Ines Aldana") for days in days_after}


def test_the_right_rounds_are_told_again_and_only_those(green_club: GreenClub) -> None:
    with club_scope(green_club.place.club.id):
        raw, shots = stored(*RAW), shot_figures()
        surface, said = stored(*SURFACE), notes()
    core(green_club)
    with club_scope(green_club.place.club.id):
        assert len(work_off("greens_changed")) == 1
        # Cored on the day, and felt five days later; the day before, after recovery, elsewhere: not.
        assert changed(surface, stored(*SURFACE)) == expected(0, 5)
        assert changed(said, notes()) == expected(0, 5)
        assert (stored(*RAW), shot_figures()) == (raw, shots)
        on_the_day = stored(*SURFACE)[LATE_CORING, "Long course", "Ines Aldana"]
    disturbance, strokes, low, high = on_the_day
    assert disturbance == pytest.approx(0.9)  # severity of medium coring
    assert low < strokes < high < 0


@pytest.mark.parametrize("fitted", [False, True])
def test_what_coaches_read_of_a_player_follows_the_greens(green_club: GreenClub, *, fitted: bool) -> None:
    """A slump that the greens explain is no slump on any dashboard, though nobody has played since they were cored."""
    player = green_club.place.player
    with club_scope(green_club.place.club.id):
        drain()
        before = PlayerReport.objects.get(player=player).document
    core(green_club)
    with club_scope(green_club.place.club.id):
        work_off("greens_changed", *(["condition_effect"] if fitted else []), "player_report")
        stored = PlayerReport.objects.get(player=player).document
        assert stored != before
        assert stored == json.loads(json.dumps(sections(player)))


def test_a_fit_in_between_keeps_it_so(fitted_club: GreenClub) -> None:
    """The fit that follows moves what the other cored rounds are owed, but no round on undisturbed greens."""
    with club_scope(fitted_club.place.club.id):
        raw = stored(*RAW)
        undisturbed = {key for key, row in stored(*SURFACE).items() if row[0] == 0}
        surface = stored(*SURFACE)
    core(fitted_club)
    with club_scope(fitted_club.place.club.id):
        work_off("greens_changed", "condition_effect")
        assert changed(surface, stored(*SURFACE)) & undisturbed == expected(0, 5)
        assert stored(*RAW) == raw


def test_a_correction_and_a_deletion_are_followed(green_club: GreenClub) -> None:
    with club_scope(green_club.place.club.id):
        surface, said, course_notes = stored(*SURFACE), notes(), course_days(green_club)
    work = core(green_club)
    address = f"/api/v1/courses/{green_club.course.id}/green-work/{work['id']}"
    with club_scope(green_club.place.club.id):
        work_off("greens_changed")
    later = (LATE_CORING + dt.timedelta(days=3)).isoformat()
    client_of(green_club.place.greenkeeper).patch(
        address, {"starts_on": later, "ends_on": later}, format="json"
    )
    with club_scope(green_club.place.club.id):
        assert len(work_off("greens_changed")) == 2
        assert changed(surface, stored(*SURFACE)) == expected(5)
    client_of(green_club.place.greenkeeper).delete(address)
    with club_scope(green_club.place.club.id):
        work_off("greens_changed")
        assert (stored(*SURFACE), notes(), course_days(green_club)) == (surface, said, course_notes)


def course_days(club: GreenClub) -> dict[dt.date, str]:
    return dict(CourseNote.objects.filter(course=club.course).values_list("day", "text"))


def test_notes_say_what_was_done_what_it_costs_and_from_how_many_rounds(green_club: GreenClub) -> None:
    core(green_club)
    with club_scope(green_club.place.club.id):
        work_off("greens_changed")
        round_ = Round.objects.get(
            played_on=LATE_CORING, tee_set__course=green_club.course, player=green_club.place.player
        )
    player = client_of(green_club.place.player_member)
    day = (LATE_CORING + dt.timedelta(days=1)).isoformat()
    note = player.get(f"/api/v1/courses/{green_club.course.id}/notes?from={day}&to={day}").json()["results"][
        0
    ]
    assert note["text"].startswith(
        "Coring, medium tines on all greens the day before. At this stage members here lose"
    )
    cost = note["figures"]["cost"]
    assert f"lose {cost['value']:.1f} putts a round" in note["text"]
    assert f"90% interval {cost['low']:.1f} to {cost['high']:.1f}, from {cost['n']} rounds" in note["text"]
    condition = player.get(f"/api/v1/rounds/{round_.id}/condition").json()
    assert condition["note"].startswith("Coring, medium tines on all greens that day.")
    putting = condition["putting"]
    assert putting["owed"]["value"] > 0
    assert putting["adjusted"]["value"] == pytest.approx(
        putting["raw"]["value"] + putting["owed"]["value"], abs=2e-4
    )
    with club_scope(green_club.place.club.id):
        figures = RoundFigures.objects.get(round=round_)
    assert putting["raw"]["value"] == pytest.approx(figures.putting, abs=1e-4)
    assert putting["owed"]["value"] == pytest.approx(-figures.surface_strokes, abs=1e-4)


def test_work_on_some_greens_counts_for_those_alone(green_club: GreenClub) -> None:
    core(green_club, holes=[1, 2, 3])
    with club_scope(green_club.place.club.id):
        work_off("greens_changed")
        disturbance = stored(*SURFACE)[LATE_CORING, "Long course", "Ines Aldana"][0]
    assert disturbance == pytest.approx(0.9 * 3 / 18)


def test_temporary_greens_stay_out_of_comparisons(green_club: GreenClub) -> None:
    core(green_club, temporary_greens=True)
    with club_scope(green_club.place.club.id):
        work_off("greens_changed")
        round_ = Round.objects.get(played_on=LATE_CORING, tee_set__course=green_club.course)
        assert set(stored(*SURFACE)[LATE_CORING, "Long course", "Ines Aldana"]) == {None}
    answer = client_of(green_club.place.player_member).get(f"/api/v1/rounds/{round_.id}/condition").json()
    assert (answer["temporary_greens"], answer["putting"]) == (True, None)
    assert answer["note"].startswith("Temporary greens were in play")


def test_tentative_work_changes_no_rounds(green_club: GreenClub) -> None:
    with club_scope(green_club.place.club.id):
        surface, said = stored(*SURFACE), notes()
    core(green_club, status="tentative")
    with club_scope(green_club.place.club.id):
        work_off("greens_changed")
        assert (stored(*SURFACE), notes()) == (surface, said)


def test_entering_a_season_asks_for_one_fit(green_club: GreenClub) -> None:
    for day in range(1, 6):
        core(green_club, starts_on=f"2026-09-0{day}", kind="rolling")
    with club_scope(green_club.place.club.id):
        OutstandingWork.objects.filter(kind="condition_effect").delete()
        assert len(work_off("greens_changed")) == 5
    assert OutstandingWork.objects.filter(kind="condition_effect").count() == 1


def test_a_round_posted_later_gets_its_note(green_club: GreenClub) -> None:
    with club_scope(green_club.place.club.id):
        body = RoundInput.model_validate(round_body(green_club.place.player, played_on="2026-04-03"))
        (round_,) = play(green_club.place.manager, [body])
        assert RoundNote.objects.get(round=round_).text.startswith(
            "Coring, medium tines on all greens 2 days before."
        )


def test_the_worker_does_it_all_by_itself(green_club: GreenClub) -> None:
    """From the request through the outbox: nothing but what a running service does."""
    club = green_club.place.club
    OutstandingWork.objects.all().delete()
    core(green_club)
    drain()
    with club_scope(club.id):
        cored = Round.objects.get(played_on=LATE_CORING, tee_set__course=green_club.course)
        assert RoundNote.objects.get(round=cored).text.startswith(
            "Coring, medium tines on all greens that day."
        )
    # The fit waits for the staff to finish.
    assert set(OutstandingWork.objects.values_list("kind", flat=True)) == {"condition_effect"}
