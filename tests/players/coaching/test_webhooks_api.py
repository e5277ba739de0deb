"""Webhooks as a manager meets them: added, tried, logged; and what really happens is announced."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from courses.layout.models import Course
from golfstats.ground.events import Happening
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.webhooks.models import Delivery, Destination
from golfstats.ground.webhooks.signature import signed_headers
from tests.factories import make_round, round_body
from tests.players.conftest import Place, client_of
from tests.webhooks.receiver import Receiver

ADDRESS = "/api/v1/webhooks"
CORING = {"kind": "coring_medium", "starts_on": "2026-08-24", "tine_diameter_mm": 12, "spacing_along_mm": 50}
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
    assert (logged["happening"], json.loads(logged["body"])) == ("test", {"test": True})
    assert len(logged["attempts"]) == 1
    assert logged["attempts"][0]["error"]
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


def told(place: Place) -> dict[str, list[dict[str, Any]]]:
    """What was announced, by what happened, oldest first."""
    with club_scope(place.club.id):
        found: dict[str, list[dict[str, Any]]] = {}
        for one in Delivery.objects.order_by("id"):
            found.setdefault(one.happening, []).append(one.body)
        return found


def test_every_change_is_announced_with_the_player_in_one_shape(place: Place, private_allowed: None) -> None:
    with club_scope(place.club.id):  # with a third there is an index
        for day in (1, 2):
            make_round(place.manager, place.player, dt.date(2026, 6, day))
    worker.drain()
    add(place, *Happening.values)
    player = {"id": str(place.player.id), "name": "Ines Aldana"}
    manager, coach = client_of(place.manager), client_of(place.coach)
    posted = manager.post("/api/v1/rounds", round_body(place.player), format="json").json()
    worker.drain()
    address, corrected = f"/api/v1/rounds/{posted['id']}", {"played_on": "2026-06-15", "ball": "soft"}
    whatever = {"If-Match": "*"}
    assert manager.patch(address, corrected, format="json", headers=whatever).status_code == 200
    goal = {"figure": "gained.total", "target": 0.5, "due_on": "2099-01-01"}
    set_ = coach.post(f"/api/v1/players/{place.player.id}/goals", goal, format="json")
    assert coach.post(f"/api/v1/goals/{set_.json()['id']}/close").status_code == 200
    note = {"practised_on": "2026-03-02", "text": "Long putts, and what nobody else need read"}
    coach.post(f"/api/v1/players/{place.player.id}/notes", note, format="json")
    manager.patch(f"/api/v1/players/{place.player.id}", {"rating_gender": "men"}, format="json")
    with club_scope(place.club.id):
        course = {"id": str(Course.objects.get().id), "name": "Long course"}
    reading = {"measured_at": "2026-08-01T07:00:00Z", "hole": 7, "firmness_g": 91.0}
    manager.post(f"/api/v1/courses/{course['id']}/green-readings", reading, format="json")
    manager.post(f"/api/v1/courses/{course['id']}/green-work", CORING, format="json")
    assert manager.delete(address, headers=whatever).status_code == 204
    worker.drain()
    found = told(place)
    assert set(found) == {
        *("round_posted", "round_changed", "round_deleted", "round_analysed", "index_changed"),
        *("goal_set", "goal_ended", "note_written", "player_changed"),
        *("greens_measured", "green_work_announced"),
    }
    for happening, bodies in found.items():
        assert all(body["player"] == player for body in bodies if "player" in body), happening
        assert all("what nobody else" not in json.dumps(body) for body in bodies)
    assert [one["round"] for one in found["round_posted"] + found["round_deleted"]] == [posted["id"]] * 2
    assert [one["played_on"] for one in found["round_changed"]] == ["2026-06-15"]
    assert found["greens_measured"][0]["course"] == course
    assert [one["state"] for one in found["goal_ended"]] == ["closed"]


def test_an_import_announces_its_end_and_each_round(place: Place, private_allowed: None) -> None:
    add(place, "import_ended", "round_posted")
    with club_scope(place.club.id):
        make_round(place.manager, place.player)
    text = client_of(place.manager).get("/api/v1/export/rounds.csv").getvalue()
    file = SimpleUploadedFile("rounds.csv", text.replace(b"2026-06-14", b"2026-06-20"))
    client_of(place.manager).post("/api/v1/imports", {"kind": "scores", "file": file}, format="multipart")
    worker.drain()
    (ended,) = told(place)["import_ended"]
    assert (ended["state"], ended["added"]) == ("done", 1)
    assert [one["played_on"] for one in told(place)["round_posted"]] == ["2026-06-14", "2026-06-20"]


def test_for_a_day_both_secrets_sign(place: Place, settings: Any) -> None:
    settings.WEBHOOKS_ALLOW_PRIVATE = True
    client = client_of(place.manager)
    with Receiver().running() as receiver:
        made = client.post(
            ADDRESS, {"url": receiver.url, "happenings": ["index_changed"]}, format="json"
        ).json()
        renewed = client.post(f"{ADDRESS}/{made['id']}/secret")
        assert renewed.status_code == 201
        assert renewed.json()["secret"] != made["secret"]
        client.post(f"{ADDRESS}/{made['id']}/test")
        worker.drain()
        with club_scope(place.club.id):
            Destination.objects.update(old_secret_until=timezone.now())
        client.post(f"{ADDRESS}/{made['id']}/test")
        worker.drain()
    both, later = receiver.received
    for secret, message, good in (
        (made["secret"], both, True),
        (renewed.json()["secret"], both, True),
        (made["secret"], later, False),
        (renewed.json()["secret"], later, True),
    ):
        sent_at = int(message.headers["webhook-timestamp"])
        (own,) = signed_headers([secret], message.headers["webhook-id"], sent_at, message.body)[
            "webhook-signature"
        ].split(" ")
        assert (own in message.headers["webhook-signature"].split(" ")) is good
