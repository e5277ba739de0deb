"""Events of a course, and the secret addresses at which calendar programs read its green work."""

from __future__ import annotations

import hashlib
import hmac
import secrets

from django.db import transaction
from django.utils import timezone

from courses.calendars.announcing import CALENDAR_EVENT_CHANGED, CALENDAR_EVENT_DELETED
from courses.calendars.models import CalendarFeed, Event
from courses.greens.services import Days
from courses.layout.models import Course
from golfstats.ground.clubs.models import Member
from golfstats.ground.events import tells
from golfstats.ground.names import Name


class EventBody(Days):
    name: Name
    """Of the event."""
    competition: bool = True
    """It is one."""


@tells(CALENDAR_EVENT_CHANGED)
def save_event(course: Course, event: Event, given: EventBody) -> Event:
    event.course, event.name, event.competition = course, given.name, given.competition
    event.starts_on, event.ends_on = given.starts_on, given.last_day
    event.save()
    return event


@tells(CALENDAR_EVENT_DELETED)
def delete_event(event: Event) -> None:
    event.delete()


@transaction.atomic
def open_feed(member: Member, course: Course) -> tuple[CalendarFeed, str]:
    """A new address; its secret is told this once and only its digest is kept."""
    secret = secrets.token_urlsafe(32)
    feed = CalendarFeed.objects.create(course=course, created_by=member, secret_digest=digest_of(secret))
    return feed, secret


@transaction.atomic
def revoke_feed(feed: CalendarFeed) -> None:
    """From now on the address answers 404."""
    feed.revoked_at = feed.revoked_at or timezone.now()
    feed.save(update_fields=["revoked_at"])


def feed_of_secret(secret: str) -> CalendarFeed | None:
    """The live feed of a secret. Every live digest of the club is compared, each in constant time."""
    digest = digest_of(secret)
    known = None
    for feed in CalendarFeed.objects.filter(revoked_at=None).select_related("course"):
        if hmac.compare_digest(feed.secret_digest, digest):
            known = feed
    return known


def digest_of(secret: str) -> str:
    # The secret has 256 random bits, so one round of a fast digest is enough.
    return hashlib.sha256(secret.encode()).hexdigest()
