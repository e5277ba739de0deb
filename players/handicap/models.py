"""The handicap record. Unofficial: only an authorised association issues a Handicap Index."""

from __future__ import annotations

from django.db import models

from golfstats.ground.clubs.models import Member
from golfstats.ground.walls.dated import Dated
from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey
from players.people.models import Player
from players.rounds.models import Round


class CommitteeAction(Dated):
    """A decision of the handicap committee (Rule 7.1). Never edited: an action is withdrawn and a new one made."""

    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="committee_actions")
    kind = models.CharField(max_length=30)
    """A kind of :mod:`players.handicap.actions`."""
    effective_on = models.DateField()
    expires_on = models.DateField(null=True, blank=True)
    value = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    round = OwnedForeignKey(Round, on_delete=models.CASCADE, null=True, blank=True, related_name="+")
    """The round whose reduction or cap is overridden, where the kind needs one."""
    exceptional = models.BooleanField(default=False)
    """Exceptional circumstances: the limit of 5.0 above the low index is set aside (Rule 7.1a)."""
    reason = models.TextField()
    player_notified = models.BooleanField(default=False)
    decided_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, related_name="+")
    decided_at = models.DateTimeField(auto_now_add=True)
    index_before = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    withdrawn_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta(ClubOwned.Meta):
        indexes = [models.Index(fields=["club", "player", "effective_on"])]

    def __str__(self) -> str:
        return f"{self.kind} {self.effective_on}"


class HandicapLine(ClubOwned):
    """One score on a player's record, with everything that explains it."""

    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="handicap_lines")
    round = OwnedForeignKey(Round, on_delete=models.CASCADE, null=True, related_name="handicap_lines")
    """None for a penalty score."""
    sequence = models.PositiveIntegerField()
    """Place in order of play, oldest 1."""
    played_on = models.DateField()
    adjusted_gross_score = models.PositiveSmallIntegerField(null=True)
    raw_differential = models.DecimalField(max_digits=5, decimal_places=1, null=True)
    adjusted_differential = models.DecimalField(max_digits=5, decimal_places=1, null=True)
    index_before = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    index_after = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    low_index = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    estimated = models.BooleanField(default=False)
    in_last_20 = models.BooleanField(default=False)
    in_best_8 = models.BooleanField(default=False)
    detail = models.JSONField(default=dict)
    """Hole by hole, rule by rule."""
    fingerprint = models.CharField(max_length=64, null=True)
    """Of all that the line says and of the code that wrote it, so that a line which would be the same again is left
    as it is. Whoever changes a stored line takes it off, and the line is written anew.
    """

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["club", "player", "sequence"], name="record_order"),
            models.UniqueConstraint(fields=["club", "round"], name="round_once_on_a_record"),
        ]

    def __str__(self) -> str:
        return f"{self.played_on}: {self.adjusted_differential}"


class PlayerHandicap(ClubOwned):
    """A player's present figures."""

    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="handicaps")
    index = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    low_index = models.DecimalField(max_digits=4, decimal_places=1, null=True)
    scores = models.PositiveIntegerField(default=0)
    document = models.JSONField(default=dict)
    """Trend, what the committee's actions did, and rounds that could not be taken in."""
    computed_at = models.DateTimeField(auto_now=True)

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "player"], name="handicap_once_a_player")]

    def __str__(self) -> str:
        return f"{self.player_id}: {self.index}"
