"""What the worker does about conditions, and when it is asked to."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from django.utils import timezone

from courses.services.greens import GREENS_CHANGED
from golfstats.clubs.models import Club
from golfstats.clubs.scope import current_club_id
from golfstats.outbox import work
from players.conditions.effect import refit_contexts, refit_greens
from players.conditions.refresh import refresh_all, refresh_course, refresh_rounds

CONDITION_EFFECT = "condition_effect"
"""Key: the club."""
SETTLING = timedelta(minutes=2)
"""Staff who enter a season of work ask for one fit and not for fifty."""
NIGHT = time(3, 30)


@work.handler(GREENS_CHANGED)
def greens_changed(key: str) -> None:
    """Notes and adjusted figures of the rounds in question at once, by what is known; the fit follows."""
    course, first, last = key.split(":")
    refresh_course(UUID(course), date.fromisoformat(first), date.fromisoformat(last))
    work.ask(CONDITION_EFFECT, str(current_club_id()), due_at=timezone.now() + SETTLING)


@work.handler(CONDITION_EFFECT)
def condition_effect(key: str) -> None:
    """Fit what disturbed greens cost here, and say it again wherever it was said."""
    work.one_at_a_time(f"{CONDITION_EFFECT}:{key}")
    refit_greens()
    refresh_all()
    refit_contexts()


def rounds_analysed(club: Club, round_ids: Sequence[UUID]) -> None:
    """After their analysis: the surface that the rounds met; what it costs is fitted again in the night."""
    refresh_rounds(round_ids)
    zone = ZoneInfo(club.time_zone)
    tomorrow = datetime.now(zone).date() + timedelta(days=1)
    work.ask(CONDITION_EFFECT, str(club.id), due_at=datetime.combine(tomorrow, NIGHT, zone))
