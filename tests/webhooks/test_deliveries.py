"""From an announcement to the receiver, with a real server on this machine at the other end."""

from __future__ import annotations

import json
import socket
import threading
from datetime import timedelta

import pytest
from django.utils import timezone

from golfstats.ground.events import Happening, Message
from golfstats.ground.outbox import worker
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.webhooks import services
from golfstats.ground.webhooks.addresses import Target, check
from golfstats.ground.webhooks.models import Delivery, Destination
from golfstats.ground.webhooks.sending import SendingError, post
from golfstats.ground.webhooks.signature import signed_headers
from tests.webhooks.receiver import CERTIFICATE, Receiver

ROUND = {"round": "0190", "strokes_gained": -1.25}

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def private_allowed(settings):
    settings.WEBHOOKS_ALLOW_PRIVATE = True


def destination_at(url: str, *happenings: Happening) -> tuple[Destination, str]:
    return services.add_destination(url, happenings or [Happening.ROUND_ANALYSED])


def announce() -> None:
    services.announce(Happening.ROUND_ANALYSED, lambda: [Message(ROUND)])


def make_due() -> None:
    """As if the wait before the next attempt were over."""
    waiting = OutstandingWork.objects.filter(kind="webhook_delivery", due_at__isnull=False)
    waiting.update(due_at=timezone.now() - timedelta(seconds=1))


def test_the_signature_is_that_of_the_specification():
    """Test vector of the Standard Webhooks specification's reference libraries."""
    headers = signed_headers(
        ["whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"],
        "msg_p5jXN8AQM9LWM0D4loKWxJek",
        1614265330,
        b'{"test": 2432232314}',
    )
    assert headers["webhook-signature"] == "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE="


def test_what_is_announced_arrives_signed_and_is_logged(club):
    with Receiver().running() as receiver:
        _, secret = destination_at(receiver.url)
        announce()
        worker.drain()
    (message,) = receiver.received
    assert message.path == "/golf?from=club"
    assert message.headers["host"] == f"localhost:{receiver.port}"
    sent = json.loads(message.body)
    assert (sent["type"], sent["data"]) == ("round_analysed", ROUND)

    delivery = Delivery.objects.get()
    assert message.headers["webhook-id"] == str(delivery.id)
    sent_at = int(message.headers["webhook-timestamp"])
    assert abs(timezone.now().timestamp() - sent_at) < 60
    expected = signed_headers([secret], str(delivery.id), sent_at, message.body)
    assert message.headers["webhook-signature"] == expected["webhook-signature"]
    assert (delivery.state, [attempt["status"] for attempt in delivery.attempts]) == ("delivered", [204])


def test_only_active_destinations_that_asked_for_it_are_told(club):
    with Receiver().running() as receiver:
        destination_at(receiver.url, Happening.INDEX_CHANGED)
        switched_off, _ = destination_at(receiver.url)
        services.change_destination(switched_off, active=False)
        announce()
        assert worker.drain() == 0
    assert receiver.received == []
    assert not Delivery.objects.exists()


def test_another_clubs_destinations_hear_nothing(two_clubs):
    with Receiver().running() as receiver:
        with club_scope(two_clubs[1].id):
            destination_at(receiver.url)
        with club_scope(two_clubs[0].id):
            announce()
        worker.drain()
    assert receiver.received == []


def test_a_failing_receiver_is_tried_again_later_with_the_same_id(club):
    with Receiver(503, 500).running() as receiver:
        destination_at(receiver.url)
        announce()
        assert worker.drain() == 1
        assert worker.drain() == 0, "the next attempt has to wait"
        for _ in range(2):
            make_due()
            worker.drain()
    delivery = Delivery.objects.get()
    assert [attempt["status"] for attempt in delivery.attempts] == [503, 500, 204]
    assert delivery.state == "delivered"
    assert len({message.headers["webhook-id"] for message in receiver.received}) == 1
    make_due()
    assert worker.drain() == 0


