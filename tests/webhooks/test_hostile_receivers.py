"""Receivers that hang, answer nonsense or never arrive: nobody but they themselves gets to feel it."""

from __future__ import annotations

import socket
import threading
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from functools import partial

import pytest
from django.db import connection
from django.utils import timezone

from golfstats.ground.clubs.models import Role
from golfstats.ground.events import Happening
from golfstats.ground.outbox import thread, worker
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.outbox.shares import FORGOTTEN_AFTER_SECONDS, Shares
from golfstats.ground.outbox.work import Queue
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.webhooks import answers, services
from golfstats.ground.webhooks.addresses import Target
from golfstats.ground.webhooks.models import Delivery, Destination
from golfstats.ground.webhooks.sending import DEADLINE_SECONDS, SendingError, post
from golfstats.ground.webhooks.tasks import PATIENCE
from players.rounds.models import Round
from tests import factories
from tests.databases import committed
from tests.outbox.attempts import ENOUGH
from tests.outbox.test_lease import pass_time
from tests.waiting import wait_until
from tests.webhooks.receiver import Receiver
from tests.webhooks.test_deliveries import announce, destination_at, make_due


@pytest.fixture(autouse=True)
def private_allowed(settings):
    settings.WEBHOOKS_ALLOW_PRIVATE = True


class Answering:
    """A server that takes connections, and sends these bytes or never anything."""

    def __init__(self, answer: bytes | None) -> None:
        self._answer = answer
        self._server = socket.create_server(("127.0.0.1", 0))
        self.url = f"http://127.0.0.1:{self._server.getsockname()[1]}/hook"
        self.connections: list[socket.socket] = []

    def _accept(self) -> None:
        while True:
            try:
                accepted, _ = self._server.accept()
            except OSError:
                return
            self.connections.append(accepted)
            if self._answer is not None:
                accepted.recv(65536)
                accepted.sendall(self._answer)
                accepted.close()

    @contextmanager
    def running(self) -> Iterator[Answering]:
        accepting = threading.Thread(target=self._accept)
        accepting.start()
        try:
            yield self
        finally:
            self._server.shutdown(socket.SHUT_RDWR)
            self._server.close()
            accepting.join()
            for one in self.connections:
                one.close()


