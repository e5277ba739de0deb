"""Addresses of a member's own: what they hear, who sees them, and when they end."""

from __future__ import annotations

import json
from typing import Any

import pytest

from courses.layout.models import Course
from golfstats.doors.operations import OPERATIONS
from golfstats.ground.clubs import services as clubs
from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.operations import Change
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.webhooks.models import Delivery, Destination
from players.people.models import Player
from players.people.services import record_guardian
from players.record.writing import record_of
from tests.factories import make_member, make_round, round_body
from tests.people.test_export import opened
from tests.players.conftest import Place, client_of, place
from tests.web.conftest import signed_in
from tests.web.pages import Page

__all__ = ["place"]  # a fixture of theirs that is used here as well

ADDRESS = "/api/v1/me/webhooks"
NOBODY_LISTENS = "https://127.0.0.1:9/golf"
ALL = sorted(
    {
        event.happening.value
        for one in OPERATIONS
        if isinstance(one, Change)
        for event in (*one.sends, *one.sends_later)
        if event.own
    }
)


@pytest.fixture(autouse=True)
def private_allowed(settings: Any) -> None:
    settings.WEBHOOKS_ALLOW_PRIVATE = True


def ask_for(member: Member, *happenings: str) -> Any:
    body = {"url": NOBODY_LISTENS, "happenings": happenings or ALL}
    return client_of(member).post(ADDRESS, body, format="json")


def told(place: Place, member: Member) -> list[tuple[str, dict[str, Any]]]:
    with club_scope(place.club.id):
        found = Delivery.objects.filter(destination__owner=member).order_by("id")
        return [(one.happening, one.body) for one in found]


def kinds(place: Place, member: Member) -> set[str]:
    return {happening for happening, _ in told(place, member)}


def test_a_player_hears_of_their_own_golf_and_of_the_greens_alone(place: Place) -> None:
    for member in (place.player_member, place.other_member, place.coach, place.greenkeeper):
        assert ask_for(member).status_code == 201
    with club_scope(place.club.id):
        course = Course.objects.get().id
    manager, coach = client_of(place.manager), client_of(place.coach)
    assert manager.post("/api/v1/rounds", round_body(place.player), format="json").status_code == 201
    goal = {"figure": "gained.total", "target": 0.5, "due_on": "2099-01-01"}
    coach.post(f"/api/v1/players/{place.player.id}/goals", goal, format="json")
    work = {"kind": "coring_medium", "starts_on": "2026-08-24"}
    manager.post(f"/api/v1/courses/{course}/green-work", work, format="json")
    manager.patch(f"/api/v1/squads/{place.squad.id}", {"players": [str(place.player.id)]}, format="json")
    worker.drain()
    of_the_greens = {"green_work_announced"}
    assert kinds(place, place.player_member) == of_the_greens | {"round_posted", "round_analysed", "goal_set"}
    for other in (place.other_member, place.coach, place.greenkeeper):
        assert kinds(place, other) == of_the_greens
        assert "Ines" not in json.dumps(told(place, other))


def test_green_work_on_a_provisional_course_is_not_told_to_every_member(place: Place) -> None:
    ask_for(place.player_member)
    with club_scope(place.club.id):
        Course.objects.update(provisional=True)
        course = Course.objects.get().id
    work = {"kind": "coring_medium", "starts_on": "2026-08-24"}
    added = client_of(place.manager).post(f"/api/v1/courses/{course}/green-work", work, format="json")
    assert (added.status_code, told(place, place.player_member)) == (201, [])


def test_what_is_the_clubs_a_member_cannot_ask_for(place: Place) -> None:
    refused = ask_for(place.player_member, "round_analysed", "member_joined", "squad_changed")
    assert refused.status_code == 422
    faults = [(one["pointer"], one["code"]) for one in refused.json()["errors"]]
    assert faults == [("/happenings/1", "not_for_members"), ("/happenings/2", "not_for_members")]
    added = ask_for(place.player_member, "round_analysed").json()["id"]
    changed = client_of(place.player_member).patch(
        f"{ADDRESS}/{added}", {"happenings": ["course_changed"]}, format="json"
    )
    assert changed.status_code == 422


def test_there_are_three_and_no_more(place: Place) -> None:
    assert [ask_for(place.player_member).status_code for _ in range(4)] == [201, 201, 201, 409]
    assert ask_for(place.other_member).status_code == 201


@pytest.mark.parametrize("who", ["manager", "coach", "other_member", "greenkeeper"])
def test_nobody_else_sees_or_touches_them(place: Place, who: str) -> None:
    own = ask_for(place.player_member, "round_posted").json()["id"]
    with club_scope(place.club.id):
        make_round(place.manager, place.player)
        sent = Delivery.objects.get(destination_id=own).id
    client = client_of(getattr(place, who))
    assert client.get(ADDRESS).json()["results"] == []
    assert client.get(f"{ADDRESS}/deliveries", {"destination": own}).json()["results"] == []
    requests = [
        *(("get", f"{base}/{own}") for base in (ADDRESS, "/api/v1/webhooks")),
        *(("delete", f"{base}/{own}") for base in (ADDRESS, "/api/v1/webhooks")),
        *(("patch", f"{base}/{own}") for base in (ADDRESS, "/api/v1/webhooks")),
        *(("post", f"{base}/{own}/secret") for base in (ADDRESS, "/api/v1/webhooks")),
        *(("post", f"{base}/{own}/test") for base in (ADDRESS, "/api/v1/webhooks")),
        *(("post", f"{base}/deliveries/{sent}/again") for base in (ADDRESS, "/api/v1/webhooks")),
    ]
    answers = {getattr(client, method)(path, {}, format="json").status_code for method, path in requests}
    assert answers <= {404, 403}
    if who == "manager":
        assert answers == {404}
        assert client.get("/api/v1/webhooks").json()["results"] == []
        assert client.get("/api/v1/webhooks/deliveries").json()["results"] == []
    assert client_of(place.player_member).get(f"{ADDRESS}/{own}").status_code == 200


