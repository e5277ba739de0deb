"""Forgetting what nobody needs any more: ended sessions and tokens, old sign-ins, counts, and what rooms add."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

from django.contrib.sessions.models import Session
from knox.models import AuthToken

from golfstats.ground.clubs.models import Counted, SignIn
from golfstats.ground.clubs.second_factor import seal_older

SIGN_INS_KEPT = timedelta(days=90)
further: dict[str, Callable[[], int]] = {"second factors sealed anew": seal_older}
"""What else is put in order, also by rooms of higher floors: each says how much it was."""


def purge(now: datetime) -> dict[str, int]:
    """Delete it; gives how much of each it was."""
    outdated = {
        "ended sessions": Session.objects.filter(expire_date__lt=now),
        "ended tokens": AuthToken.objects.filter(expiry__lt=now),
        "old sign-ins": SignIn.objects.filter(at__lt=now - SIGN_INS_KEPT),
        # All of them: in the night hardly anybody is being counted, and a throttle that begins anew hurts nobody.
        "counts": Counted.objects.all(),
    }
    deleted = {what: rows.delete()[0] for what, rows in outdated.items()}
    return deleted | {what: forget() for what, forget in further.items()}
