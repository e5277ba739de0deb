"""A round as it was played: what the player reported, never what we made of it."""

from __future__ import annotations

from collections.abc import Sequence

from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import F, Q

from courses.layout.models import Section, TeeSet
from golfstats.calc import vocabulary
from golfstats.ground.clubs.models import Member
from golfstats.ground.walls.dated import Dated
from golfstats.ground.walls.owned import ClubOwned, OwnedForeignKey
from players.people.models import Player


def _choices(words: type[vocabulary.Word]) -> list[tuple[str, str]]:
    return [(word, word.replace("_", " ")) for word in words.words()]


class RoundFormat(models.TextChoices):
    STROKE_PLAY = "stroke_play"
    """Every stroke counts."""
    STABLEFORD = "stableford"
    """Points by hole."""
    PAR_BOGEY = "par_bogey"
    """Holes won and lost against par."""
    MAXIMUM_SCORE = "maximum_score"
    """Stroke play in which a hole counts at most a score set beforehand."""
    MATCH_PLAY = "match_play"
    """Hole by hole against an opponent."""
    FOUR_BALL = "four_ball"
    """Two partners, of whom the better ball counts."""
    FOUR_BALL_MATCH_PLAY = "four_ball_match_play"
    """The same hole by hole against two opponents."""
    PRACTICE = "practice"
    """No competition and no score to hand in."""


class AnalysisState(models.TextChoices):
    """How far the worker is with a round."""

    PENDING = "pending", "pending"
    """The worker will come to it, or is at it."""
    DONE = "done", "done"
    """Its figures are there."""
    FAILED = "failed", "failed"
    """It was given up, for the reason that is told beside it."""


class Round(Dated):
    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="rounds")
    tee_set = OwnedForeignKey(TeeSet, on_delete=models.PROTECT, related_name="rounds")
    section = models.CharField(max_length=10, choices=Section, default=Section.EIGHTEEN)
    """What the player set out to play; the holes played say how far they came."""
    played_on = models.DateField()
    """Local date at the course."""
    start_time = models.TimeField(null=True, blank=True)
    format = models.CharField(max_length=30, choices=RoundFormat, default=RoundFormat.STROKE_PLAY)
    counting = models.BooleanField(default=True)
    """To be counted for handicap if it is acceptable."""
    competition = models.BooleanField(default=False)
    reason_for_missing_holes = models.CharField(max_length=200, blank=True)
    """A valid reason in the player's words (light, weather, illness …); blank = none given."""
    ball = models.CharField(max_length=60, blank=True)
    weather = models.CharField(max_length=120, blank=True)
    temperature_c = models.FloatField(null=True, blank=True)
    wind_mph = models.FloatField(null=True, blank=True)
    greens_found = models.CharField(max_length=200, blank=True, default="", db_default="")
    """As the player found the greens, as in "cored 7 days, slow, bumpy 4" (``calc/plan/found.py``)."""
    tags = ArrayField(models.CharField(max_length=60), default=list, blank=True)
    note = models.TextField(blank=True)
    posted_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, related_name="+")
    posted_at = models.DateTimeField(auto_now_add=True)
    changed_at = models.DateTimeField(auto_now=True)
    version = models.PositiveIntegerField(default=1)
    sent = models.CharField(max_length=64, blank=True, db_default="", default="")
    """SHA-256 of what a client put here last, so that the same sent again is known; blank if it was posted."""
    analysis = models.CharField(max_length=10, choices=AnalysisState, default=AnalysisState.PENDING)
    analysis_reason = models.CharField(max_length=500, blank=True)
    """Why the analysis failed."""
    warnings = models.JSONField(default=list, db_default=[], blank=True)
    """What looks wrong in it but may be right, each as ``warnings.Warned`` tells it, and whether it was dismissed."""
    scores: Sequence[int]
    """Of its holes: of a round that was just saved, and where the query that found it asks for them."""

    class Meta(ClubOwned.Meta):
        indexes = [
            models.Index(fields=["club", "player", "played_on"]),
            models.Index(fields=["club", "tee_set", "played_on"]),
            models.Index(fields=["club", "played_on"]),
        ]

    def __str__(self) -> str:
        return f"{self.player_id} {self.played_on}"


