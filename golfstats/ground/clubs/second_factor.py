"""What some people show beside their password: a code that changes every half minute (RFC 6238), or a recovery code.

It is asked for wherever a password signs somebody in, which is one place: ``golfstats.ground.clubs.sign_in``. Trying
codes is slowed down by django-otp, each wrong one for twice as long, and counts as a wrong password besides.
Keys are stored sealed and recovery codes as digests (``golfstats.ground.clubs.sealing``).
"""

from __future__ import annotations

import datetime as dt
import secrets
from base64 import b32encode
from dataclasses import dataclass

import segno
from django.db import transaction
from django.db.models.functions import Length
from django.utils.translation import gettext
from django_otp.plugins.otp_static.models import StaticDevice, StaticToken

from golfstats.ground.clubs import sealing
from golfstats.ground.clubs.models import Authenticator, User
from golfstats.ground.faults import Fault, ProblemError, Refusal, invalid
from golfstats.sentences import Sentence

RECOVERY_CODES = 10
DIGITS = 6
KEY_BYTES = 20
"""As RFC 4226, section 4, recommends."""
DIGEST_LENGTH = 16
NAME = "authenticator"
WRONG = Fault("/code", "wrong_code", Sentence("this is not the present code; each can be used once"))


@dataclass(frozen=True)
class Beginning:
    """What an authenticator is told, once."""

    key: str
    """In base 32, as people type it."""
    address: str
    """The same as an otpauth: link, which a telephone opens by itself."""

    def picture(self) -> str:
        """The link as a QR code (ISO/IEC 18004), in SVG: black on white whatever the page's colours, for cameras."""
        code = segno.make_qr(self.address, error="m")
        return str(
            code.svg_inline(
                scale=5, border=4, dark="black", light="white", title=gettext("QR code of the key")
            )
        )


@dataclass(frozen=True)
class Known:
    """What may be told of somebody's second factor: never the key, nor the codes."""

    since: dt.datetime | None
    last_used_at: dt.datetime | None
    recovery_codes_left: int


def is_set_up(user: User) -> bool:
    return bool(Authenticator.objects.filter(user=user, confirmed=True).exists())


def known_of(user: User) -> Known | None:
    device = Authenticator.objects.filter(user=user, confirmed=True).first()
    if device is None:
        return None
    return Known(device.created_at, device.last_used_at, recovery_codes_left(user))


def recovery_codes_left(user: User) -> int:
    return int(StaticToken.objects.filter(device__user=user).count())


def begin(user: User) -> Beginning:
    """A key for an authenticator. Nobody is asked for a code before :func:`confirm`."""
    if is_set_up(user):
        raise ProblemError(
            "second-factor-set-up", Sentence("There is a second factor already"), Refusal.CONFLICT
        )
    device = Authenticator.objects.filter(user=user, confirmed=False).first()
    if device is None:
        key = sealing.seal(secrets.token_bytes(KEY_BYTES))
        device = Authenticator.objects.create(user=user, name=NAME, confirmed=False, key=key)
    return Beginning(b32encode(device.bin_key).decode(), device.config_url)


def confirm(user: User, code: str) -> list[str]:
    """The authenticator shows what it should: from now on it is asked for. Gives the recovery codes, this once."""
    if is_set_up(user) or not _is_right(Authenticator, user, code, confirmed=False):
        raise invalid([WRONG])
    with transaction.atomic():
        StaticDevice.objects.filter(user=user).delete()
        Authenticator.objects.filter(user=user).update(confirmed=True)
        device = StaticDevice.objects.create(user=user, name=NAME)
        codes = [StaticToken.random_token() for _ in range(RECOVERY_CODES)]
        kept = [StaticToken(device=device, token=sealing.digests(one)[0]) for one in codes]
        StaticToken.objects.bulk_create(kept)
    return codes


def remove(user: User, code: str) -> None:
    if not passes(user, code):
        raise invalid([WRONG])
    forget(user)


@transaction.atomic
def forget(user: User) -> None:
    """Ask this person for their password alone."""
    Authenticator.objects.filter(user=user).delete()
    StaticDevice.objects.filter(user=user).delete()


def passes(user: User, code: str) -> bool:
    """Whether it is the code of now or a recovery code; either passes once."""
    if len(code) == DIGITS and code.isdecimal():
        return _is_right(Authenticator, user, code)
    return _is_right(StaticDevice, user, _as_stored(user, code.lower()))


def seal_older() -> int:
    """Seal anew, under the present key, what was stored before there were seals or under an older key."""
    sealed = 0
    with transaction.atomic():
        for device in Authenticator.objects.select_for_update().order_by("id"):
            if not sealing.is_sealed_now(device.key):
                device.key = sealing.seal(device.bin_key)
                device.save(update_fields=["key"])
                sealed += 1
        plain = StaticToken.objects.annotate(length=Length("token")).filter(length__lt=DIGEST_LENGTH)
        for token in plain.select_for_update().order_by("id"):
            token.token = sealing.digests(token.token)[0]
            token.save(update_fields=["token"])
            sealed += 1
    return sealed


def needed(*, wrong: bool) -> ProblemError:
    title = (
        Sentence("This is not the present code")
        if wrong
        else Sentence("This sign-in has a second factor: give its code as well")
    )
    headers = {"WWW-Authenticate": 'Basic realm="api"'}
    return ProblemError("second-factor", title, Refusal.NOT_SIGNED_IN, headers=headers)


def _as_stored(user: User, code: str) -> str:
    """The recovery code as it stands in the table; itself where it was stored before there were digests."""
    if len(code) >= DIGEST_LENGTH:
        return ""  # a digest is no code, whoever has read it in the table
    candidates = [*sealing.digests(code), code]
    stored = StaticToken.objects.filter(device__user=user, token__in=candidates).first()
    return stored.token if stored is not None else ""


def _is_right(
    model: type[Authenticator | StaticDevice], user: User, code: str, *, confirmed: bool = True
) -> bool:
    """In a transaction that commits: what was tried counts, and a code that was used is used."""
    with transaction.atomic():
        device = model.objects.select_for_update().filter(user=user, confirmed=confirmed).first()
        return device is not None and bool(device.verify_token(code))
