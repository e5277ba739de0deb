"""What programs are told of goals and practice notes."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID

from golfstats.calc.coaching.goals import GoalState
from golfstats.ground.events import Event, Happening, Hearers
from players.coaching.models import Goal, PracticeNote
from players.people.announcing import NamedPlayer, hearers_of, player_in_message


@dataclass(frozen=True)
class GoalMessage:
    """A goal."""

    goal: UUID
    """Id of the goal."""
    player: NamedPlayer
    """Whose it is."""
    figure: str
    """Key of the figure that the goal is about."""
    state: GoalState
    """How it stands."""


@dataclass(frozen=True)
class NoteMessage:
    """A practice note. Its words only the API tells."""

    note: UUID
    """Id of the note."""
    player: NamedPlayer
    """Whose it is."""


def _goal(row: Goal) -> GoalMessage:
    return GoalMessage(row.id, player_in_message(row.player), row.figure, GoalState(row.state))


def _note(row: PracticeNote) -> NoteMessage:
    return NoteMessage(row.id, player_in_message(row.player))


def _of_goal(row: Goal) -> Hearers:
    return hearers_of(row.player)


def _of_note(row: PracticeNote) -> Hearers:
    return hearers_of(row.player)


GOAL_SET = Event(
    Happening.GOAL_SET,
    of=Goal,
    message=GoalMessage,
    says=_goal,
    hearers=_of_goal,
    own=True,
)
GOAL_ENDED = Event(
    Happening.GOAL_ENDED,
    of=Goal,
    message=GoalMessage,
    says=_goal,
    hearers=_of_goal,
    own=True,
)
NOTE_WRITTEN = Event(
    Happening.NOTE_WRITTEN,
    of=PracticeNote,
    message=NoteMessage,
    says=_note,
    hearers=_of_note,
    own=True,
)
NOTE_DELETED = Event(
    Happening.NOTE_DELETED,
    of=PracticeNote,
    message=NoteMessage,
    says=_note,
    hearers=_of_note,
    own=True,
    gone=True,
)
