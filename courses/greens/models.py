"""In what state the greens are: work, readings, and what the worker made of them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import F, Q

from courses.layout.models import Course
from golfstats.ground.clubs.models import Member
from golfstats.ground.walls.dated import Dated
from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey


class WorkStatus(models.TextChoices):
    """RFC 5545 STATUS of an event, in lower case."""

    TENTATIVE = "tentative"
    """Not certain yet: shown, and not counted."""
    CONFIRMED = "confirmed"
    """Counted from its day on."""
    CANCELLED = "cancelled"
    """It was called off: not counted."""


class GreenWork(Dated):
    """Work on the greens, from its first to its last day."""

    course = OwnedForeignKey(Course, on_delete=models.CASCADE, related_name="green_work")
    kind = models.CharField(max_length=40)
    """A kind of :mod:`golfstats.calc.greens.surface.work_types`."""
    starts_on = models.DateField()
    ends_on = models.DateField()
    holes = ArrayField(models.PositiveSmallIntegerField(), default=list, blank=True)
    """Numbers of the greens; empty = all."""
    tine_diameter_mm = models.FloatField(null=True, blank=True)
    spacing_along_mm = models.FloatField(null=True, blank=True)
    spacing_across_mm = models.FloatField(null=True, blank=True)
    severity = models.FloatField(null=True, blank=True)
    """Surface disturbance just after the work, 0 to 1, where staff know better than the kind's default."""
    temporary_greens = models.BooleanField(default=False)
    """Temporary greens were in play: putts of these days stay out of comparisons."""
    status = models.CharField(max_length=10, choices=WorkStatus, default=WorkStatus.CONFIRMED)
    note = models.TextField(blank=True)
    uid = models.CharField(max_length=255)
    """UID of the calendar event; stable over edits."""
    sequence = models.PositiveIntegerField(default=0)
    entered_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, related_name="+")
    created_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)

    class Meta(ClubOwned.Meta):
        indexes = [models.Index(fields=["club", "course", "starts_on"])]
        constraints = [
            models.UniqueConstraint(fields=["club", "course", "uid"], name="green_work_uid_once"),
            models.CheckConstraint(
                condition=Q(ends_on__gte=F("starts_on")), name="green_work_ends_after_start"
            ),
            models.CheckConstraint(
                condition=(Q(tine_diameter_mm__isnull=True) | Q(tine_diameter_mm__gt=0))
                & (Q(spacing_along_mm__isnull=True) | Q(spacing_along_mm__gt=0))
                & (Q(spacing_across_mm__isnull=True) | Q(spacing_across_mm__gt=0)),
                name="green_work_sizes_positive",
            ),
            models.CheckConstraint(
                condition=Q(severity__isnull=True) | Q(severity__range=(0, 1)),
                name="green_work_severity_0_to_1",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.starts_on}"


class GreenWorkChange(ClubOwned):
    """History: what a piece of green work said before it was edited or deleted."""

    work_id = models.UUIDField()
    """Id of the work; no key, because the history outlives it."""
    changed_at = models.DateTimeField(auto_now_add=True)
    changed_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, related_name="+")
    action = models.CharField(
        max_length=10, choices=[("created", "created"), ("edited", "edited"), ("deleted", "deleted")]
    )
    before = models.JSONField(null=True)
    after = models.JSONField(null=True)

    class Meta(ClubOwned.Meta):
        indexes = [models.Index(fields=["club", "work_id", "changed_at"])]

    def __str__(self) -> str:
        return f"{self.action} {self.changed_at:%Y-%m-%d}"


class GreenReading(Dated):
    """Measurements of a green at one moment."""

    course = OwnedForeignKey(Course, on_delete=models.CASCADE, related_name="green_readings")
    hole = models.PositiveSmallIntegerField(null=True, blank=True)
    """Number of the green; none = the practice green."""
    measured_at = models.DateTimeField()
    roll_one_way_ft = ArrayField(models.FloatField(), default=list, blank=True)
    """Stimpmeter distances of the balls rolled one way, usually three."""
    roll_other_way_ft = ArrayField(models.FloatField(), default=list, blank=True)
    """Those rolled back; a reading has both or neither."""
    firmness_g = models.FloatField(null=True, blank=True)
    moisture_pct = models.FloatField(null=True, blank=True)
    mowing_height_mm = models.FloatField(null=True, blank=True)
    bobble_score = models.PositiveSmallIntegerField(null=True, blank=True)
    """Smoothness by eye, 1 (rough) to 5 (smooth)."""
    note = models.TextField(blank=True)
    entered_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, related_name="+")

    class Meta(ClubOwned.Meta):
        indexes = [models.Index(fields=["club", "course", "measured_at"])]
        constraints = [
            models.CheckConstraint(
                condition=(Q(roll_one_way_ft__len=0) & Q(roll_other_way_ft__len=0))
                | (Q(roll_one_way_ft__len__gt=0) & Q(roll_other_way_ft__len__gt=0)),
                name="rolled_both_ways_or_not_at_all",
            ),
            models.CheckConstraint(
                condition=Q(bobble_score__isnull=True) | Q(bobble_score__range=(1, 5)), name="bobble_1_to_5"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.measured_at:%Y-%m-%d %H:%M}"


class CourseNote(ClubOwned):
    """The condition note of a course on one day, written by the worker."""

    course = OwnedForeignKey(Course, on_delete=models.CASCADE, related_name="notes")
    day = models.DateField()
    text = models.TextField()
    sentence = models.JSONField(null=True)
    """The text in parts, which says the same in other languages; None where it was written before there were any."""
    figures = models.JSONField(default=dict)
    """The numbers the text rests on."""
    written_at = models.DateTimeField(auto_now=True)

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["club", "course", "day"], name="course_note_once_a_day")
        ]

    def __str__(self) -> str:
        return self.text


class RecoveryTime(ClubOwned):
    """How long this club's greens take to recover from a kind of work, as its own putts have shown."""

    kind = models.CharField(max_length=40)
    days = models.FloatField()
    low = models.FloatField()
    high = models.FloatField()
    rounds = models.PositiveIntegerField()
    """Rounds on disturbed greens that this rests on."""
    estimated_at = models.DateTimeField(auto_now=True)

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["club", "kind"], name="recovery_once_a_kind"),
            models.CheckConstraint(condition=Q(days__gte=0), name="recovery_not_negative"),
        ]

    def __str__(self) -> str:
        return f"{self.kind}: {self.days:.0f} days"


@dataclass(frozen=True)
class WorkFields:
    """What a person enters of green work. Kept in its history."""

    starts_on: dt.date
    ends_on: dt.date
    kind: str
    """Key of the kind of work."""
    holes: list[int]
    """Numbers of the greens; empty is all."""
    tine_diameter_mm: float | None
    spacing_along_mm: float | None
    spacing_across_mm: float | None
    severity: float | None
    """Surface disturbance just after the work, 0 to 1, where staff know better than the usual."""
    temporary_greens: bool
    """Play went to temporary greens meanwhile."""
    status: WorkStatus
    """Tentative, confirmed or cancelled; only confirmed work counts."""
    note: str
    """What staff wrote beside it."""