class RoundInPlay(Dated):
    """A round that is posted hole by hole while it is played."""

    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="rounds_in_play")
    tee_set = OwnedForeignKey(TeeSet, on_delete=models.PROTECT, related_name="+")
    played_on = models.DateField()
    counts = models.BooleanField(default=True)
    """The Rules of Golf bind it: while it is played the service answers facts and the card alone (Rule 4.3)."""
    about = models.JSONField()
    """What was said at its start, in the words of ``RoundBegun``; its places by id."""
    played = models.JSONField(default=list)
    """What was sent, in order: sequence, hole (in the words of ``HoleInput``), and the score and putts that follow."""
    started_by = OwnedForeignKey(Member, on_delete=models.SET_NULL, null=True, related_name="+")
    started_at = models.DateTimeField(auto_now_add=True)
    round = OwnedForeignKey(Round, on_delete=models.SET_NULL, null=True, related_name="+")
    """What it became."""
    finished_at = models.DateTimeField(null=True)

    class Meta(ClubOwned.Meta):
        indexes = [models.Index(fields=["club", "player", "played_on"])]

    def __str__(self) -> str:
        return f"{self.player_id} {self.played_on}, {len(self.played)} holes"


class BagWord(ClubOwned):
    """What a player calls one of their clubs."""

    player = OwnedForeignKey(Player, on_delete=models.CASCADE, related_name="bag_words")
    word = models.CharField(max_length=20)
    """In the form of ``calc.clubs.one_name``."""
    kept_as = models.CharField(max_length=20)
    """The name under which shots with it are kept."""

    class Meta(ClubOwned.Meta):
        constraints = [models.UniqueConstraint(fields=["club", "player", "word"], name="bag_word_once")]

    def __str__(self) -> str:
        return f"{self.word}: {self.kept_as}"


class RoundChange(ClubOwned):
    """In which transaction a round was last written, or that it was deleted. Has the round's id.

    A trigger keeps it, so that no way of writing is forgotten. Not in backups: a restored database begins anew.
    """

    player_id = models.UUIDField()
    """No key: a deleted round outlasts its player."""
    earlier_players = ArrayField(models.UUIDField(), default=list, db_default=[])
    """Whose it was before it moved to this player: for who may see those and not this one it is gone."""
    in_transaction = models.BigIntegerField()
    gone = models.BooleanField(default=False)
    changed_at = models.DateTimeField()

    class Meta(ClubOwned.Meta):
        indexes = [models.Index(fields=["club", "in_transaction", "id"])]

    def __str__(self) -> str:
        return f"{self.id} in {self.in_transaction}"


class GolfMark(ClubOwned):
    """Changes whenever a round of the player, its figures or its note are written or deleted, whoever does it.

    Triggers of the database keep it, so that what rests on a player's golf is known to be stale without a look at
    every round. A new row replaces those that no other transaction is just replacing, so that nobody waits for
    anybody: mostly there is one. Not in backups: a restored database begins anew.
    """

    player_id = models.UUIDField()
    """No key: rounds of a player may be deleted after the player."""

    class Meta(ClubOwned.Meta):
        indexes = [models.Index(fields=["club", "player_id"], name="golf_mark_of_player")]

    def __str__(self) -> str:
        return f"{self.id} of {self.player_id}"


