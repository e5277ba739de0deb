"""Webhooks as a manager meets them: added, tried, logged; and what really happens is announced."""

from __future__ import annotations

from typing import Any

import pytest

from golfstats.clubs.scope import club_scope
from golfstats.outbox import worker
from golfstats.webhooks.models import Delivery, Destination
from tests.factories import make_round
from tests.players.conftest import Place, client_of

ADDRESS = "/api/v1/webhooks"
NOBODY_LISTENS = "http://127.0.0.1:9/hook"  # the discard port


@pytest.fixture
def private_allowed(settings: Any) -> None:
    settings.WEBHOOKS_ALLOW_PRIVATE = True


def add(place: Place, *happenings: str) -> dict[str, Any]:
    body = {"url": NOBODY_LISTENS, "happenings": list(happenings)}
    response = client_of(place.manager).post(ADDRESS, body, format="json")
    assert response.status_code == 201, response.content
    return response.json()


def test_the_secret_is_shown_once(place: Place, private_allowed: None) -> None:
    added = add(place, "round_analysed")
    with club_scope(place.club.id):
        assert added["secret"] == Destination.objects.get().secret
    listed = client_of(place.manager).get(ADDRESS)
    assert [one["id"] for one in listed.json()["results"]] == [added["id"]]
    assert added["secret"] not in listed.content.decode()
    changed = client_of(place.manager).patch(f"{ADDRESS}/{added['id']}", {"active": False}, format="json")
    assert changed.json()["active"] is False
    assert added["secret"] not in changed.content.decode()


@pytest.mark.parametrize(
    "url", ["https://127.0.0.1/hook", "http://example.org/hook", "https://[::1]/", "ftp://x"]
)
def test_private_and_plain_addresses_are_refused(place: Place, url: str) -> None:
    response = client_of(place.manager).post(
        ADDRESS, {"url": url, "happenings": ["round_analysed"]}, format="json"
    )
    assert response.status_code == 422
    assert [fault["code"] for fault in response.json()["errors"]] == ["refused_destination"]
    with club_scope(place.club.id):
        assert not Destination.objects.exists()


def test_a_test_message_and_its_log(place: Place, private_allowed: None) -> None:
    added = add(place, "index_changed")
    client = client_of(place.manager)
    sent = client.post(f"{ADDRESS}/{added['id']}/test")
    assert sent.status_code == 202
    assert sent.json()["state"] == "waiting"
    worker.drain()
    (logged,) = client.get(f"{ADDRESS}/deliveries", {"destination": added["id"]}).json()["results"]
    assert (logged["happening"], logged["body"]) == ("test", {"test": True})
    assert len(logged["attempts"]) == 1
    assert "error" in logged["attempts"][0]
    assert client.post(f"{ADDRESS}/deliveries/{logged['id']}/again").status_code == 202
    assert client.delete(f"{ADDRESS}/{added['id']}").status_code == 204
    assert client.get(f"{ADDRESS}/deliveries").json()["results"] == []


def test_an_analysed_round_is_announced_to_who_asked(place: Place, private_allowed: None) -> None:
    add(place, "round_analysed")
    add(place, "green_work_announced")
    with club_scope(place.club.id):
        round_ = make_round(place.manager, place.player)
    worker.drain()
    with club_scope(place.club.id):
        (delivery,) = Delivery.objects.filter(happening="round_analysed")
    assert delivery.body["round"] == str(round_.id)
    assert delivery.body["player"] == {"id": str(place.player.id), "name": "Ines Aldana"}
    assert (delivery.body["score"], delivery.body["holes_played"]) == (72, 18)
    assert delivery.body["strokes_gained"] is not None


def test_only_managers_may(place: Place, private_allowed: None) -> None:
    added = add(place, "round_analysed")
    body = {"url": NOBODY_LISTENS, "happenings": ["round_analysed"]}
    for member in (place.coach, place.player_member, place.greenkeeper):
        client = client_of(member)
        assert client.get(ADDRESS).status_code == 403
        assert client.post(ADDRESS, body, format="json").status_code == 403
        assert client.get(f"{ADDRESS}/deliveries").status_code == 403
        assert client.delete(f"{ADDRESS}/{added['id']}").status_code == 403
        assert client.post(f"{ADDRESS}/{added['id']}/test").status_code == 403
    with club_scope(place.club.id):
        assert Destination.objects.count() == 1
        assert not Delivery.objects.exists()
