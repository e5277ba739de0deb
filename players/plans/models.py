"""A plan as it was asked for, and what came of it."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from courses.layout.models import Gender, Section, TeeSet
from golfstats.ground.clubs.models import Member
from golfstats.ground.walls.dated import Dated
from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey
from players.people.models import Player
from players.rounds.models import Round


class PlanState(models.TextChoices):
    PENDING = "pending"
    """The worker will come to it, or is at it."""
    DONE = "done"
    """Every hole is planned."""
    FAILED = "failed"
    """It was given up, for the reason that is told beside it."""


class RoundPlan(Dated):
    """A plan for one player, one day and one set of tees."""

    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="plans")
    tee_set = OwnedForeignKey(TeeSet, on_delete=models.CASCADE, related_name="plans")
    section = models.CharField(max_length=10, choices=Section, default=Section.EIGHTEEN)
    planned_for = models.DateField()
    greens_found = models.CharField(max_length=200, blank=True)
    """As in "cored 7 days, slow, bumpy 4"."""
    wind_mph = models.FloatField(null=True, blank=True)
    """As forecast."""
    wind_from = models.FloatField(null=True, blank=True)
    """Where it blows from, degrees clockwise from north."""
    temperature_c = models.FloatField(null=True, blank=True)
    target = models.PositiveSmallIntegerField(null=True, blank=True)
    """Score that the player would like to know the chance of."""
    asked_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, related_name="+")
    asked_at = models.DateTimeField(auto_now_add=True)
    state = models.CharField(max_length=10, choices=PlanState, default=PlanState.PENDING)
    reason = models.CharField(max_length=500, blank=True)
    """Why it failed."""
    holes = models.PositiveSmallIntegerField(default=0)
    """Number of holes to plan."""
    handicap = models.FloatField(null=True)
    """Index that the usual patterns were taken from; None where the player has none yet."""
    full_swings = models.PositiveIntegerField(default=0)
    """Own shots that the patterns rest on."""
    document = models.JSONField(null=True)
    """The round's answer."""
    finished_at = models.DateTimeField(null=True)

    class Meta(ClubOwned.Meta):
        indexes = [models.Index(fields=["club", "player", "planned_for"])]
        constraints = [
            models.CheckConstraint(
                condition=Q(wind_mph__isnull=True) | Q(wind_mph__range=(0, 100)), name="plan_wind_plausible"
            )
        ]

    def __str__(self) -> str:
        return f"{self.player_id} {self.planned_for}"


class PlanHole(ClubOwned):
    """One planned hole, with what was simulated of it."""

    plan = OwnedForeignKey(RoundPlan, on_delete=models.CASCADE, related_name="planned_holes")
    number = models.PositiveSmallIntegerField()
    document = models.JSONField()
    """The hole's answer."""
    simulated = models.JSONField()
    """Scores, putts and what the greens add, one value a simulated round."""
    rests_on = models.CharField(max_length=64, blank=True, default="", db_default="")
    """SHA-256 of everything that it was made from: what rests on the same is not planned twice."""

    class Meta(ClubOwned.Meta):
        indexes = [models.Index(fields=["club", "rests_on"])]
        constraints = [models.UniqueConstraint(fields=["club", "plan", "number"], name="plan_hole_once")]

    def __str__(self) -> str:
        return f"hole {self.number}"


class HoleMap(ClubOwned):
    """What a tee, a pin or a bunker costs whom on a hole, as the worker found it."""

    tee_set = OwnedForeignKey(TeeSet, on_delete=models.CASCADE, related_name="hole_maps")
    gender = models.CharField(max_length=10, choices=Gender)
    number = models.PositiveSmallIntegerField()
    document = models.JSONField()
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["club", "tee_set", "gender", "number"], name="hole_map_once")
        ]

    def __str__(self) -> str:
        return f"hole {self.number}"


class PlanAfterwards(ClubOwned):
    """The round that was played by a plan, taken apart."""

    plan = OwnedForeignKey(RoundPlan, on_delete=models.CASCADE, related_name="afterwards")
    round = OwnedForeignKey(Round, on_delete=models.CASCADE, related_name="+")
    state = models.CharField(max_length=10, choices=PlanState, default=PlanState.PENDING)
    reason = models.CharField(max_length=500, blank=True)
    holes = models.JSONField(default=dict)
    """Shots by number of the hole, each with its parts."""
    round_version = models.IntegerField(default=0, db_default=0)
    """Of the round that these are shots of."""
    document = models.JSONField(null=True)
    """The round's sums."""

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "plan"], name="plan_read_once")]

    def __str__(self) -> str:
        return f"{self.plan_id} as played"
