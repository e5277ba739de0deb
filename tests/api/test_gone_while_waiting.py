"""A round that is deleted, or goes out of somebody's sight, while they wait for its analysis."""

from __future__ import annotations

import pytest

from golfstats.doors.rest.http import waiting
from golfstats.ground.ids import new_id
from golfstats.ground.outbox import worker
from tests import factories
from tests.api.test_api_behaviour import is_problem
from tests.api.test_phones import ROUNDS, put
from tests.players.conftest import Place, client_of


@pytest.mark.django_db
@pytest.mark.parametrize("lost", ["deleted", "out of sight"])
def test_what_is_gone_when_the_wait_ends_is_told_no_more(
    place: Place, monkeypatch: pytest.MonkeyPatch, lost: str
) -> None:
    coach, manager = client_of(place.coach), client_of(place.manager)
    own, body = new_id(), factories.round_body(place.player)
    address = f"{ROUNDS}/{own}"

    def lose(_: float) -> None:
        if lost == "deleted":
            assert manager.delete(address, headers={"If-Match": "*"}).status_code == 204
            return
        squad = f"/api/v1/squads/{place.squad.id}"
        assert manager.patch(squad, {"players": []}, format="json").status_code == 200
        worker.drain()

    assert put(coach, own, body).status_code == 201
    monkeypatch.setattr(waiting.time, "sleep", lose)
    is_problem(coach.get(address, headers={"Prefer": "wait=10"}), 404, "not-found")


@pytest.mark.django_db
def test_what_was_written_and_is_deleted_while_it_is_waited_for_is_told_as_written(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    client, own = client_of(place.player_member), new_id()

    def delete(_: float) -> None:
        assert client.delete(f"{ROUNDS}/{own}", headers={"If-Match": "*"}).status_code == 204

    monkeypatch.setattr(waiting.time, "sleep", delete)
    answer = put(client, own, factories.round_body(), Prefer="wait=10")
    assert (answer.status_code, answer.json()["analysis"]) == (201, "pending")
    assert "Preference-Applied" not in answer.headers
