"""What a coach may ask: parameters and bodies."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated
from uuid import UUID

from pydantic import AfterValidator, BeforeValidator, Field, StringConstraints, model_validator

from golfstats.calc.coaching.goals import GoalState
from golfstats.ground.inputs import Body, Day
from golfstats.ground.operations import Query
from golfstats.ground.stretches import Column
from golfstats.sentences import Sentence
from players.coaching.history import DASHBOARD_FIGURES
from players.golf.questions import BenchmarkQuery, FigureKey, Keys, WindowQuery, between_commas

MOST_KEYS = 12
MOST_PLAYERS = 8
MOST_EFFECTS = 3
USUAL_DAYS_WITHOUT_ROUND = 28
USUAL_ROUNDS = 40
"""Priorities are about the last so many rounds: enough to be certain, recent enough to be true."""
USUAL_SHARE = 0.5
USUAL_EFFECTS = 1


class TagKind(StrEnum):
    """What A and B are."""

    BALL = "ball"
    """The ball of the round."""
    CLUB = "club"
    """The club used."""
    ROUND = "round"
    """A tag of the round."""
    SHOT = "shot"
    """A tag of the shot, such as ``shaft:stiff``."""


class Outcome(StrEnum):
    TRAVEL = "travel"
    """How far a shot went."""
    SIDE = "side"
    """How far it ended to the side."""
    STROKES_GAINED = "strokes_gained"
    """Strokes gained."""


class TrialUnit(StrEnum):
    """What the trial counts as one."""

    SHOT = "shot"
    """Each shot."""
    ROUND = "round"
    """Each round."""


def _not_too_many(keys: list[str]) -> list[str]:
    if len(keys) > MOST_KEYS:
        raise ValueError(Sentence("at most {most_keys} figures at once", most_keys=MOST_KEYS))
    return keys


FewKeys = Annotated[Keys, AfterValidator(_not_too_many)]
KEYS_WORDS = (
    f"keys of figures with commas between, at most {MOST_KEYS}; "
    "if left out, strokes gained in all and by part"
)
Tag = Annotated[str, StringConstraints(min_length=1, max_length=60)]


class HistoryQuery(BenchmarkQuery):
    keys: FewKeys | None = Field(None, description=KEYS_WORDS)
    since: Day | None = Field(None, description="rounds from this day on; all if left out")

    @property
    def figures(self) -> list[str]:
        return self.keys or list(DASHBOARD_FIGURES)


class TrendsQuery(HistoryQuery):
    compare_to: Day | None = Field(None, description="an earlier day; three months ago if left out")
    last: int | None = Field(
        None, ge=1, le=1000, description="tell of the last so many rounds; of all if left out"
    )


class EarlierSelfQuery(HistoryQuery):
    day: Day = Field(description="the later period begins")


def _different(ids: list[UUID]) -> list[UUID]:
    if not 2 <= len(set(ids)) == len(ids) <= MOST_PLAYERS:
        raise ValueError(Sentence("name 2 to {most_players} different players", most_players=MOST_PLAYERS))
    return ids


class CompareQuery(WindowQuery):
    players: Annotated[list[UUID], BeforeValidator(between_commas), AfterValidator(_different)] = Field(
        description="ids with commas between"
    )
    keys: FewKeys | None = Field(None, description=KEYS_WORDS)

    @property
    def figures(self) -> list[str]:
        return self.keys or list(DASHBOARD_FIGURES)


class LeadersQuery(WindowQuery):
    key: FigureKey
    """Key of the figure."""


class PrioritiesQuery(BenchmarkQuery):
    target: Annotated[str, StringConstraints(max_length=40)] | None = Field(
        None, description="instead of benchmark: handicap:2, the golfer to become"
    )
    share: float = Field(USUAL_SHARE, gt=0, le=1, description="of the gap that is closed")
    last: int = Field(USUAL_ROUNDS, ge=5, le=200, description="so many rounds")
    effects: int = Field(
        USUAL_EFFECTS, ge=0, le=MOST_EFFECTS, description="for how many groups closing the gap is worked out"
    )

    @model_validator(mode="after")
    def one_golfer(self) -> PrioritiesQuery:
        if self.target and self.benchmark:
            raise ValueError(Sentence("give either benchmark or target"))
        return self


class TrialQuery(BenchmarkQuery):
    tag: TagKind = Field(
        description="what A and B are: the round's ball, the club used, a tag of rounds, or one of shots"
    )
    a: Tag
    """The one."""
    b: Tag
    """The other."""
    outcome: Outcome
    """What they are compared by."""
    club: Annotated[str, StringConstraints(min_length=1, max_length=20)] | None = Field(
        None, description="only shots with this club"
    )
    since: Day | None = Field(None, description="rounds from this day on; all if left out")

    @model_validator(mode="after")
    def two_tags(self) -> TrialQuery:
        if self.a.casefold() == self.b.casefold():
            raise ValueError(Sentence("a and b are the same"))
        return self


class AttentionQuery(Query):
    days: int = Field(USUAL_DAYS_WITHOUT_ROUND, ge=1, le=1000, description="without a round")
    dismissed: bool = Field(default=False, description="show what you put aside as well")


class GoalsQuery(Query):
    state: Annotated[GoalState | None, Column("state")] = None
    """Only goals of this state."""


class DismissalBody(Body):
    player: UUID
    """Id of the player."""
    item: Annotated[str, StringConstraints(min_length=1, max_length=120)]
    """Key of the item, as the list gives it."""


class GoalWindowBody(Body):
    """A number of rounds, or of days."""

    rounds: int | None = Field(default=None, ge=1, le=200)
    """The last so many rounds."""
    days: int | None = Field(default=None, ge=1, le=1000)
    """The last so many days."""

    @model_validator(mode="after")
    def one_of_the_two(self) -> GoalWindowBody:
        if (self.rounds is None) == (self.days is None):
            raise ValueError(Sentence("give either rounds or days"))
        return self


class GoalBody(Body):
    figure: FigureKey
    """Key of the figure."""
    target: Annotated[float, Field(ge=-1000, le=1000)] = Field(
        description="In the figure's unit: strokes, a share from 0 to 1, and lengths in the club's unit."
    )
    due_on: Day
    """Day by which it is to be met."""
    window: GoalWindowBody = Field(default_factory=lambda: GoalWindowBody(rounds=10))
    """Over which rounds the figure is taken."""
    note: str = Field(default="", max_length=2000)
    """In your own words."""


class NoteBody(Body):
    practised_on: Day
    """Day of practice."""
    text: Annotated[str, StringConstraints(min_length=1, max_length=4000)]
    """In your own words."""
    figure: str = Field(default="", max_length=80, description="Key of the figure it was about.")
