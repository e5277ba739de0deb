"""A club, the people in it, and what each may do."""

from __future__ import annotations

from django.contrib.auth.models import AbstractUser
from django.db import models

from golfstats.clubs.owned import ClubOwned
from golfstats.ids import new_id


class User(AbstractUser):
    """A person who signs in. Belongs to no club by itself: a :class:`Member` row says where and as what."""


class DistanceUnit(models.TextChoices):
    YARDS = "yards"
    METRES = "metres"


class Club(models.Model):
    """A golf club or coaching group: the tenant. Its own row is visible only in its scope."""

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    slug = models.SlugField(max_length=60, unique=True)
    name = models.CharField(max_length=120)
    time_zone = models.CharField(max_length=60, default="UTC")
    distance_unit = models.CharField(max_length=10, choices=DistanceUnit, default=DistanceUnit.YARDS)
    short_game_yards = models.FloatField(default=100.0)
    approach_band_edges = models.JSONField(default=list, blank=True)
    """Edges in yards of the approach distance bands; empty = the service's own 25-yard steps."""
    benchmark = models.CharField(max_length=40, default="professional")
    """Key of the benchmark that the stored strokes gained are measured against."""
    handicap_rules = models.JSONField(default=dict, blank=True)
    """Jurisdiction choices that differ from the published text, by field of ``HandicapRules``."""
    demo = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(short_game_yards__gt=0), name="club_short_game_positive"
            )
        ]

    def __str__(self) -> str:
        return self.name


class Role(models.TextChoices):
    PLAYER = "player"
    COACH = "coach"
    GREENKEEPER = "greenkeeper"
    MANAGER = "manager"


class Member(ClubOwned):
    """A user's place in a club."""

    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="+")
    role = models.CharField(max_length=20, choices=Role)
    name = models.CharField(max_length=120)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "user"], name="member_once_in_a_club")]

    def __str__(self) -> str:
        return f"{self.name} ({self.role})"