class PlayedHole(ClubOwned):
    """A hole that was started."""

    round = OwnedForeignKey(Round, on_delete=models.CASCADE, related_name="holes")
    number = models.PositiveSmallIntegerField()
    score = models.PositiveSmallIntegerField()
    """Strokes and penalty strokes; the most likely score where the ball was picked up."""
    picked_up = models.BooleanField(default=False)
    putts = models.PositiveSmallIntegerField(null=True, blank=True)
    penalties = models.PositiveSmallIntegerField(null=True, blank=True)
    fairway_hit = models.BooleanField(null=True, blank=True)
    green_in_regulation = models.BooleanField(null=True, blank=True)

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["club", "round", "number"], name="played_hole_once"),
            models.CheckConstraint(condition=Q(number__range=(1, 18)), name="played_hole_number_1_to_18"),
            models.CheckConstraint(condition=Q(score__range=(1, 30)), name="played_hole_score_plausible"),
            models.CheckConstraint(
                condition=Q(putts__isnull=True) | Q(putts__lte=F("score")), name="putts_within_score"
            ),
        ]

    def __str__(self) -> str:
        return f"hole {self.number}: {self.score}"


class Shot(ClubOwned):
    """A stroke made at the ball. A trigger checks that the shots of a hole have no gap and only the last is holed."""

    played_hole = OwnedForeignKey(PlayedHole, on_delete=models.CASCADE, related_name="shots")
    number = models.PositiveSmallIntegerField()
    lie = models.CharField(max_length=10, choices=_choices(vocabulary.Lie))
    distance = models.FloatField()
    """Yards to the hole before the shot."""
    holed = models.BooleanField(default=False)
    penalty_strokes = models.PositiveSmallIntegerField(default=0)
    penalty_kind = models.CharField(max_length=20, blank=True, choices=_choices(vocabulary.PenaltyKind))
    club_used = models.CharField(max_length=20, blank=True)
    target_distance = models.FloatField(null=True, blank=True)
    travel = models.FloatField(null=True, blank=True)
    """Measured length of the shot in yards."""
    offline = models.FloatField(null=True, blank=True)
    """Measured finish to the side of the target line in yards, right positive."""
    miss_side = models.CharField(max_length=10, blank=True, choices=_choices(vocabulary.MissSide))
    miss_depth = models.CharField(max_length=10, blank=True, choices=_choices(vocabulary.MissDepth))
    short_sided = models.BooleanField(null=True, blank=True)
    lie_quality = models.CharField(max_length=10, blank=True, choices=_choices(vocabulary.LieQuality))
    swing = models.CharField(max_length=10, blank=True, choices=_choices(vocabulary.Swing))
    wind = models.CharField(max_length=12, blank=True, choices=_choices(vocabulary.Wind))
    wind_mph = models.FloatField(null=True, blank=True)
    elevation = models.FloatField(null=True, blank=True)
    """Yards that the target lies above the ball."""
    slope = models.CharField(max_length=10, blank=True, choices=_choices(vocabulary.Slope))
    putt_break = models.CharField(max_length=15, blank=True, choices=_choices(vocabulary.PuttBreak))
    fault = models.CharField(max_length=10, blank=True, choices=_choices(vocabulary.PuttFault))
    tags = ArrayField(models.CharField(max_length=60), default=list, blank=True)

    class Meta(ClubOwned.Meta):
        constraints = [
            models.UniqueConstraint(fields=["club", "played_hole", "number"], name="shot_number_once"),
            models.CheckConstraint(condition=Q(number__range=(1, 40)), name="shot_number_plausible"),
            models.CheckConstraint(
                condition=Q(distance__gt=0, distance__lte=900), name="shot_distance_plausible"
            ),
            models.CheckConstraint(condition=Q(lie__in=vocabulary.Lie.words()), name="shot_lie_known"),
            models.CheckConstraint(condition=Q(penalty_strokes__lte=4), name="shot_penalty_plausible"),
            models.CheckConstraint(
                condition=Q(holed=False) | Q(penalty_strokes=0), name="holed_shot_has_no_penalty"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number}: {self.lie} {self.distance:.0f}"
