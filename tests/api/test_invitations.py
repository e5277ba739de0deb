"""Who belongs to a club is for the person to say: joining, leaving, and which club is meant."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.core import mail
from django.test import Client
from django.utils import timezone
from rest_framework.test import APIClient

from golfstats.ground.clubs.models import Club, Invitation, Member, Role, User
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from tests import factories
from tests.api.test_api_behaviour import is_problem
from tests.players.conftest import Place, client_of

pytestmark = pytest.mark.django_db
LONG = "seven words nobody guesses"


@pytest.fixture
def neighbour() -> Member:
    """The manager of another club."""
    club = factories.make_club("stonebarrow")
    with club_scope(club.id):
        return factories.make_member(Role.MANAGER, "neighbour")


def invite(manager: Member, **given: str) -> dict[str, Any]:
    body = {"name": "Rosa Linares", "role": "player"} | given
    answer = client_of(manager).post("/api/v1/invitations", body, format="json")
    assert answer.status_code == 201, answer.content
    return dict(answer.json())


def accept(user: User, token: str) -> Any:
    client = APIClient()
    client.force_authenticate(user)
    return client.post("/api/v1/invitations/accept", {"invitation": token}, format="json")


def sign_up(token: str, username: str = "rosa", password: str = LONG) -> Any:
    body = {"invitation": token, "username": username, "password": password}
    return APIClient().post("/api/v1/invitations/sign-up", body, format="json")


def test_nobody_is_taken_over_by_name(place: Place, neighbour: Member) -> None:
    """The neighbour's manager makes a sign-in whose password he knows; another club inviting that name gets its own."""
    his = sign_up(invite(neighbour)["invitation"], "rosa")
    hers = sign_up(invite(place.manager, role="manager")["invitation"], "rosa")
    assert his.status_code == hers.status_code == 201
    assert his.json()["username"] != hers.json()["username"]
    theirs = {User.objects.get(username=one.json()["username"]).pk for one in (his, hers)}
    assert len(theirs) == 2, "each is somebody of their own, and whoever was there stays"
    with club_scope(place.club.id):
        assert not Member.objects.filter(user__username=his.json()["username"]).exists()
    assert (
        client_of(place.manager).post("/api/v1/members", {"username": "rosa"}, format="json").status_code
        == 405
    )


def test_nothing_tells_whether_a_name_is_taken(place: Place) -> None:
    User.objects.create_user("rosa", password=LONG)
    answers = [sign_up(invite(place.manager)["invitation"], name) for name in ("rosa", "rosalind")]
    assert {answer.status_code for answer in answers} == {201}
    assert all(re.fullmatch(r"rosa(lind)?\.\d{4}", answer.json()["username"]) for answer in answers)


def test_an_invitation_makes_nobody_a_member_before_it_is_accepted(place: Place, neighbour: Member) -> None:
    rosa = place.player_member.user
    token = invite(neighbour)["invitation"]
    client = APIClient()
    client.force_authenticate(rosa)
    assert client.get("/api/v1/rounds").status_code == 200, "no Club header, and one club"
    assert accept(rosa, token).json()["slug"] == "stonebarrow"
    assert client.get("/api/v1/club").json()["slug"] == place.club.slug, "what worked goes on working"
    clubs = {one["slug"]: one["preferred"] for one in client.get("/api/v1/clubs").json()["results"]}
    assert clubs == {place.club.slug: True, "stonebarrow": False}
    assert client.put("/api/v1/clubs/stonebarrow/membership").status_code == 200
    assert client.get("/api/v1/club").json()["slug"] == "stonebarrow"


def test_people_leave_when_they_like(place: Place, neighbour: Member) -> None:
    rosa = place.player_member.user
    accept(rosa, invite(neighbour)["invitation"])
    client = APIClient()
    client.force_authenticate(rosa)
    assert client.delete("/api/v1/clubs/stonebarrow/membership").status_code == 204
    assert [one["slug"] for one in client.get("/api/v1/clubs").json()["results"]] == [place.club.slug]
    is_problem(client.delete("/api/v1/clubs/stonebarrow/membership"), 404, "no-such-club")
    last = client_of(neighbour).delete("/api/v1/clubs/stonebarrow/membership")
    is_problem(last, 409, "last-manager")


def test_an_invitation_works_once_and_not_for_ever(place: Place, neighbour: Member) -> None:
    token = invite(place.manager)["invitation"]
    assert accept(neighbour.user, token).status_code == 201
    is_problem(accept(User.objects.create_user("third"), token), 404, "not-found")
    is_problem(sign_up(token), 404, "not-found")

    late = invite(place.manager)
    with club_scope(place.club.id):
        Invitation.objects.filter(id=late["id"]).update(expires_at=timezone.now())
    is_problem(sign_up(late["invitation"]), 404, "not-found")

    withdrawn = invite(place.manager)
    assert client_of(place.manager).delete(f"/api/v1/invitations/{withdrawn['id']}").status_code == 204
    is_problem(sign_up(withdrawn["invitation"]), 404, "not-found")
    assert client_of(place.manager).get("/api/v1/invitations").json()["results"] == []
    is_problem(accept(neighbour.user, invite(place.manager)["invitation"]), 409, "member-exists")


