"""A second factor beside the password: set up and removed by its owner, asked for wherever the password signs in."""

from __future__ import annotations

import base64
import datetime as dt
import io
import re
from typing import Any
from urllib.parse import parse_qs, urlsplit

import matplotlib.image
import numpy as np
import pytest
import vl_convert
import zxingcpp
from django.core.management import CommandError, call_command
from django.db import connection
from django.test import Client
from django_otp.plugins.otp_static.models import StaticDevice, StaticToken
from rest_framework.test import APIClient

from golfstats.ground.clubs.models import Authenticator, User
from golfstats.ground.clubs.sealing import UnknownKeyError
from golfstats.ground.clubs.sign_in import WRONG_FROM_ONE_ADDRESS
from tests.api.test_api_behaviour import is_problem
from tests.authenticators import code_of

KEY_OF_BEFORE, CODE_OF_BEFORE = "3132333435363738393031323334353637383930", "abcd2345"
"""As django-otp keeps them by itself. The key is that of RFC 6238, appendix B."""
pytestmark = pytest.mark.django_db
PASSWORD = "six words of a long password"


class Clock:
    """The time that the service and the authenticator agree on."""

    def __init__(self) -> None:
        self.seconds = 1_790_000_000.0

    def now(self) -> dt.datetime:
        return dt.datetime.fromtimestamp(self.seconds, dt.UTC)

    def later(self, seconds: float = 60.0) -> None:
        self.seconds += seconds


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    made = Clock()
    monkeypatch.setattr("django_otp.plugins.otp_totp.models.time.time", lambda: made.seconds)
    # What slows guessing down is measured by this clock too: on a busy machine a second passes between two requests.
    monkeypatch.setattr("django_otp.models.timezone", made)
    return made


@pytest.fixture
def ines() -> User:
    return User.objects.create_user("ines", password=PASSWORD)


def on_the_page(code: str = "", password: str = PASSWORD, address: str = "192.0.2.1") -> tuple[Client, Any]:
    browser = Client(REMOTE_ADDR=address)
    given = {"username": "ines", "password": password, "code": code}
    return browser, browser.post("/sign-in", given)


def by_program(code: str = "", address: str = "192.0.2.2") -> Any:
    basic = base64.b64encode(f"ines:{PASSWORD}".encode()).decode()
    headers = {"Authorization": f"Basic {basic}"} | ({"One-Time-Code": code} if code else {})
    return APIClient(headers=headers, REMOTE_ADDR=address).post("/api/v1/tokens")


def set_up(clock: Clock) -> tuple[str, list[str]]:
    """The key that the authenticator was told, and the recovery codes."""
    browser, _ = on_the_page()
    page = browser.get("/account/second-factor").content.decode()
    (address,) = re.findall(r'href="(otpauth:[^"]+)"', page)
    key = parse_qs(urlsplit(address.replace("&amp;", "&")).query)["secret"][0]
    assert key in page, "it can be typed as well"
    answer = browser.post("/account/second-factor", {"code": code_of(key, clock.seconds)})
    (codes,) = re.findall(r"<pre>(.*?)</pre>", answer.content.decode(), re.DOTALL)
    clock.later()
    return key, codes.split()


def test_nobody_is_asked_before_an_authenticator_has_shown_its_code(ines: User, clock: Clock) -> None:
    browser, _ = on_the_page()
    browser.get("/account/second-factor")
    wrong = browser.post("/account/second-factor", {"code": "000000"})
    assert (wrong.status_code, "not the present code" in wrong.content.decode()) == (422, True)
    assert on_the_page()[1].status_code == 302
    assert by_program().status_code == 201


def test_both_doors_ask_for_the_code(ines: User, clock: Clock) -> None:
    key, _ = set_up(clock)
    browser, answer = on_the_page()
    assert "give its code as well" in answer.content.decode()
    assert browser.get("/account").status_code == 302
    is_problem(by_program(), 401, "second-factor")
    browser, answer = on_the_page(code_of(key, clock.seconds))
    assert answer.status_code == 302
    assert browser.get("/account").status_code == 200
    clock.later()
    assert by_program(code_of(key, clock.seconds)).status_code == 201


def test_a_code_is_worth_nothing_without_the_password_and_passes_once(ines: User, clock: Clock) -> None:
    key, _ = set_up(clock)
    code = code_of(key, clock.seconds)
    assert "do not belong together" in on_the_page(code, "guess")[1].content.decode()
    assert on_the_page(code)[1].status_code == 302
    assert on_the_page(code)[1].status_code == 200, "whoever looked over a shoulder is late"


def test_each_recovery_code_replaces_the_telephone_once(ines: User, clock: Clock) -> None:
    _, codes = set_up(clock)
    assert len(set(codes)) == 10
    browser, answer = on_the_page(f" {codes[0].upper()} ")
    assert answer.status_code == 302
    assert "9 recovery codes left" in browser.get("/account").content.decode()
    assert on_the_page(codes[0])[1].status_code == 200
    assert by_program(codes[1]).status_code == 401, "a wrong code has to be waited for"


def test_guessing_codes_ends_as_guessing_passwords_does(ines: User, clock: Clock) -> None:
    key, _ = set_up(clock)
    for _ in range(WRONG_FROM_ONE_ADDRESS):
        assert on_the_page("123456")[1].status_code == 200
    assert on_the_page(code_of(key, clock.seconds))[1].status_code == 429
    elsewhere = on_the_page(code_of(key, clock.seconds), address="192.0.2.77")[1]
    assert elsewhere.status_code == 200, "and for this sign-in nowhere for a while"