def test_they_end_with_the_membership(place: Place) -> None:
    ask_for(place.player_member)
    with club_scope(place.club.id):
        make_round(place.manager, place.player)
        assert Delivery.objects.exists()
        clubs.remove_member(place.player_member)
        assert not Destination.objects.exists()
        assert not Delivery.objects.exists()
        make_round(place.manager, Player.objects.get(id=place.player.id))
        assert not Delivery.objects.exists()


def test_whoever_is_that_player_no_more_hears_no_more(place: Place) -> None:
    ask_for(place.player_member)
    with club_scope(place.club.id):
        place.player.member = None
        place.player.save()
        make_round(place.manager, place.player)
    assert told(place, place.player_member) == []


def test_whoever_never_was_that_player_is_told_no_more_of_what_waits(place: Place) -> None:
    """A manager made the wrong member the player, and puts it right while messages wait or stand in the log."""
    ask_for(place.player_member)
    with club_scope(place.club.id):
        other = make_member(Role.PLAYER, "ines the younger")
        make_round(place.manager, place.player)
        Destination.objects.create(url="https://club.example", secret="s", happenings=["player_changed"])
    assert "round_posted" in kinds(place, place.player_member)
    address = f"/api/v1/players/{place.player.id}"
    put_right = client_of(place.manager).patch(address, {"member": str(other.id)}, format="json")
    assert put_right.status_code == 200
    assert told(place, place.player_member) == []
    assert client_of(place.player_member).get("/api/v1/me/webhooks/deliveries").json()["results"] == []
    with club_scope(place.club.id):
        assert Delivery.objects.filter(destination__owner=None).exists(), "the club goes on hearing of them"


def test_of_a_player_under_age_nothing_is_sent_before_the_consent(place: Place) -> None:
    ask_for(place.player_member)
    with club_scope(place.club.id):
        Destination.objects.create(url="https://club.example", secret="s", happenings=["round_posted"])
        make_round(place.player_member, place.player)
        assert Delivery.objects.count() == 2
        said: dict[str, Any] = {"under_age": True, "coach_id": None}
        record_guardian(place.manager, place.player, consent_by="", **said)
        assert not Delivery.objects.exists(), "neither what waits nor the log of what was sent"
        make_round(place.player_member, place.player)
        assert not Delivery.objects.exists()
        record_guardian(place.manager, place.player, consent_by="Marta Aldana", **said)
        make_round(place.player_member, place.player)
        assert Delivery.objects.count() == 2


def test_the_club_hears_that_a_consent_was_taken_back(place: Place) -> None:
    with club_scope(place.club.id):
        Destination.objects.create(url="https://club.example", secret="s", happenings=["consent_changed"])
        for consent_by in ("Marta Aldana", ""):
            record_guardian(place.manager, place.player, under_age=True, consent_by=consent_by, coach_id=None)
        bodies = [one.body for one in Delivery.objects.order_by("id")]
    assert [one["readable"] for one in bodies] == [False]


def test_a_persons_record_holds_them_without_the_secret(place: Place) -> None:
    secret = ask_for(place.player_member, "round_posted").json()["secret"]
    with club_scope(place.club.id):
        make_round(place.manager, place.player)
        record = opened(record_of(place.player_member))
    assert [one["url"] for one in json.loads(record["webhooks.json"])] == [NOBODY_LISTENS]
    assert [one["happening"] for one in json.loads(record["own_messages.json"])] == ["round_posted"]
    assert all(secret not in str(text) for text in record.values())


def test_the_page_of_ones_own(place: Place) -> None:
    player, other = signed_in(place.player_member), signed_in(place.other_member)
    page = f"/clubs/{place.club.slug}/record/webhooks"
    shown = player.post(page, {"url": NOBODY_LISTENS, "happenings": ["round_analysed"]}, follow=True)
    assert "shown this once" in Page.of(shown.content).text
    with club_scope(place.club.id):
        own = Destination.objects.get()
    assert own.owner_id == place.player_member.id
    assert own.secret not in Page.of(player.get(page).content).text
    assert NOBODY_LISTENS not in Page.of(other.get(page).content).text
    for act in ("test", "switch", "remove"):
        assert other.post(f"{page}/{own.id}/{act}").status_code == 404
        assert (
            signed_in(place.manager).post(f"{page.replace('record/', '')}/{own.id}/{act}").status_code == 404
        )
    player.post(f"{page}/{own.id}/test")
    assert "Sent lately" in Page.of(player.get(page).content).text
    player.post(f"{page}/{own.id}/switch")
    player.post(f"{page}/{own.id}/remove")
    with club_scope(place.club.id):
        assert not Destination.objects.exists()