@pytest.mark.parametrize("left_as", [None, "player"])
def test_a_manager_keeps_no_way_back(place: Place, left_as: str | None) -> None:
    """Who ends another manager's role, or membership, ends what that manager has invited to."""
    with club_scope(place.club.id):
        leaving = factories.make_member(Role.MANAGER, "leaving")
    token = invite(leaving, role="manager", email="back@example.org")["invitation"]
    theirs, client = f"/api/v1/members/{leaving.id}", client_of(place.manager)
    if left_as is None:
        assert client.delete(theirs).status_code == 204
    else:
        assert client.patch(theirs, {"role": left_as}, format="json").status_code == 200
    is_problem(sign_up(token), 404, "not-found")
    is_problem(accept(leaving.user, token), 404, "not-found")
    assert client.get("/api/v1/invitations").json()["results"] == []
    worker.drain()
    assert mail.outbox == []
    assert accept(User.objects.create_user("other"), invite(place.manager)["invitation"]).status_code == 201


@pytest.mark.parametrize("token", ["", "x", "nonsense.secret", "0" * 32 + ".secret", "\0"])
def test_what_is_no_invitation_is_refused(token: str) -> None:
    user = User.objects.create_user("somebody")
    assert accept(user, token).status_code in {404, 422}
    assert APIClient().get(f"/join/{token or 'x'}".replace("\0", "%00")).status_code == 404


@pytest.mark.parametrize(
    ("username", "password", "pointer"),
    [
        ("rosa\u202e", LONG, "/username"),  # RIGHT-TO-LEFT OVERRIDE
        ("ro\u200bsa", LONG, "/username"),  # ZERO WIDTH SPACE
        ("rosa\n", "short", "/password"),
        ("rosa", "short", "/password"),
        ("rosa", "1234567890123", "/password"),
        ("rosa", "password123", "/password"),
    ],
)
def test_weak_passwords_and_names_that_deceive_are_refused(
    place: Place, username: str, password: str, pointer: str
) -> None:
    answer = sign_up(invite(place.manager)["invitation"], username, password)
    problem = is_problem(answer, 422, "invalid-request")
    assert pointer in {error["pointer"] for error in problem["errors"]}


def test_the_link_is_mailed_if_there_is_an_address(place: Place) -> None:
    made = invite(place.manager, email="rosa@example.org")
    worker.drain()
    (message,) = mail.outbox
    assert message.to == ["rosa@example.org"]
    assert made["link"] in message.body
    assert made["link"].endswith(f"/join/{made['invitation']}")


def test_whoever_invites_gets_no_link_to_the_invited_person_s_password(place: Place) -> None:
    """A manager writes their own address, hands the link over, and says later that the password is forgotten."""
    made = invite(place.manager, email="manager@example.org")
    joined = Client().post(f"/join/{made['invitation']}", {"username": "rosa", "password": LONG})
    assert joined.status_code == 302
    other = sign_up(invite(place.manager, email="manager@example.org")["invitation"], "ole")
    assert other.status_code == 201
    Client().post("/password/forgotten", {"email": "manager@example.org"})
    worker.drain()
    assert mail.outbox == []


def test_a_link_goes_where_the_person_says(place: Place) -> None:
    own = {"username": "rosa", "password": LONG, "email": "rosa@example.org"}
    Client().post(f"/join/{invite(place.manager)['invitation']}", own)
    body = {"invitation": invite(place.manager)["invitation"], **own, "email": "ole@example.org"}
    assert APIClient().post("/api/v1/invitations/sign-up", body, format="json").status_code == 201
    for address in ("rosa@example.org", "ole@example.org"):
        Client().post("/password/forgotten", {"email": address})
    worker.drain()
    assert [message.to for message in mail.outbox] == [["rosa@example.org"], ["ole@example.org"]]
    wrong = Client().post(f"/join/{invite(place.manager)['invitation']}", own | {"email": "no address"})
    assert wrong.status_code == 422


def test_only_managers_invite(place: Place) -> None:
    for member in (place.coach, place.player_member, place.greenkeeper):
        body = {"name": "Rosa Linares", "role": "manager"}
        is_problem(client_of(member).post("/api/v1/invitations", body, format="json"), 403, "not-allowed")
        is_problem(client_of(member).get("/api/v1/invitations"), 403, "not-allowed")


def test_joining_on_the_page(place: Place) -> None:
    manager = Client()
    manager.force_login(place.manager.user)
    members = f"/clubs/{place.club.slug}/members"
    page = manager.post(members, {"name": "Rosa Linares", "role": "coach"}, follow=True).content.decode()
    (address,) = re.findall(r"http://testserver(/join/\S+?)[\s<]", page)
    person = Client()
    assert "invites Rosa Linares as coach" in person.get(address).content.decode()
    assert person.post(address, {"username": "rosa", "password": "short"}).status_code == 422
    joined = person.post(address, {"username": "rosa", "password": LONG}, follow=True)
    assert "Your name to sign in with is rosa." in joined.content.decode()
    assert person.get(address).status_code == 404
    with club_scope(place.club.id):
        assert Member.objects.get(name="Rosa Linares").role == "coach"
    account = person.get("/account").content.decode()
    assert Club.objects.count() == 0
    assert place.club.name in account
    person.post("/account", {"leave": place.club.slug})
    assert "You belong to no club" in person.get("/account").content.decode()
