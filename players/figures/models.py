"""What the worker computed of rounds, and what the club's golf taught it."""

from __future__ import annotations

from django.db import models

from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey
from players.rounds.models import Round, Shot


class ShotFigures(ClubOwned):
    """Strokes gained of one shot against the club's default benchmark."""

    shot = OwnedForeignKey(Shot, on_delete=models.CASCADE, related_name="figures")
    part = models.CharField(max_length=12)
    expected_before = models.FloatField()
    expected_after = models.FloatField()
    strokes_gained = models.FloatField()

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "shot"], name="figures_once_a_shot")]

    def __str__(self) -> str:
        return f"{self.strokes_gained:+.2f}"


class RoundFigures(ClubOwned):
    """Strokes gained of one round by part of the game, and what the surface cost."""

    round = OwnedForeignKey(Round, on_delete=models.CASCADE, related_name="figures")
    benchmark = models.CharField(max_length=40)
    benchmark_version = models.CharField(max_length=120, db_default="", default="", blank=True)
    """Which golfer exactly, and which edition of the figures that the benchmark rests on."""
    version = models.PositiveIntegerField(null=True)
    """Version of the round that these figures came from; None where that was not kept yet."""
    score = models.PositiveSmallIntegerField(null=True)
    holes_played = models.PositiveSmallIntegerField()
    holes_covered = models.PositiveSmallIntegerField()
    """Holes with every shot recorded: the ones that the strokes gained cover."""
    total = models.FloatField(null=True)
    tee = models.FloatField(null=True)
    approach = models.FloatField(null=True)
    short_game = models.FloatField(null=True)
    putting = models.FloatField(null=True)
    putts = models.PositiveSmallIntegerField(null=True)
    surface_disturbance = models.FloatField(null=True)
    """Mean over the holes played, 0 (undisturbed) to 1 (just cored)."""
    surface_strokes = models.FloatField(null=True)
    """Part of ``putting`` that the surface is estimated to account for (negative = cost)."""
    surface_low = models.FloatField(null=True)
    surface_high = models.FloatField(null=True)
    surface_version = models.CharField(max_length=40, db_default="", default="", blank=True)
    """When what disturbed greens cost was last fitted; blank where it never was."""
    computed_at = models.DateTimeField(auto_now=True)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "round"], name="figures_once_a_round")]

    def __str__(self) -> str:
        return f"{self.round_id}: {self.total}"