def open_transactions() -> int:
    """Transactions of others in this database that are open and wait for their client."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database()"
            " AND state LIKE 'idle in transaction%' AND pid <> pg_backend_pid()"
        )
        return int(cursor.fetchone()[0])


@committed
def test_a_hanging_receiver_delays_neither_analyses_nor_other_clubs_messages(
    two_clubs, settings, monkeypatch
):
    settings.REDIS_URL = ""
    # It hangs until the test lets it go, so that whatever is done meanwhile was done beside it.
    monkeypatch.setattr("golfstats.ground.webhooks.tasks.post", partial(post, deadline=3600.0))
    sufferer, neighbour = two_clubs
    with club_scope(neighbour.id):
        factories.make_tee_set(factories.make_course())
        member = factories.make_member(Role.PLAYER)
        player = factories.make_player(member=member)
    with Answering(None).running() as hanging, Receiver().running() as receiver:
        with club_scope(sufferer.id):
            destination_at(hanging.url)
            for _ in range(3):
                announce()
        thread.start()
        try:
            wait_until(lambda: hanging.connections, what="the message that hangs")
            wait_until(lambda: open_transactions() == 0, what="no open transaction")
            with club_scope(neighbour.id):
                destination_at(receiver.url)
                round_ = factories.make_round(member, player)

            def analysed() -> bool:
                with club_scope(neighbour.id):
                    return Round.objects.get(id=round_.id).analysis == "done"

            wait_until(analysed, what="the analysis")
            wait_until(lambda: receiver.received, what="the other club's message")
            assert len(hanging.connections) == 1, "one message of a club at a time"
            with club_scope(sufferer.id):
                assert not Delivery.objects.exclude(attempts=[]).exists(), "the first one hangs still"
            hanging.connections[0].close()
        finally:
            thread.stop()


@committed
def test_no_transaction_is_open_while_a_message_is_sent(two_clubs, monkeypatch):
    within = []

    def sends(*_sent: object) -> int:
        within.append(connection.in_atomic_block)
        return 204

    monkeypatch.setattr("golfstats.ground.webhooks.tasks.post", sends)
    with club_scope(two_clubs[0].id):
        destination_at("http://127.0.0.1:1/")
        announce()
    worker.drain()
    assert within == [False]


@pytest.mark.django_db
def test_a_club_whose_receivers_all_hang_uses_no_more_than_its_share_of_the_senders(two_clubs, monkeypatch):
    """Each destination is another one, so that none has failed often enough to be left alone."""
    clock, hung = [0.0], []
    monkeypatch.setattr(worker, "_shares", defaultdict(lambda: Shares(now=lambda: clock[0])))

    def hangs(target: Target, *_sent: object) -> int:
        clock[0] += DEADLINE_SECONDS
        hung.append(target.path)
        raise SendingError("timed out")

    monkeypatch.setattr("golfstats.ground.webhooks.tasks.post", hangs)
    sufferer, neighbour = two_clubs
    with club_scope(sufferer.id):
        for number in range(20):
            destination_at(f"http://127.0.0.1:1/{number}")
        announce()
    worker.drain(queue=Queue.MESSAGES)
    allowed = worker.MESSAGES_AT_MOST / DEADLINE_SECONDS + 1
    assert 1 <= len(hung) <= allowed
    monkeypatch.setattr("golfstats.ground.webhooks.tasks.post", lambda *_sent: 204)
    with club_scope(neighbour.id):
        destination_at("http://127.0.0.1:1/quick")
        announce()
    assert worker.drain(queue=Queue.MESSAGES) == 1, "the neighbour's at once, and none of the sufferer's"
    with club_scope(neighbour.id):
        assert answers.deliveries_of(None).get().state == "delivered"
    monkeypatch.setattr("golfstats.ground.webhooks.tasks.post", hangs)
    clock[0] += FORGOTTEN_AFTER_SECONDS
    before = len(hung)
    worker.drain(queue=Queue.MESSAGES)
    assert 1 <= len(hung) - before <= allowed, "it goes on a minute later"


@pytest.mark.django_db
@pytest.mark.parametrize("answer", [b"HTTP/1.1 \x00\x00 what\r\n\r\n", b"\x00\xff" * 50 + b"\r\n", b""])
def test_nonsense_for_an_answer_is_a_logged_attempt(club, answer):
    with Answering(answer).running() as receiver:
        destination_at(receiver.url)
        announce()
        assert worker.drain() == 1
    delivery = answers.deliveries_of(None).get()
    assert (len(delivery.attempts), delivery.state) == (1, "waiting")
    assert "\0" not in delivery.attempts[0]["error"]


@pytest.mark.django_db
def test_an_address_with_other_letters_is_sent_to_percent_encoded(club):
    with Receiver().running() as receiver:
        destination_at(receiver.url.replace("/golf?from=club", "/grün?von=küste&as=%20"))
        announce()
        worker.drain()
    # RFC 3986, 2.1 and 2.5: UTF-8, then percent-encoded; what is encoded already stays.
    assert receiver.received[0].path == "/gr%C3%BCn?von=k%C3%BCste&as=%20"


@pytest.mark.django_db
def test_a_fault_of_ours_is_a_logged_attempt_as_well(club, monkeypatch):
    def broken(*_args: object) -> int:
        raise RuntimeError("not foreseen")

    monkeypatch.setattr("golfstats.ground.webhooks.tasks.post", broken)
    destination_at("http://127.0.0.1:1/")
    announce()
    worker.drain()
    assert answers.deliveries_of(None).get().attempts[0]["error"] == "RuntimeError: not foreseen"


@pytest.mark.django_db
def test_a_destination_that_never_answers_is_left_alone_for_a_while(club):
    with Receiver(*[500] * PATIENCE).running() as receiver:
        destination_at(receiver.url)
        for _ in range(PATIENCE + 3):
            announce()
        worker.drain()
        destination = Destination.objects.get()
        assert len(receiver.received) == PATIENCE
        assert destination.paused_until > timezone.now()
        make_due()
        worker.drain()
        assert len(receiver.received) == PATIENCE, "it is left alone"

        Destination.objects.update(paused_until=timezone.now() - timedelta(seconds=1))
        make_due()
        worker.drain()
    assert {one.state for one in answers.deliveries_of(None)} == {"delivered"}
    destination.refresh_from_db()
    assert (destination.failures, destination.paused_until) == (0, None)


@pytest.mark.django_db
def test_each_further_failure_pauses_it_for_longer(club):
    destination_at("http://127.0.0.1:1/")
    pauses = []
    for _ in range(3):
        Destination.objects.update(failures=PATIENCE - 1 + len(pauses), paused_until=None)
        services.send_test(Destination.objects.get())
        worker.drain()
        pauses.append(Destination.objects.get().paused_until - timezone.now())
    minutes = [round(pause.total_seconds() / 60) for pause in pauses]
    assert minutes == [1, 2, 4]


@pytest.mark.django_db
def test_what_is_days_old_is_given_up_and_not_kept_for_a_destination_that_is_gone(club):
    destination_at("http://127.0.0.1:1/", Happening.ROUND_ANALYSED)
    announce()
    Destination.objects.update(failures=50, paused_until=timezone.now() + timedelta(hours=1))
    Delivery.objects.update(created_at=timezone.now() - timedelta(days=4))
    worker.drain()
    assert answers.deliveries_of(None).get().state == "failed"
    assert not OutstandingWork.objects.filter(kind="webhook_delivery").exists()


@pytest.mark.django_db
def test_the_log_of_deliveries_goes_back_a_month(club):
    with Receiver().running() as receiver:
        destination_at(receiver.url)
        announce()
        worker.drain(limit=ENOUGH)
        Delivery.objects.update(created_at=timezone.now() - services.LOG_KEPT)
        announce()
        worker.drain(limit=ENOUGH)
    pass_time(services.LOG_KEPT + timedelta(minutes=1))
    worker.drain(limit=ENOUGH)
    assert Delivery.objects.count() == 1
    Delivery.objects.update(created_at=timezone.now() - services.LOG_KEPT)
    pass_time(services.LOG_KEPT + timedelta(minutes=1))
    worker.drain(limit=ENOUGH)
    assert not Delivery.objects.exists()
    assert not OutstandingWork.objects.exists()
