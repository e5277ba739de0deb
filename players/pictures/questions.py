"""Which picture, of which rounds, on what ground."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated
from uuid import UUID

from pydantic import BeforeValidator, Field, StringConstraints

from courses.layout.models import Gender
from golfstats.ground.operations import Query
from players.coaching.questions import Outcome, TagKind
from players.golf.questions import FigureKey, WindowQuery, between_commas
from players.pictures.colours import Scheme


class PictureName(StrEnum):
    """What a picture of a player shows."""

    PARTS = "parts"
    """Where do the strokes go? Strokes gained a round by part of the game."""
    CLUBS = "clubs"
    """How far does each club go? The middle half of its full swings."""
    APPROACH = "approach"
    """Which approaches cost? Strokes gained a shot by distance."""
    SHORT_GAME = "short-game"
    """Does the short game save strokes? The shares that come off."""
    PUTTS_HOLED = "putts-holed"
    """How are putts holed? The share by distance, beside the golfer compared with."""
    PUTTS_MISSED = "putts-missed"
    """Is enough break played? The share of misses on the low side."""
    MISSED_GREENS = "missed-greens"
    """Which way do shots miss the green? The target seen from above."""
    MISSED_FAIRWAYS = "missed-fairways"
    """Which way do drives miss the fairway?"""
    GREENS_OR_ME = "greens-or-me"
    """Was it the greens or the stroke? Putting as it was, what the greens took, and without that."""
    TREND = "trend"
    """Is it getting better? A figure by round, its level with the 90% band; `figure` says which."""
    PRIORITIES = "priorities"
    """What is worth working on? Strokes a round to gain."""
    INDEX = "index"
    """How did the handicap index move? Unofficial."""
    LEVEL = "level"
    """Who changed? The level of strokes gained as the coach's week draws it, with what the greens took given back."""
    GOAL = "goal"
    """Is the goal getting nearer? Its figure after each round, and the target; `goal` says which goal."""
    TRIAL = "trial"
    """Does it go better with one than with the other? `tag`, `a`, `b` and `outcome` say what is compared."""
    COMPARE = "compare"
    """Who is better at it? A figure (`figure`) of the player and of `others`."""
    BAG = "bag"
    """How far does each club go as plans play it? Nine shots in ten."""
    PLAN_SCORES = "plan-scores"
    """What tomorrow? How likely each score is; `plan` says by which plan."""
    PLAN_CLUBS = "plan-clubs"
    """Which club from the tee? What each costs beside the best on `hole` of `plan`."""
    PLAN_MISSES = "plan-misses"
    """Where do tee shots finish about the aim, and which side costs? On `hole` of `plan`."""
    PLAN_PARTS = "plan-parts"
    """What happened? Choice, execution, greens and luck by hole of the round played by `plan`."""


class PictureQuery(WindowQuery):
    name: PictureName
    """Which picture, as the list of pictures names it."""
    figure: FigureKey = Field(
        "gained.total", description="Key of a figure, for `trend`: strokes gained in all if left out."
    )
    scheme: Scheme = Scheme.LIGHT
    """On what ground the picture stands."""
    goal: UUID | None = Field(None, description="Id of a goal, for `goal`: the newest one if left out.")
    plan: UUID | None = Field(
        None, description="Id of a plan, for pictures of plans: the newest if left out."
    )
    hole: int | None = Field(
        None, ge=1, le=18, description="For `plan-clubs` and `plan-misses`: the first if left out."
    )
    others: Annotated[list[UUID], BeforeValidator(between_commas), Field(max_length=7)] = Field(
        [], description="For `compare`: ids of other players, with commas between."
    )
    tag: TagKind | None = Field(None, description="For `trial`: what A and B are.")
    a: Annotated[str, StringConstraints(max_length=60)] = Field("", description="For `trial`: the one.")
    b: Annotated[str, StringConstraints(max_length=60)] = Field("", description="For `trial`: the other.")
    outcome: Outcome | None = Field(None, description="For `trial`: what they are compared by.")
    club: Annotated[str, StringConstraints(max_length=20)] = Field(
        "", description="For `trial`: only shots with this club."
    )

    def given(self) -> dict[str, object]:
        """Benchmark, unit and window under the names that an address gives them."""
        own = set(PictureQuery.model_fields) - set(WindowQuery.model_fields)
        return self.model_dump(by_alias=True, exclude=own, exclude_none=True)


class CoursePictureName(StrEnum):
    """What a picture of a course shows."""

    SEASON = "season"
    """What was done to the greens, and until when is it felt? Work through the year, with events."""
    COMING_DAYS = "coming-days"
    """How disturbed will the greens be? The next 30 days."""
    RECOVERY = "recovery"
    """What does work cost, and how long? Strokes a round by days since; `kind` says which work."""
    BY_GREEN = "by-green"
    """Which greens does it cost most on? For the greens' staff."""
    HOLE_COSTS = "hole-costs"
    """What do a tee, a pin or a bunker cost whom? On `hole` of `tee`."""


class CoursePictureQuery(Query):
    picture: CoursePictureName
    """Which picture."""
    scheme: Scheme = Scheme.LIGHT
    """On what ground the picture stands."""
    kind: Annotated[str, StringConstraints(max_length=40)] = Field(
        "", description="For `recovery`: the key of a kind of work; the usual one of the club if left out."
    )
    tee: UUID | None = Field(
        None, description="For `hole-costs`: id of a set of tees, the first if left out."
    )
    gender: Gender = Field(Gender.MEN, description="For `hole-costs`: whose usual golfers play.")
    hole: int | None = Field(None, ge=1, le=18, description="For `hole-costs`: the first if left out.")
