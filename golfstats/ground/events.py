"""What programs outside are told when something changes. Each kind of event is declared once, by the room whose rows
it is about: what is said of a row, and whose programs may hear it.

    COURSE_CHANGED = Event(Happening.COURSE_CHANGED, of=Course, message=CourseMessage, says=..., hearers=...)

    @tells(COURSE_CHANGED)
    def change_course(course: Course, changes: CourseChanges) -> Course: ...

Services are the only code that writes, so what stands at a service is told whichever door or worker calls it. An
operation names the same events in ``sends``; a test compares the two.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from functools import cached_property, wraps
from typing import Any, ParamSpec, TypeVar
from uuid import UUID

from django.db import models, transaction
from pydantic import TypeAdapter

P = ParamSpec("P")
ResultT = TypeVar("ResultT")
AnyRow = Any
"""A row that the event is about."""


class Happening(models.TextChoices):
    """What a program can be told about."""

    ROUND_POSTED = "round_posted"
    ROUND_CHANGED = "round_changed"
    ROUND_DELETED = "round_deleted"
    ROUND_ANALYSED = "round_analysed"
    ROUND_STARTED = "round_started"
    HOLE_PLAYED = "hole_played"
    ROUND_GIVEN_UP = "round_given_up"
    BAG_CHANGED = "bag_changed"
    INDEX_CHANGED = "index_changed"
    COMMITTEE_DECIDED = "committee_decided"
    COMMITTEE_WITHDREW = "committee_withdrew"
    GOAL_SET = "goal_set"
    GOAL_ENDED = "goal_ended"
    NOTE_WRITTEN = "note_written"
    NOTE_DELETED = "note_deleted"
    PLAN_ENDED = "plan_ended"
    PLAN_READ = "plan_read"
    PLAN_DELETED = "plan_deleted"
    PLAYER_CHANGED = "player_changed"
    PLAYER_ERASED = "player_erased"
    CONSENT_CHANGED = "consent_changed"
    SQUAD_CHANGED = "squad_changed"
    SQUAD_DELETED = "squad_deleted"
    MEMBER_JOINED = "member_joined"
    MEMBER_CHANGED = "member_changed"
    MEMBER_LEFT = "member_left"
    CLUB_CHANGED = "club_changed"
    COURSE_CHANGED = "course_changed"
    COURSE_DELETED = "course_deleted"
    TEE_CHANGED = "tee_changed"
    TEE_DELETED = "tee_deleted"
    HOLE_COSTS_MADE = "hole_costs_made"
    PLAYING_CONDITIONS_CHANGED = "playing_conditions_changed"
    PLAYING_CONDITIONS_DELETED = "playing_conditions_deleted"
    GREEN_WORK_ANNOUNCED = "green_work_announced"
    GREEN_WORK_CHANGED = "green_work_changed"
    GREEN_WORK_REMOVED = "green_work_removed"
    GREENS_MEASURED = "greens_measured"
    GREEN_READING_DELETED = "green_reading_deleted"
    CALENDAR_EVENT_CHANGED = "calendar_event_changed"
    CALENDAR_EVENT_DELETED = "calendar_event_deleted"
    IMPORT_ENDED = "import_ended"


@dataclass(frozen=True)
class Hearers:
    """Whose programs may be told of a row."""

    club: bool = True
    """The club's, which its managers set up."""
    member: UUID | None = None
    """This member's own."""
    every_member: bool = False
    """Each member's own."""


NOBODY = Hearers(club=False)


@dataclass(frozen=True)
class Told:
    """One message, and whose programs may have it."""

    body: Mapping[str, Any]
    """JSON values only."""
    hearers: Hearers = Hearers()


Announcer = Callable[[Happening, Callable[[], Iterable[Told]]], None]
_announcers: list[Announcer] = []
"""Whoever sends messages stands above the rows that they are about, and says here how when the service starts."""
EVENTS: dict[Happening, Event] = {}
"""Every kind that a room has declared."""


@dataclass(frozen=True)
class Event:
    """One kind of event."""

    happening: Happening
    meaning: str
    """When it is sent, for whoever writes a program."""
    of: type
    """The rows that it is about."""
    message: type
    """The data class that says what is told."""
    says: Callable[[AnyRow], object]
    """Gives the message about a row."""
    hearers: Callable[[AnyRow], Hearers]
    own: bool = False
    """A member may ask to be told of it by a program of their own: it is about them, or about what each may read."""
    gone: bool = False
    """The row is there no more when it is sent."""

    def __post_init__(self) -> None:
        assert self.happening not in EVENTS, self.happening  # noqa: S101 - shown when it starts
        EVENTS[self.happening] = self

    @cached_property
    def _written(self) -> TypeAdapter[Any]:
        return TypeAdapter(self.message)

    def send(self, rows: Iterable[AnyRow]) -> None:
        """Tell of these rows, which are read only if somebody wants to know. In the transaction of the change."""
        for announce in _announcers:
            announce(self.happening, lambda: self._told(rows))

    def row_among(self, given: Iterable[object]) -> AnyRow:
        """What a service took or gave that the event is about."""
        return next(one for one in given if isinstance(one, self.of))

    def _told(self, rows: Iterable[AnyRow]) -> Iterator[Told]:
        for row in rows:
            hearers = self.hearers(row)
            if hearers != NOBODY:
                yield Told(self._written.dump_python(self.says(row), mode="json", by_alias=True), hearers)


def messages_are_sent_by(announcer: Announcer) -> None:
    _announcers[:] = [announcer]


def tells(event: Event) -> Callable[[Callable[P, ResultT]], Callable[P, ResultT]]:
    """Marks a service: once it has done its work, the event is sent of the row that it gave, or else took."""

    def around(write: Callable[P, ResultT]) -> Callable[P, ResultT]:
        @wraps(write)
        @transaction.atomic
        def told(*args: P.args, **kwargs: P.kwargs) -> ResultT:
            taken: Sequence[object] = (*args, *kwargs.values())
            # A row that is deleted loses its key.
            before = copy(event.row_among(taken)) if event.gone else None
            done = write(*args, **kwargs)
            event.send([before or event.row_among((done, *taken))])
            return done

        return told

    return around
