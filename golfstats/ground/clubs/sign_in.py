"""Signing in by name and password, and what wrong passwords lead to."""

from __future__ import annotations

from ipaddress import ip_address, ip_network
from typing import Any

from django.conf import settings
from django.contrib.auth.backends import ModelBackend
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest

from golfstats.ground.clubs import second_factor
from golfstats.ground.clubs.models import SignIn, User
from golfstats.ground.counts import lately
from golfstats.ground.faults import ProblemError, Refusal
from golfstats.ground.seats import seat
from golfstats.sentences import Sentence

CODE_HEADER = "One-Time-Code"
WRONG_FROM_ONE_ADDRESS, LOCKED_SECONDS = 10, 900
"""So many wrong passwords for a name from one address, and that address waits, for this name."""
WRONG_FROM_ANYWHERE, LOCKED_EVERYWHERE_SECONDS = 100, 3600
"""Guessing from many addresses. Higher, so that nobody can lock out another person in passing."""
INSIDE = "within the account"
"""Where who is signed in already tries passwords: counted apart, so that a thief of a token locks nobody's sign-in."""


class GuardedBackend(ModelBackend):
    """Django's own look at name and password, behind a lock for those who keep guessing."""

    def authenticate(
        self,
        request: HttpRequest | None,
        username: str | None = None,
        password: str | None = None,
        code: str | None = None,
        **kwargs: Any,
    ) -> User | None:
        """``code``: of a second factor; in the header ``One-Time-Code`` where there is no form."""
        del kwargs
        if username is None or password is None or "\0" in username:
            return None
        address = address_of(request)
        if is_locked(username, address):
            raise PermissionDenied
        with seat():
            user = super().authenticate(request, username=username, password=password)
        if not isinstance(user, User):
            _count_wrong(username, address)
            return None
        if second_factor.is_set_up(user):
            given = code or (request.headers.get(CODE_HEADER, "") if request is not None else "")
            if not given:
                raise second_factor.needed(wrong=False)
            if not second_factor.passes(user, "".join(given.split())):
                _count_wrong(username, address)
                raise second_factor.needed(wrong=True)
        SignIn.objects.create(user=user, address=address)
        return user


def is_own_password(user: User, password: str) -> bool:
    """Whether it is, of somebody who is signed in; refused behind the same lock as at the sign-in.

    Whoever has taken over a session or a token must not find out the password by it. Outside a transaction: what
    was tried stays counted.
    """
    name = user.get_username()
    if is_locked(name, INSIDE):
        title = Sentence("Too many wrong passwords: wait a quarter of an hour")
        wait = {"Retry-After": str(LOCKED_SECONDS)}
        raise ProblemError("throttled", title, Refusal.TOO_OFTEN, headers=wait)
    with seat():
        right = user.check_password(password)
    if not right:
        _count_wrong(name, INSIDE)
    return right


def _count_wrong(username: str, address: str) -> None:
    for what, seconds in _counted(username, address):
        lately(what, seconds, by=1)


def is_locked(username: str, address: str) -> bool:
    """Whether this address has to wait before it may try this name again."""
    (here, seconds_here), (anywhere, seconds_anywhere) = _counted(username, address)
    return (
        round(lately(here, seconds_here)) >= WRONG_FROM_ONE_ADDRESS
        or round(lately(anywhere, seconds_anywhere)) >= WRONG_FROM_ANYWHERE
    )


def address_of(request: HttpRequest | None) -> str:
    """The client's address: past the proxies that are ours (``NUM_PROXIES``), which alone can be believed."""
    if request is None:
        return ""
    direct = str(request.META.get("REMOTE_ADDR", ""))
    proxies: int = settings.REST_FRAMEWORK["NUM_PROXIES"]
    forwarded = [
        one.strip() for one in str(request.META.get("HTTP_X_FORWARDED_FOR", "")).split(",") if one.strip()
    ]
    if not proxies or not forwarded:
        return direct
    return forwarded[-min(proxies, len(forwarded))]


def counted_as(address: str) -> str:
    """Of an IPv6 address its first 64 bits: the rest is a machine's own to choose (RFC 4291, 2.5.4), ever anew."""
    try:
        ip = ip_address(address)
    except ValueError:
        return address
    if ip.version == 4:
        return address
    return str(ip.ipv4_mapped or ip_network((ip, 64), strict=False))


def _counted(username: str, address: str) -> tuple[tuple[str, int], tuple[str, int]]:
    name = username.casefold()
    return (
        (f"wrong password for {name} from {counted_as(address)}", LOCKED_SECONDS),
        (f"wrong password for {name}", LOCKED_EVERYWHERE_SECONDS),
    )
