"""Playing conditions calculations and events: entered by whom, and what follows from them."""

from __future__ import annotations

import datetime as dt

import pytest

from courses.calendars.models import Event
from courses.layout.models import Course, PlayingConditions
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.outbox.work import handlers
from golfstats.ground.walls.scope import club_scope
from tests import factories
from tests.players.conftest import Place, client_of

FIGURE = {"played_on": "2026-06-14", "pcc": 1, "origin": "notice of the association"}
CUP = {"name": "Summer cup", "starts_on": "2026-07-04", "ends_on": "2026-07-05"}


@pytest.fixture
def address(place: Place) -> str:
    with club_scope(place.club.id):
        return f"/api/v1/courses/{Course.objects.get().id}"


def outstanding() -> set[tuple[str, str]]:
    return set(OutstandingWork.objects.values_list("kind", "key"))


def test_a_days_figure_recomputes_those_who_played_that_day(place: Place, address: str) -> None:
    with club_scope(place.club.id):
        factories.make_round(place.player_member, place.player, dt.date(2026, 6, 14))
        factories.make_round(place.other_member, place.other_player, dt.date(2026, 6, 15))
    OutstandingWork.objects.all().delete()
    response = client_of(place.manager).post(f"{address}/playing-conditions", FIGURE, format="json")
    assert response.status_code == 201, response.content
    course = address.rsplit("/", 1)[1]
    assert outstanding() == {("conditions_changed", f"{course}:2026-06-14")}
    with club_scope(place.club.id):
        handlers["conditions_changed"].work(f"{course}:2026-06-14")
    assert outstanding() - {("conditions_changed", f"{course}:2026-06-14")} == {
        ("handicap", str(place.player.id))
    }


def test_moving_a_figure_recomputes_both_days(place: Place, address: str) -> None:
    manager = client_of(place.manager)
    entered = manager.post(f"{address}/playing-conditions", FIGURE, format="json").json()
    OutstandingWork.objects.all().delete()
    moved = manager.patch(
        f"{address}/playing-conditions/{entered['id']}", {"played_on": "2026-06-13"}, format="json"
    )
    assert (moved.status_code, moved.json()["pcc"]) == (200, 1)
    assert {key.split(":")[1] for _, key in outstanding()} == {"2026-06-13", "2026-06-14"}


@pytest.mark.parametrize(
    ("change", "pointer"), [({"pcc": 4}, "/pcc"), ({"pcc": -2}, "/pcc"), ({"origin": ""}, "/origin")]
)
def test_impossible_figures_are_refused(
    place: Place, address: str, change: dict[str, object], pointer: str
) -> None:
    """A playing conditions calculation lies between -1 and +3 (Rules of Handicapping, Rule 5.6)."""
    response = client_of(place.manager).post(f"{address}/playing-conditions", FIGURE | change, format="json")
    assert response.status_code == 422
    assert response.json()["errors"][0]["pointer"] == pointer


def test_a_day_has_one_figure(place: Place, address: str) -> None:
    manager = client_of(place.manager)
    manager.post(f"{address}/playing-conditions", FIGURE, format="json")
    again = manager.post(f"{address}/playing-conditions", FIGURE | {"pcc": 0}, format="json")
    assert (again.status_code, again.json()["type"]) == (409, "/problems/entered-already")
    part = manager.post(f"{address}/playing-conditions", FIGURE | {"part_of_day": "morning"}, format="json")
    assert part.status_code == 201
    listed = (
        client_of(place.player_member)
        .get(f"{address}/playing-conditions?from=2026-06-14&to=2026-06-14")
        .json()
    )
    assert sorted((row["part_of_day"], row["pcc"]) for row in listed["results"]) == [
        ("day", 1),
        ("morning", 1),
    ]


def test_only_managers_enter_figures(place: Place, address: str) -> None:
    for member in (place.player_member, place.coach, place.greenkeeper):
        response = client_of(member).post(f"{address}/playing-conditions", FIGURE, format="json")
        assert response.status_code == 403
    with club_scope(place.club.id):
        assert not PlayingConditions.objects.exists()


def test_staff_enter_events_and_everybody_reads_them(place: Place, address: str) -> None:
    entered = client_of(place.greenkeeper).post(f"{address}/events", CUP, format="json")
    assert entered.status_code == 201
    event = f"{address}/events/{entered.json()['id']}"
    for member in (place.player_member, place.coach):
        assert client_of(member).post(f"{address}/events", CUP, format="json").status_code == 403
        assert client_of(member).delete(event).status_code == 403
        assert (
            client_of(member).get(f"{address}/events?from=2026-07-05").json()["results"][0]["name"]
            == "Summer cup"
        )
        assert client_of(member).get(f"{address}/events?from=2026-07-06").json()["results"] == []
    backwards = client_of(place.manager).patch(event, {"ends_on": "2026-07-01"}, format="json")
    assert backwards.json()["errors"][0]["code"] == "ends_before_start"
    assert client_of(place.manager).delete(event).status_code == 204
    with club_scope(place.club.id):
        assert not Event.objects.exists()


def test_unknown_parameters_are_refused(place: Place, address: str) -> None:
    for path in ("events", "playing-conditions", "green-work", "green-readings"):
        response = client_of(place.manager).get(f"{address}/{path}?colour=red")
        assert (response.status_code, response.json()["errors"][0]["code"]) == (422, "unknown_parameter")
