"""Events on a course, and the addresses under which calendars are handed out."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from courses.layout.models import Course
from golfstats.ground.clubs.models import Member
from golfstats.ground.walls.dated import Dated
from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey


class Event(Dated):
    """A competition or other date on which the greens matter."""

    course = OwnedForeignKey(Course, on_delete=models.CASCADE, related_name="events")
    name = models.CharField(max_length=120)
    starts_on = models.DateField()
    ends_on = models.DateField()
    competition = models.BooleanField(default=True)

    class Meta(ClubOwned.Meta):
        indexes = [models.Index(fields=["club", "course", "starts_on"])]
        constraints = [
            models.CheckConstraint(condition=Q(ends_on__gte=F("starts_on")), name="event_ends_after_start")
        ]

    def __str__(self) -> str:
        return self.name


class CalendarFeed(ClubOwned):
    """A secret, revocable address at which a calendar program reads a course's green work."""

    course = OwnedForeignKey(Course, on_delete=models.CASCADE, related_name="calendar_feeds")
    secret_digest = models.CharField(max_length=64)
    created_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "secret_digest"], name="calendar_secret_once")]

    def __str__(self) -> str:
        return f"calendar of {self.course_id}"