def test_it_is_removed_with_a_code_and_not_without(ines: User, clock: Clock) -> None:
    key, codes = set_up(clock)
    browser, _ = on_the_page(code_of(key, clock.seconds))
    clock.later()
    assert browser.get("/account/second-factor").status_code == 302, "no second one beside it"
    browser.post("/account", {"remove": "yes", "code": "wrong"})
    assert on_the_page()[1].status_code == 200
    browser.post("/account", {"remove": "yes", "code": code_of(key, clock.seconds)})
    assert on_the_page()[1].status_code == 302
    browser.get("/account/second-factor")
    assert by_program(codes[0]).status_code == 201, "the old codes are nothing any more, and not asked for"


def test_a_new_password_by_mail_does_not_go_past_it(ines: User, clock: Clock) -> None:
    set_up(clock)
    ines.set_password("another long password")
    ines.save()
    assert "give its code" in on_the_page(password="another long password")[1].content.decode()


def test_the_codes_are_those_of_the_standard() -> None:
    """RFC 6238, appendix B: SHA-1, the last six of the eight digits that it prints."""
    key = base64.b32encode(b"12345678901234567890").decode()
    told = {59: "94287082", 1111111109: "07081804", 1234567890: "89005924", 20000000000: "65353130"}
    assert {moment: code_of(key, moment) for moment in told} == {
        moment: code[-6:] for moment, code in told.items()
    }


def test_a_camera_reads_the_same_link_from_the_picture(ines: User, clock: Clock) -> None:
    """Read by another library than the one that drew it."""
    page = on_the_page()[0].get("/account/second-factor").content.decode()
    (drawn,) = re.findall(r"<svg.*?</svg>", page, re.DOTALL)
    assert "style=" not in drawn, "the page's security policy forbids it"
    drawn = drawn.replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"')
    colours = matplotlib.image.imread(io.BytesIO(vl_convert.svg_to_png(drawn)), format="png")
    grey = np.ascontiguousarray((colours[..., :3].mean(axis=2) * 255).astype(np.uint8))
    (link,) = re.findall(r'href="(otpauth:[^"]+)"', page)
    assert [one.text for one in zxingcpp.read_barcodes(grey)] == [link.replace("&amp;", "&")]


def stored() -> str:
    """Everything that the tables of second factors hold."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT (SELECT string_agg(device::text, ' ') FROM otp_totp_totpdevice device)"
            " || (SELECT string_agg(code::text, ' ') FROM otp_static_statictoken code)"
        )
        return str(cursor.fetchone()[0])


def test_who_has_the_database_alone_has_no_codes(ines: User, clock: Clock) -> None:
    key, codes = set_up(clock)
    told = stored()
    raw = base64.b32decode(key)
    for secret in (key, raw.hex(), base64.b64encode(raw).decode(), *codes):
        assert secret.lower() not in told.lower()
    in_table = StaticToken.objects.first()
    assert in_table is not None
    assert on_the_page(in_table.token)[1].status_code == 200, "what stands in the table is no code"
    clock.later()
    assert on_the_page(codes[0])[1].status_code == 302


def as_before(user: User) -> None:
    """A second factor as it was stored before there were seals."""
    Authenticator.objects.create(user=user, key=KEY_OF_BEFORE, confirmed=True)
    device = StaticDevice.objects.create(user=user)
    StaticToken.objects.create(device=device, token=CODE_OF_BEFORE)


def test_what_was_stored_before_holds_and_is_sealed_by_purge(ines: User, clock: Clock) -> None:
    as_before(ines)
    key = base64.b32encode(bytes.fromhex(KEY_OF_BEFORE)).decode()
    assert on_the_page(code_of(key, clock.seconds))[1].status_code == 302
    assert KEY_OF_BEFORE in stored()
    call_command("purge")
    assert KEY_OF_BEFORE not in stored()
    assert CODE_OF_BEFORE not in stored()
    clock.later()
    assert on_the_page(code_of(key, clock.seconds))[1].status_code == 302
    assert on_the_page(CODE_OF_BEFORE)[1].status_code == 302
    assert on_the_page(CODE_OF_BEFORE)[1].status_code == 200


def test_another_secret_key_opens_what_the_old_one_sealed(ines: User, clock: Clock, settings: Any) -> None:
    key, codes = set_up(clock)
    settings.SECRET_KEY_FALLBACKS, settings.SECRET_KEY = [settings.SECRET_KEY], "another key " * 5
    assert on_the_page(code_of(key, clock.seconds))[1].status_code == 302
    assert on_the_page(codes[0])[1].status_code == 302
    call_command("purge")
    settings.SECRET_KEY_FALLBACKS = []
    clock.later()
    assert on_the_page(code_of(key, clock.seconds))[1].status_code == 302, "sealed anew under the new one"
    settings.SECRET_KEY = "a third key " * 5
    clock.later()
    with pytest.raises(UnknownKeyError, match="OLD_SECRET_KEYS"):
        on_the_page(code_of(key, clock.seconds))


def test_whoever_runs_the_service_helps_those_who_have_lost_everything(ines: User, clock: Clock) -> None:
    set_up(clock)
    call_command("forget_second_factor", "ines")
    assert on_the_page()[1].status_code == 302
    with pytest.raises(CommandError):
        call_command("forget_second_factor", "nobody")
