"""Where golf is played, and in what state the greens are."""

from __future__ import annotations

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import F, Q

from golfstats.clubs.models import Member
from golfstats.clubs.owned import ClubOwned, OwnedForeignKey


class Gender(models.TextChoices):
    """As course ratings are issued."""

    MEN = "men"
    WOMEN = "women"


class Section(models.TextChoices):
    """What a rating covers and what a round is played over."""

    EIGHTEEN = "18"
    FRONT = "front"
    BACK = "back"


class Course(ClubOwned):
    name = models.CharField(max_length=120)
    hole_count = models.PositiveSmallIntegerField(default=18)
    grass = models.CharField(max_length=60, blank=True)
    """Grass of the greens, in the club's words."""
    season = models.CharField(max_length=120, blank=True)
    """When it grows, in the club's words; shown beside recovery times."""

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["club", "name"], name="course_name_once"),
            models.CheckConstraint(condition=Q(hole_count__in=[9, 18]), name="course_has_9_or_18_holes"),
        ]

    def __str__(self) -> str:
        return self.name


class TeeSet(ClubOwned):
    course = OwnedForeignKey(Course, on_delete=models.CASCADE, related_name="tee_sets")
    name = models.CharField(max_length=60)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "course", "name"], name="tee_name_once")]

    def __str__(self) -> str:
        return self.name


class Rating(ClubOwned):
    """Course and slope rating of a tee set for one gender, over 18 holes or one nine."""

    tee_set = OwnedForeignKey(TeeSet, on_delete=models.CASCADE, related_name="ratings")
    gender = models.CharField(max_length=10, choices=Gender)
    section = models.CharField(max_length=10, choices=Section)
    course_rating = models.DecimalField(max_digits=4, decimal_places=1)
    slope_rating = models.PositiveSmallIntegerField()
    par = models.PositiveSmallIntegerField()

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["club", "tee_set", "gender", "section"], name="rating_once"),
            models.CheckConstraint(condition=Q(slope_rating__range=(55, 155)), name="slope_55_to_155"),
            models.CheckConstraint(
                condition=Q(course_rating__range=(20, 90)), name="course_rating_plausible"
            ),
            models.CheckConstraint(condition=Q(par__range=(27, 80)), name="rating_par_plausible"),
        ]

    def __str__(self) -> str:
        return f"{self.course_rating}/{self.slope_rating}"


class Hole(ClubOwned):
    """A hole from one tee set. Stroke indexes are a permutation within the tee set (a trigger checks)."""

    tee_set = OwnedForeignKey(TeeSet, on_delete=models.CASCADE, related_name="holes")
    number = models.PositiveSmallIntegerField()
    length = models.FloatField()
    """Yards."""
    par_men = models.PositiveSmallIntegerField(null=True, blank=True)
    par_women = models.PositiveSmallIntegerField(null=True, blank=True)
    stroke_index_men = models.PositiveSmallIntegerField(null=True, blank=True)
    stroke_index_women = models.PositiveSmallIntegerField(null=True, blank=True)

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["club", "tee_set", "number"], name="hole_number_once"),
            models.CheckConstraint(condition=Q(number__range=(1, 18)), name="hole_number_1_to_18"),
            models.CheckConstraint(condition=Q(length__gt=0, length__lt=900), name="hole_length_plausible"),
            models.CheckConstraint(
                condition=(Q(par_men__isnull=True) | Q(par_men__range=(3, 6)))
                & (Q(par_women__isnull=True) | Q(par_women__range=(3, 6))),
                name="hole_par_3_to_6",
            ),
            models.CheckConstraint(
                condition=Q(par_men__isnull=True, stroke_index_men__isnull=True)
                | Q(par_men__isnull=False, stroke_index_men__isnull=False),
                name="hole_men_complete",
            ),
            models.CheckConstraint(
                condition=Q(par_women__isnull=True, stroke_index_women__isnull=True)
                | Q(par_women__isnull=False, stroke_index_women__isnull=False),
                name="hole_women_complete",
            ),
        ]

    def __str__(self) -> str:
        return f"hole {self.number}"

    def par(self, gender: str) -> int | None:
        return self.par_men if gender == Gender.MEN else self.par_women

    def stroke_index(self, gender: str) -> int | None:
        return self.stroke_index_men if gender == Gender.MEN else self.stroke_index_women


class PartOfDay(models.TextChoices):
    WHOLE_DAY = "day"
    MORNING = "morning"
    AFTERNOON = "afternoon"


class PlayingConditions(ClubOwned):
    """A day's playing conditions calculation, entered by a manager: its constants are not published."""

    course = OwnedForeignKey(Course, on_delete=models.CASCADE, related_name="playing_conditions")
    played_on = models.DateField()
    part_of_day = models.CharField(max_length=10, choices=PartOfDay, default=PartOfDay.WHOLE_DAY)
    pcc = models.SmallIntegerField()
    origin = models.CharField(max_length=200)
    """Who issued the figure, in the manager's words."""
    entered_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, related_name="+")
    entered_at = models.DateTimeField(auto_now=True)

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["club", "course", "played_on", "part_of_day"], name="pcc_once"),
            models.CheckConstraint(condition=Q(pcc__range=(-1, 3)), name="pcc_minus_1_to_3"),
        ]

    def __str__(self) -> str:
        return f"{self.played_on} {self.pcc:+d}"


class WorkStatus(models.TextChoices):
    """RFC 5545 STATUS of an event, in lower case."""

    TENTATIVE = "tentative"
    CONFIRMED = "confirmed"
    CANCELLED = "cancelled"


class GreenWork(ClubOwned):
    """Work on the greens, from its first to its last day."""

    course = OwnedForeignKey(Course, on_delete=models.CASCADE, related_name="green_work")
    kind = models.CharField(max_length=40)
    """A kind of :mod:`golfstats.calc.greens.work_types`."""
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


class GreenReading(ClubOwned):
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


class Event(ClubOwned):
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


class CourseNote(ClubOwned):
    """The condition note of a course on one day, written by the worker."""

    course = OwnedForeignKey(Course, on_delete=models.CASCADE, related_name="notes")
    day = models.DateField()
    text = models.TextField()
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
