"""Where golf is played: courses, tees, ratings, holes."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from golfstats.ground.clubs.models import Member
from golfstats.ground.walls.dated import Dated
from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey


class Gender(models.TextChoices):
    """As course ratings are issued."""

    MEN = "men"
    """The ratings, pars and stroke indexes issued for men."""
    WOMEN = "women"
    """Those issued for women."""


class Section(models.TextChoices):
    """What a rating covers and what a round is played over."""

    EIGHTEEN = "18"
    """All eighteen holes."""
    FRONT = "front"
    """Holes 1 to 9."""
    BACK = "back"
    """Holes 10 to 18."""


class Course(Dated):
    name = models.CharField(max_length=120)
    hole_count = models.PositiveSmallIntegerField(default=18)
    grass = models.CharField(max_length=60, blank=True)
    """Grass of the greens, in the club's words."""
    season = models.CharField(max_length=120, blank=True)
    """When it grows, in the club's words; shown beside recovery times."""
    altitude = models.FloatField(null=True, blank=True)
    """Metres above the sea; None where nobody gave it."""
    provisional = models.BooleanField(default=False, db_default=False)
    """Entered from a scorecard by a player or a coach: it serves its maker, their coaches and managers."""
    made_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    """Who entered a provisional course; None otherwise, or once they have left the club."""

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["club", "name"], condition=Q(provisional=False), name="course_name_once"
            ),
            models.UniqueConstraint(
                fields=["club", "made_by", "name"],
                condition=Q(provisional=True),
                name="provisional_name_once_a_maker",
            ),
            models.CheckConstraint(condition=Q(hole_count__in=[9, 18]), name="course_has_9_or_18_holes"),
            models.CheckConstraint(
                condition=Q(altitude__isnull=True) | Q(altitude__range=(-500, 5000)),
                name="course_altitude_plausible",
            ),
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
    """The whole day."""
    MORNING = "morning"
    """Rounds of the morning alone."""
    AFTERNOON = "afternoon"
    """Rounds of the afternoon alone."""


class PlayingConditions(Dated):
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