def test_after_the_last_attempt_it_has_failed_and_can_be_sent_again(club):
    with Receiver(*[500] * 7).running() as receiver:
        destination_at(receiver.url)
        announce()
        for _ in range(9):
            worker.drain()
            make_due()
            Destination.objects.update(paused_until=None)
        delivery = Delivery.objects.get()
        assert (len(receiver.received), delivery.state) == (7, "failed")

        services.send_again(delivery)
        worker.drain()
    delivery = Delivery.objects.get()
    assert (len(receiver.received), delivery.state) == (8, "delivered")


def test_nothing_more_is_sent_once_the_destination_is_switched_off(club):
    with Receiver(500).running() as receiver:
        destination, _ = destination_at(receiver.url)
        announce()
        worker.drain()
        services.change_destination(destination, active=False)
        make_due()
        worker.drain()
    assert len(receiver.received) == 1
    assert Delivery.objects.get().state == "failed"


def test_a_removed_destination_takes_its_deliveries_with_it(club):
    with Receiver().running() as receiver:
        destination, _ = destination_at(receiver.url)
        announce()
        services.remove_destination(destination)
        worker.drain()
    assert receiver.received == []
    assert not OutstandingWork.objects.filter(kind="webhook_delivery").exists()


def test_a_redirect_is_not_followed(club):
    elsewhere = Receiver()
    receiver = Receiver(307, headers={"Location": elsewhere.url})
    with elsewhere.running(), receiver.running():
        destination_at(receiver.url)
        announce()
        worker.drain()
    assert len(receiver.received) == 1
    assert elsewhere.received == []
    assert Delivery.objects.get().attempts[0]["status"] == 307


def test_an_address_that_has_become_private_is_refused_when_sending(club, settings):
    """The name pointed at the public internet when it was entered, and at this machine later."""
    with Receiver().running() as receiver:
        destination_at(receiver.url.replace("http://", "https://"))
        announce()
        settings.WEBHOOKS_ALLOW_PRIVATE = False
        worker.drain()
    assert receiver.received == []
    assert "not a public address" in Delivery.objects.get().attempts[0]["error"]


def test_the_name_is_looked_up_once_so_it_cannot_change_after_the_check(club, monkeypatch):
    real = socket.getaddrinfo
    asked: list[str] = []

    def look_up(host, *rest, **options):
        asked.append(host)
        return real(host, *rest, **options)

    monkeypatch.setattr(socket, "getaddrinfo", look_up)
    with Receiver().running() as receiver:
        post(check(receiver.url), b"{}", {})
    # The second is the checked address itself on its way to the connection.
    assert asked == ["localhost", "127.0.0.1"]
    assert len(receiver.received) == 1


def test_https_needs_a_certificate_that_is_trusted_and_names_the_host(monkeypatch):
    with Receiver(secure=True).running() as receiver:
        with pytest.raises(SendingError, match="certificate"):
            post(check(receiver.url), b"{}", {})
        monkeypatch.setenv("SSL_CERT_FILE", str(CERTIFICATE))
        assert post(check(receiver.url), b"{}", {}) == 204
        with pytest.raises(SendingError, match="certificate"):
            post(check(receiver.url.replace("localhost", "127.0.0.1")), b"{}", {})


def test_a_receiver_that_answers_one_byte_at_a_time_is_cut_off():
    with socket.create_server(("127.0.0.1", 0)) as server:
        gone = threading.Event()

        def drip() -> None:
            connection, _ = server.accept()
            with connection:
                try:
                    while not gone.wait(0.02):
                        connection.sendall(b"H")
                except OSError:
                    gone.set()

        dripping = threading.Thread(target=drip)
        dripping.start()
        target = Target(False, "localhost", "127.0.0.1", server.getsockname()[1], "/")
        with pytest.raises(SendingError):
            post(target, b"{}", {}, deadline=0.3)
        dripping.join(10)
        assert gone.is_set()


def test_nobody_listening_is_logged_and_tried_again(club):
    with socket.socket() as unused:
        unused.bind(("127.0.0.1", 0))
        url = f"http://127.0.0.1:{unused.getsockname()[1]}/"
    destination_at(url)
    announce()
    worker.drain()
    delivery = Delivery.objects.get()
    assert "refused" in delivery.attempts[0]["error"]
    assert delivery.state == "waiting"
