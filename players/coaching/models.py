from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Coalesce
from django.utils.translation import get_language

from golfstats.ground.clubs.models import Member
from golfstats.ground.walls.dated import Dated
from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey
from golfstats.ground.words import in_english
from players.people.models import Player


class Goal(Dated):
    """A figure that a player wants to reach by a date."""

    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="goals")
    figure = models.CharField(max_length=80)
    """Key of a figure in :mod:`golfstats.calc.figures.catalogue`."""
    target = models.FloatField()
    window_rounds = models.PositiveSmallIntegerField(null=True, blank=True, default=10)
    window_days = models.PositiveSmallIntegerField(null=True, blank=True)
    """The figure is taken over the last so many rounds, or over so many days: one of the two."""
    due_on = models.DateField()
    state = models.CharField(
        max_length=10, choices=[(s, s) for s in ("open", "met", "missed", "closed")], default="open"
    )
    set_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, related_name="+")
    set_at = models.DateTimeField(auto_now_add=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    value_at_start = models.FloatField(null=True, blank=True)
    value_at_close = models.FloatField(null=True, blank=True)
    note = models.TextField(blank=True)

    class Meta(ClubOwned.Meta):
        constraints = [
            models.CheckConstraint(
                condition=Q(window_rounds__isnull=False, window_days__isnull=True)
                | Q(window_rounds__isnull=True, window_days__isnull=False),
                name="goal_has_one_window",
            )
        ]
        indexes = [models.Index(fields=["club", "player", "state"])]

    def __str__(self) -> str:
        return f"{self.figure} {self.target} by {self.due_on}"


class PracticeNote(Dated):
    """What coach and player worked on; both see it."""

    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="practice_notes")
    written_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, related_name="+")
    written_at = models.DateTimeField(auto_now_add=True)
    practised_on = models.DateField()
    text = models.TextField()
    figure = models.CharField(max_length=80, blank=True)
    """Key of the figure it was about; its value before and after is shown beside the note."""

    class Meta(ClubOwned.Meta):
        indexes = [models.Index(fields=["club", "player", "practised_on"])]

    def __str__(self) -> str:
        return f"{self.practised_on}"


class AttentionDismissal(ClubOwned):
    """An attention item that a coach has seen and put aside."""

    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="+")
    item = models.CharField(max_length=120)
    """Stable key of the item, as computed."""
    dismissed_by = OwnedForeignKey(Member, on_delete=models.CASCADE, related_name="+")
    dismissed_at = models.DateTimeField(auto_now_add=True)

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["club", "player", "item", "dismissed_by"], name="item_dismissed_once"
            )
        ]

    def __str__(self) -> str:
        return self.item


class PlayerReport(ClubOwned):
    """What a dashboard shows of a player, computed once by the worker: figures, trends, priorities, attention."""

    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="reports")
    document = models.JSONField()
    edition = models.CharField(max_length=64, default="", db_default="")
    """Of the code that wrote it (``remembered.edition``): what another has written may have another shape."""
    computed_at = models.DateTimeField(auto_now=True)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "player"], name="report_once_a_player")]

    def __str__(self) -> str:
        return f"report of {self.player_id}"


def report_section(name: str) -> F | Coalesce:
    """A section of a stored report in the reader's language; in English until the worker has told it in theirs."""
    english = F(f"document__{name}")
    if in_english():
        return english
    return Coalesce(F(f"document__languages__{get_language()}__{name}"), english)


class ForecastKind(models.TextChoices):
    """What a chance was stated of."""

    GOAL = "goal"
    """That a goal will be met."""
    BETTER = "better"
    """That a player is better than three months ago."""
    SHIFT = "shift"
    """That a level jumped."""
    SCORE = "score"
    """That a score lies in the range that a plan gave."""
    NEXT = "next"
    """That the next round ends below an end of its forecast, or is better than usual."""
    HEALED = "healed"
    """That greens are healed by the day on which they should be."""


class Forecast(ClubOwned):
    """A chance as it was stated, kept to be judged when the rounds have come."""

    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="forecasts")
    kind = models.CharField(max_length=8, choices=ForecastKind)
    subject = models.CharField(max_length=120)
    """What it is about: the goal's key, the figure's, the figure's with the day of the jump."""
    said_on = models.DateField()
    chance = models.FloatField()
    """Of what will be seen."""
    limit = models.FloatField(null=True)
    """In the figure's own unit: the mean of the next rounds is to be better. None where something else decides."""
    came_true = models.BooleanField(null=True)
    """None until it is known."""
    judged_on = models.DateField(null=True)

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(
                fields=["club", "player", "kind", "subject", "said_on"], name="forecast_once_a_day"
            ),
            models.CheckConstraint(condition=Q(chance__range=(0, 1)), name="forecast_is_a_chance"),
        ]
        indexes = [models.Index(fields=["club", "kind"], condition=Q(came_true=None), name="forecast_open")]

    def __str__(self) -> str:
        return f"{self.said_on}: {self.subject} {self.chance:.0%}"
