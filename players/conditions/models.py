"""What the worker found that conditions cost."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from courses.greens.models import GreenWork
from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey
from players.rounds.models import Round


class ConditionEffect(ClubOwned):
    """What disturbed greens and other circumstances cost here, as last fitted."""

    document = models.JSONField()
    putts = models.PositiveIntegerField()
    fitted_at = models.DateTimeField(auto_now=True)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club"], name="one_condition_effect")]

    def __str__(self) -> str:
        return f"fitted {self.fitted_at:%Y-%m-%d} from {self.putts} putts"


class RoundNote(ClubOwned):
    """The condition note of a round, written by the worker."""

    round = OwnedForeignKey(Round, on_delete=models.CASCADE, related_name="condition_notes")
    text = models.TextField()
    sentence = models.JSONField(null=True)
    """The text in parts, which says the same in other languages; None where it was written before there were any."""
    written_at = models.DateTimeField(auto_now=True)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "round"], name="note_once_a_round")]

    def __str__(self) -> str:
        return self.text


class HealingForecast(ClubOwned):
    """The chance that greens are healed by the day on which they should be, as it was stated."""

    work = OwnedForeignKey(GreenWork, on_delete=models.CASCADE, related_name="healing_forecasts")
    said_on = models.DateField()
    back_on = models.DateField()
    chance = models.FloatField()
    came_true = models.BooleanField(null=True)
    """None until it is known."""
    judged_on = models.DateField(null=True)

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["club", "work", "said_on"], name="healing_said_once_a_day"),
            models.CheckConstraint(condition=Q(chance__range=(0, 1)), name="healing_is_a_chance"),
        ]

    def __str__(self) -> str:
        return f"{self.said_on}: healed by {self.back_on}, {self.chance:.0%}"
