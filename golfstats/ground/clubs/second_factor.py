"""What some people show beside their password: a code that changes every half minute (RFC 6238), or a recovery code.

It is asked for wherever a password signs somebody in, which is one place: ``golfstats.ground.clubs.sign_in``. Trying
codes is slowed down by django-otp, each wrong one for twice as long, and counts as a wrong password besides.
"""

from __future__ import annotations

from base64 import b32encode
from dataclasses import dataclass

from django.db import transaction
from django_otp.plugins.otp_static.models import StaticDevice, StaticToken
from django_otp.plugins.otp_totp.models import TOTPDevice

from golfstats.ground.clubs.models import User
from golfstats.ground.faults import Fault, ProblemError, Refusal, invalid

RECOVERY_CODES = 10
DIGITS = 6
NAME = "authenticator"
WRONG = Fault("/code", "wrong_code", "this is not the present code; each can be used once")


@dataclass(frozen=True)
class Beginning:
    """What an authenticator is told, once."""

    key: str
    """In base 32, as people type it."""
    address: str
    """The same as an otpauth: link, which a telephone opens by itself."""


def is_set_up(user: User) -> bool:
    return bool(TOTPDevice.objects.filter(user=user, confirmed=True).exists())


def recovery_codes_left(user: User) -> int:
    return int(StaticToken.objects.filter(device__user=user).count())


def begin(user: User) -> Beginning:
    """A key for an authenticator. Nobody is asked for a code before :func:`confirm`."""
    if is_set_up(user):
        raise ProblemError("second-factor-set-up", "There is a second factor already", Refusal.CONFLICT)
    device = TOTPDevice.objects.filter(user=user, confirmed=False).first()
    if device is None:
        device = TOTPDevice.objects.create(user=user, name=NAME, confirmed=False)
    return Beginning(b32encode(device.bin_key).decode(), device.config_url)


def confirm(user: User, code: str) -> list[str]:
    """The authenticator shows what it should: from now on it is asked for. Gives the recovery codes, this once."""
    if is_set_up(user) or not _is_right(TOTPDevice, user, code, confirmed=False):
        raise invalid([WRONG])
    with transaction.atomic():
        StaticDevice.objects.filter(user=user).delete()
        TOTPDevice.objects.filter(user=user).update(confirmed=True)
        device = StaticDevice.objects.create(user=user, name=NAME)
        codes = [StaticToken.random_token() for _ in range(RECOVERY_CODES)]
        StaticToken.objects.bulk_create(StaticToken(device=device, token=one) for one in codes)
    return codes


def remove(user: User, code: str) -> None:
    if not passes(user, code):
        raise invalid([WRONG])
    forget(user)


@transaction.atomic
def forget(user: User) -> None:
    """Ask this person for their password alone."""
    TOTPDevice.objects.filter(user=user).delete()
    StaticDevice.objects.filter(user=user).delete()


def passes(user: User, code: str) -> bool:
    """Whether it is the code of now or a recovery code; either passes once."""
    model = TOTPDevice if len(code) == DIGITS and code.isdecimal() else StaticDevice
    return _is_right(model, user, code.lower())


def needed(*, wrong: bool) -> ProblemError:
    title = (
        "This is not the present code" if wrong else "This sign-in has a second factor: give its code as well"
    )
    headers = {"WWW-Authenticate": 'Basic realm="api"'}
    return ProblemError("second-factor", title, Refusal.NOT_SIGNED_IN, headers=headers)


def _is_right(
    model: type[TOTPDevice | StaticDevice], user: User, code: str, *, confirmed: bool = True
) -> bool:
    """In a transaction that commits: what was tried counts, and a code that was used is used."""
    with transaction.atomic():
        device = model.objects.select_for_update().filter(user=user, confirmed=confirmed).first()
        return device is not None and bool(device.verify_token(code))
