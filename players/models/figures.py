"""What the worker computed. Every row can be thrown away and computed again from the rounds."""

from __future__ import annotations

from django.db import models

from golfstats.clubs.owned import ClubOwned, OwnedForeignKey
from players.models.people import Player
from players.models.rounds import Round, Shot


class Analysis(models.TextChoices):
    PENDING = "pending"
    DONE = "done"
    FAILED = "failed"


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
    computed_at = models.DateTimeField(auto_now=True)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "round"], name="figures_once_a_round")]

    def __str__(self) -> str:
        return f"{self.round_id}: {self.total}"


class RoundNote(ClubOwned):
    """The condition note of a round, written by the worker."""

    round = OwnedForeignKey(Round, on_delete=models.CASCADE, related_name="condition_notes")
    text = models.TextField()
    figures = models.JSONField(default=dict)
    written_at = models.DateTimeField(auto_now=True)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "round"], name="note_once_a_round")]

    def __str__(self) -> str:
        return self.text


class PlayerReport(ClubOwned):
    """What a dashboard shows of a player, computed once by the worker: figures, trends, priorities, attention."""

    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="reports")
    document = models.JSONField()
    computed_at = models.DateTimeField(auto_now=True)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "player"], name="report_once_a_player")]

    def __str__(self) -> str:
        return f"report of {self.player_id}"


class ClubBenchmark(ClubOwned):
    """This club's own golfers as a benchmark: fitted parameters, how many shots they rest on, when."""

    document = models.JSONField()
    shots = models.PositiveIntegerField()
    fitted_at = models.DateTimeField(auto_now=True)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club"], name="one_own_benchmark")]

    def __str__(self) -> str:
        return f"fitted {self.fitted_at:%Y-%m-%d} from {self.shots} shots"


class ConditionEffect(ClubOwned):
    """What disturbed greens and other circumstances cost here, as last fitted."""

    document = models.JSONField()
    putts = models.PositiveIntegerField()
    fitted_at = models.DateTimeField(auto_now=True)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club"], name="one_condition_effect")]

    def __str__(self) -> str:
        return f"fitted {self.fitted_at:%Y-%m-%d} from {self.putts} putts"
