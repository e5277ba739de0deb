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

from django.conf import settings
from django.db import models, transaction
from django.utils.translation import override
from pydantic import TypeAdapter

from golfstats.ground.answers import value_meanings

P = ParamSpec("P")
ResultT = TypeVar("ResultT")
AnyRow = Any
"""A row that the event is about."""


class Happening(models.TextChoices):
    """What a program can be told about."""

    ROUND_POSTED = "round_posted"
    """A round was posted, imported or finished."""
    ROUND_CHANGED = "round_changed"
    """A round was corrected, or warnings about it were dismissed."""
    ROUND_DELETED = "round_deleted"
    """A round was deleted."""
    ROUND_ANALYSED = "round_analysed"
    """The figures of a round have been computed, for the first time or anew."""
    ROUND_STARTED = "round_started"
    """A round was begun that is posted hole by hole."""
    HOLE_PLAYED = "hole_played"
    """A hole of a round in play was sent."""
    ROUND_GIVEN_UP = "round_given_up"
    """A round in play was given up."""
    BAG_CHANGED = "bag_changed"
    """A player's own word for a club has got a meaning, or lost it; shots of earlier rounds may name it otherwise."""
    INDEX_CHANGED = "index_changed"
    """A handicap index has moved."""
    COMMITTEE_DECIDED = "committee_decided"
    """The handicap committee has decided something about a player's record."""
    COMMITTEE_WITHDREW = "committee_withdrew"
    """The handicap committee has taken a decision back."""
    GOAL_SET = "goal_set"
    """A goal was set."""
    GOAL_ENDED = "goal_ended"
    """A goal was met or missed, or somebody closed it."""
    NOTE_WRITTEN = "note_written"
    """A practice note was written."""
    NOTE_DELETED = "note_deleted"
    """A practice note was taken back."""
    PLAN_ENDED = "plan_ended"
    """A plan that was asked for has been made, or could not be."""
    PLAN_READ = "plan_read"
    """A round has been taken apart by the plan that it was played by, or could not be."""
    PLAN_DELETED = "plan_deleted"
    """A plan was deleted."""
    PLAYER_CHANGED = "player_changed"
    """A player was entered, or their name, rating gender or sign-in has changed."""
    PLAYER_ERASED = "player_erased"
    """A player was erased: forget what you keep of them."""
    CONSENT_CHANGED = "consent_changed"
    """What a guardian said of a player was recorded."""
    SQUAD_CHANGED = "squad_changed"
    """A squad was entered, or its name, coaches or players have changed."""
    SQUAD_DELETED = "squad_deleted"
    """A squad was dissolved."""
    MEMBER_JOINED = "member_joined"
    """A person has accepted an invitation."""
    MEMBER_CHANGED = "member_changed"
    """A member's name or role has changed."""
    MEMBER_LEFT = "member_left"
    """A membership has ended."""
    CLUB_CHANGED = "club_changed"
    """Settings of the club have changed."""
    COURSE_CHANGED = "course_changed"
    """A course was entered, or its name or what is known of it has changed."""
    COURSE_DELETED = "course_deleted"
    """A course was deleted, or merged with another."""
    TEE_CHANGED = "tee_changed"
    """A tee set was entered, or its name, holes, ratings or the shapes of its holes have changed."""
    TEE_DELETED = "tee_deleted"
    """A tee set was deleted."""
    HOLE_COSTS_MADE = "hole_costs_made"
    """The costs of a tee's holes that were asked for have been worked out."""
    PLAYING_CONDITIONS_CHANGED = "playing_conditions_changed"
    """A day's playing conditions calculation was entered or corrected."""
    PLAYING_CONDITIONS_DELETED = "playing_conditions_deleted"
    """A day's playing conditions calculation was taken back."""
    GREEN_WORK_ANNOUNCED = "green_work_announced"
    """Green work was entered."""
    GREEN_WORK_CHANGED = "green_work_changed"
    """Green work was corrected, moved or cancelled."""
    GREEN_WORK_REMOVED = "green_work_removed"
    """Green work that was entered by mistake was taken back."""
    GREENS_MEASURED = "greens_measured"
    """A measurement of the greens was entered or corrected."""
    GREEN_READING_DELETED = "green_reading_deleted"
    """A measurement of the greens was deleted."""
    CALENDAR_EVENT_CHANGED = "calendar_event_changed"
    """A competition or another date of a course was entered or changed."""
    CALENDAR_EVENT_DELETED = "calendar_event_deleted"
    """A date of a course was deleted."""
    IMPORT_ENDED = "import_ended"
    """An import has ended: its rounds are in, or nothing was saved."""


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
class Message:
    """One message, and whose programs may have it."""

    body: Mapping[str, object]
    """JSON values only."""
    hearers: Hearers = Hearers()


Announcer = Callable[[Happening, Callable[[], Iterable[Message]]], None]
_announcers: list[Announcer] = []
"""Whoever sends messages stands above the rows that they are about, and says here how when the service starts."""
EVENTS: dict[Happening, Event] = {}
"""Every kind that a room has declared."""


@dataclass(frozen=True)
class Event:
    """One kind of event."""

    happening: Happening
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

    @property
    def meaning(self) -> str:
        """When it is sent, for whoever writes a program."""
        return value_meanings(Happening)[self.happening]

    def __post_init__(self) -> None:
        assert self.happening not in EVENTS, self.happening  # noqa: S101 - shown when it starts
        EVENTS[self.happening] = self

    @cached_property
    def _written(self) -> TypeAdapter[Any]:
        return TypeAdapter(self.message)

    def send(self, rows: Iterable[AnyRow]) -> None:
        """Tell of these rows, which are read only if somebody wants to know. In the transaction of the change."""
        for announce in _announcers:
            announce(self.happening, lambda: self._messages(rows))

    def row_among(self, given: Iterable[object]) -> AnyRow:
        """What a service took or gave that the event is about."""
        return next(one for one in given if isinstance(one, self.of))

    def _messages(self, rows: Iterable[AnyRow]) -> Iterator[Message]:
        for row in rows:
            hearers = self.hearers(row)
            if hearers != NOBODY:
                with override(settings.LANGUAGE_CODE):  # programs read English, whoever did it on which page
                    message = self._written.dump_python(self.says(row), mode="json", by_alias=True)
                yield Message(message, hearers)


def messages_are_sent_by(announcer: Announcer) -> None:
    _announcers[:] = [announcer]


def tells(event: Event) -> Callable[[Callable[P, ResultT]], Callable[P, ResultT]]:
    """Marks a service: once it has done its work, the event is sent of the row that it gave, or else took."""

    def around(write: Callable[P, ResultT]) -> Callable[P, ResultT]:
        @wraps(write)
        @transaction.atomic
        def and_send(*args: P.args, **kwargs: P.kwargs) -> ResultT:
            taken: Sequence[object] = (*args, *kwargs.values())
            # A row that is deleted loses its key.
            before = copy(event.row_among(taken)) if event.gone else None
            done = write(*args, **kwargs)
            event.send([before or event.row_among((done, *taken))])
            return done

        return and_send

    return around
