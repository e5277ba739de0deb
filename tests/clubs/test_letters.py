"""Mail waits in the database until a worker has sent it: none is lost, none tells too much, nobody is flooded."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest
from django.core import mail
from django.core.mail.backends.base import BaseEmailBackend
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from golfstats.ground.clubs.models import Invitation, Member, Role, User
from golfstats.ground.mail import services
from golfstats.ground.mail.models import WaitingLetter
from golfstats.ground.outbox import work, worker
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.walls.scope import club_scope
from players.club.services import change_settings
from tests import factories
from tests.api.test_api_behaviour import is_problem
from tests.outbox.attempts import AT_ONCE, ENOUGH
from tests.players.conftest import Place, client_of, place

__all__ = ["place"]
pytestmark = pytest.mark.django_db
ROSA = "rosa@example.org"


@pytest.fixture
def neighbour() -> Member:
    """The manager of another club."""
    club = factories.make_club("stonebarrow")
    with club_scope(club.id):
        return factories.make_member(Role.MANAGER, "neighbour")


@pytest.fixture
def rosa() -> User:
    return User.objects.create_user("rosa", ROSA, "seven words nobody guesses")


def invite(manager: Member, email: str | None = ROSA) -> Any:
    body = {"name": "Rosa Linares", "role": "player", "email": email}
    return client_of(manager).post("/api/v1/invitations", body, format="json")


def forget(address: str) -> Any:
    return Client().post("/password/forgotten", {"email": address})


def sent() -> list[str]:
    """Whom mail has gone to, once a worker has done what there is."""
    worker.drain(limit=ENOUGH)
    return [address for one in mail.outbox for address in one.to]


def waiting() -> tuple[int, int]:
    return WaitingLetter.objects.count(), OutstandingWork.objects.filter(kind=services.SEND).count()


def test_whoever_answers_sends_nothing_and_a_worker_all_of_it(place: Place, rosa: User) -> None:
    link = invite(place.manager, "ole@example.org").json()["link"]
    assert forget(ROSA).status_code == 302
    assert (mail.outbox, waiting()) == ([], (2, 2))
    assert sorted(sent()) == ["ole@example.org", ROSA]
    said = {one.to[0]: one.body for one in mail.outbox}
    assert link in said["ole@example.org"]
    assert "http://testserver/password/" in said[ROSA]
    assert waiting() == (0, 0), "nothing of it is kept"


@pytest.mark.parametrize(
    ("style", "written"),
    [
        ("day_month", "{d.day} {d:%B} {d.year}"),
        ("month_day", "{d:%B} {d.day}, {d.year}"),
        ("iso", "{d:%Y-%m-%d}"),
    ],
)
def test_an_invitation_says_until_when_as_the_club_writes_days(
    place: Place, style: str, written: str
) -> None:
    with club_scope(place.club.id):
        change_settings(place.club, {"date_style": style})
    invite(place.manager)
    assert sent() == [ROSA]
    with club_scope(place.club.id):
        until = Invitation.objects.get().expires_at
    assert f"to accept, before {written.format(d=until)}:" in mail.outbox[0].body


def test_no_table_holds_a_link_that_lets_somebody_in(place: Place, rosa: User) -> None:
    secret = invite(place.manager, "ole@example.org").json()["link"].rpartition(".")[2]
    forget(ROSA)
    rows = [*WaitingLetter.objects.values_list(), *OutstandingWork.objects.values_list()]
    text = repr(rows)
    assert len(rows) > 3
    for found in (secret, ROSA, "ole@example.org"):
        assert found not in text
    # Sealed under the service's key: it can be read again by it, and is what will be sent.
    assert secret in " ".join(repr(services.letter_of(row)) for row in WaitingLetter.objects.all())


class Down(BaseEmailBackend):
    """A mail server that takes nothing."""

    tries = 0

    def send_messages(self, email_messages: Any) -> int:
        Down.tries += 1
        raise ConnectionRefusedError(f"{len(email_messages)} not taken")


def test_a_mail_server_that_is_down_gets_it_later(
    place: Place, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    usual, settings.EMAIL_BACKEND = settings.EMAIL_BACKEND, f"{__name__}.Down"
    monkeypatch.setitem(
        work.handlers, services.SEND, replace(work.handlers[services.SEND], retry_after=AT_ONCE)
    )
    invite(place.manager)
    worker.drain(limit=2)
    assert waiting() == (1, 1)
    settings.EMAIL_BACKEND = usual
    assert sent() == [ROSA]


def test_what_no_mail_server_takes_is_given_up_with_its_link(
    place: Place, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    handler = replace(work.handlers[services.SEND], retry_after=AT_ONCE)
    monkeypatch.setitem(work.handlers, services.SEND, handler)
    settings.EMAIL_BACKEND = f"{__name__}.Down"
    Down.tries = 0
    invite(place.manager)
    worker.drain(limit=ENOUGH)
    assert Down.tries == handler.max_attempts
    assert not WaitingLetter.objects.exists()


def test_an_invitation_that_was_withdrawn_is_not_mailed(place: Place) -> None:
    made = invite(place.manager).json()
    client_of(place.manager).delete(f"/api/v1/invitations/{made['id']}")
    assert sent() == []
    assert waiting() == (0, 0)


def test_a_forgotten_password_asks_the_same_of_the_database_for_every_address(rosa: User) -> None:
    """Compared by what is done and not by a clock: what takes the same steps takes as long."""

    def steps(address: str) -> list[str]:
        with CaptureQueriesContext(connection) as done:
            answer = forget(address)
        assert (answer.status_code, answer.headers["Location"]) == (302, "/sign-in")
        return [re.sub(r"'[^']*'|\d+", "?", one["sql"]) for one in done.captured_queries]

    known, unknown = steps(rosa.email), steps("nobody@example.org")
    assert known == unknown
    assert not any("clubs_user" in one for one in known), "nobody is looked up"
    assert sent() == [ROSA]


def test_nobody_s_mailbox_is_flooded_with_links_for_a_password(rosa: User) -> None:
    for _ in range(services.PASSWORDS_TO_ONE_ADDRESS + 3):
        assert forget(ROSA).status_code == 302, "which says as little as ever"
    assert sent() == [ROSA] * services.PASSWORDS_TO_ONE_ADDRESS


def test_a_club_writes_to_one_mailbox_a_few_times_only(place: Place, neighbour: Member, rosa: User) -> None:
    for number in range(services.INVITATIONS_TO_ONE_ADDRESS):
        # One mailbox, however its address is written.
        assert invite(place.manager, f"Rosa+{number}@example.org").status_code == 201
    refused = invite(place.manager)
    is_problem(refused, 429, "throttled")
    assert 0 < int(refused.headers["Retry-After"]) <= services.DAY
    assert invite(place.manager, None).status_code == 201, "a link to hand over is mailed to nobody"
    assert invite(place.manager, "ole@example.org").status_code == 201
    assert invite(neighbour).status_code == 201, "what one club did is not told to another"
    assert forget(ROSA).status_code == 302
    assert len(sent()) == services.INVITATIONS_TO_ONE_ADDRESS + 3, "nor does it keep Rosa from a new password"


def test_a_club_writes_to_so_many_mailboxes_and_no_more(
    place: Place, neighbour: Member, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(services, "INVITATIONS_OF_A_CLUB", 4)
    answers = [invite(place.manager, f"golfer.{number}@example.org") for number in range(6)]
    assert [one.status_code for one in answers] == [201] * 4 + [429] * 2
    assert 0 < int(answers[-1].headers["Retry-After"]) <= services.HOUR
    assert invite(neighbour, "golfer.5@example.org").status_code == 201
    assert len(sent()) == 5


def test_many_clubs_together_flood_nobody_and_none_hears_of_the_others(
    place: Place, neighbour: Member, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(services, "INVITATIONS_OF_ALL_CLUBS", 2)
    answers = [invite(one) for one in (place.manager, neighbour, place.manager, neighbour)]
    assert {one.status_code for one in answers} == {201}
    assert all(one.json()["link"] for one in answers), "whoever invites can hand it over"
    assert sent() == [ROSA] * 2


def test_no_more_waits_for_a_mail_server_than_can_be_kept(
    place: Place, neighbour: Member, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(services, "MOST_WAITING", 1)
    assert invite(place.manager).status_code == 201
    refused = invite(place.manager, "ole@example.org")
    is_problem(refused, 503, "busy")
    assert refused.headers["Retry-After"] == "60"
    assert invite(neighbour).status_code == 201, "each club has room of its own"
    pages = [forget(address) for address in (ROSA, "nobody@example.org")]
    assert [one.status_code for one in pages] == [302, 429]


def test_letters_are_written_as_who_gets_or_sends_them_reads(place: Place, rosa: User) -> None:
    """In the language of the account, or else of the page on which they were asked for."""
    invite(place.manager, "ole@example.org")
    sent()
    User.objects.filter(id=place.manager.user_id).update(language="de")
    invite(place.manager, "nils@example.org")
    sent()
    Client().post("/password/forgotten", {"email": ROSA}, headers={"Accept-Language": "de"})
    sent()
    User.objects.filter(id=rosa.id).update(language="en-gb")
    Client().post("/password/forgotten", {"email": ROSA}, headers={"Accept-Language": "de"})
    sent()
    assert [one.subject.split()[0] for one in mail.outbox] == ["Invitation", "Einladung", "Ein", "A"]
    for one, word in zip(mail.outbox, ("accept", "anzunehmen", "Passwort", "password"), strict=True):
        assert word in one.body
