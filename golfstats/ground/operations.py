"""What may be asked of the service: each operation is declared once, and every door is made from that.

- :class:`Subject`: rows that questions are about (a player, a course), and how an address names one.
- :class:`Reading`: one answer, of the club or of a row.
- :class:`Listing`: rows in pages. :class:`Gathering`: a list that is computed as a whole.
- :class:`Change`: whatever writes.

A room lists its operations in ``operations.py``; ``golfstats/doors/operations.py`` lists the rooms. The functions named
here take an :class:`Asker`, then the rows in question (several at once, so that a squad costs no more queries
than a player), then the checked parameters or body.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Annotated, Any, Generic, TypeVar
from uuid import UUID

from django.db.models import Model, QuerySet
from pydantic import BaseModel, BeforeValidator, ConfigDict, ValidationInfo, field_validator

from golfstats.ground.clock import today_at
from golfstats.ground.clubs.models import Club, Member, Role
from golfstats.ground.deprecation import Deprecation
from golfstats.ground.events import Event
from golfstats.ground.faults import ProblemError, Refusal, not_found
from golfstats.ground.inputs import written_as_a_day, written_as_a_moment
from golfstats.ground.orders import with_order
from golfstats.ground.standing import Person, Standing
from golfstats.ground.stretches import Column, KeptStretches, Plain, Stretch, filtered
from golfstats.ground.walls.dated import Dated
from golfstats.sentences import Sentence, one_or_another

RowT = TypeVar("RowT", bound=Model)
LoadedT = TypeVar("LoadedT")
DAYS = (dt.date, dt.date | None)
AnyRow = Any
"""A row of the subject that the operation is about."""


@dataclass(frozen=True)
class Asker:
    """Who asks, in which club, on which day. The club's scope is entered."""

    member: Member
    site: str = ""
    """Address of the service as it was reached: ``https://golf.example/``."""
    asks_more: bool = False
    """Several questions may come in one request, as in GraphQL: what serves them all is better loaded whole."""
    looked_at: set[tuple[str, UUID]] = field(default_factory=set, compare=False, repr=False)
    """What was read of whose golf: the key is a player's or, for everybody in it, a squad's."""
    _loaded: dict[Hashable, Any] = field(default_factory=dict, compare=False, repr=False)

    def once(self, key: Hashable, load: Callable[[], LoadedT]) -> LoadedT:
        """What ``load`` gives, loaded for the first of a request's answers that wants it. The key names it whole."""
        if key not in self._loaded:
            self._loaded[key] = load()
        loaded: LoadedT = self._loaded[key]
        return loaded

    def looks_at(self, what: str, whose: Iterable[UUID]) -> None:
        """Remember that this was read of their golf; the door writes it down when the answer is ready."""
        self.looked_at.update((what, key) for key in whose)

    def hold_club(self) -> None:
        """As it is now, and unchanged by others until this request has ended."""
        self.member.club = Club.objects.select_for_update().get(id=self.club.id)

    def forget(self) -> None:
        """After a change: what was loaded is what was there before."""
        self._loaded.clear()

    @property
    def person(self) -> Person:
        return Person(self.member.user_id, self.site)

    @property
    def club(self) -> Club:
        return self.member.club

    @property
    def distance_unit(self) -> str:
        return self.club.distance_unit

    @cached_property
    def today(self) -> dt.date:
        return today_at(self.club)

    def needs(self, *roles: Role) -> None:
        """Refuse unless the member has one of the roles."""
        if self.member.role not in roles:
            words = one_or_another([Sentence(role.value) for role in roles])
            raise ProblemError(
                "not-allowed", Sentence("Only a {words} may do this", words=words), Refusal.NOT_ALLOWED
            )


class Query(BaseModel):
    """Parameters of an operation. One that is not declared is refused.

    A part of the address that names no row of the subject is a parameter of that name.
    """

    model_config = ConfigDict(use_attribute_docstrings=True, extra="forbid", frozen=True)

    @field_validator("*", mode="before")
    @classmethod
    def _days_are_written(cls, value: object, info: ValidationInfo) -> object:
        if isinstance(value, str) and cls.model_fields[str(info.field_name)].annotation in DAYS:
            return written_as_a_day(value)
        return value


class UpdatedQuery(Query):
    """Of a list whose rows tell when they were last written."""

    updated_since: Annotated[
        dt.datetime | None, BeforeValidator(written_as_a_moment), Column("updated_at__gte")
    ] = None
    """Only what was entered, changed or looked through by the worker at this moment or later (RFC 3339 with its
    offset). Ask from a few minutes before you asked last: what was being written just then appears late. What was
    deleted is in no list; of rounds `/changes` tells it, and misses nothing.
    """


@dataclass(frozen=True, kw_only=True)
class Line(Generic[RowT]):
    """How rows of a table are told: ``heads(asker, rows)`` gives what is told of each, in their order."""

    model: type[RowT]
    head: type
    heads: Callable[[Asker, Sequence[RowT]], Sequence[Any]]
    whose: Callable[[AnyRow], UUID] | None = None
    """The key of the player, or of the squad, whose golf answers about a row tell."""
    tells: str = ""
    """What a head by itself tells of it; nothing where it tells no golf."""
    plain: Plain | None = None
    """For long lists, of which objects take time."""

    def seen(self, asker: Asker, rows: Iterable[RowT]) -> None:
        """Somebody reads the heads of these rows."""
        if self.whose is not None and self.tells:
            asker.looks_at(self.tells, map(self.whose, rows))


@dataclass(frozen=True, kw_only=True)
class Subject(Line[RowT]):
    """Rows that people ask about. Its head is what is told of a row wherever it is named as such."""

    word: str
    """In a refusal: "No player found here"."""
    parameter: str
    """The part of an address that holds the id: ``player_id``."""
    column: str = "id"
    """The column that it names the row by."""
    visible: Callable[[Asker], QuerySet[RowT]]
    find: Callable[[Asker, Any], RowT | None] | None = None
    """The visible row that the column names, where so many ask that its statement is written once."""
    above: Mapping[str, str] = field(default_factory=dict)
    """Other parts of the address, and the column that each has to equal: ``{"course_id": "course_id"}``."""
    root: str = ""
    """Name of the GraphQL field that finds one by its id; without it there is none."""

    def one(self, asker: Asker, places: Mapping[str, object], *, to_change: bool = False) -> RowT:
        """The row that an address names; refused if there is none, or none that this member may see.

        GraphQL names a row by its id alone.
        """
        row = self._look(asker, places, to_change=to_change)
        if row is None:
            raise not_found(Sentence("No {word}", word=self.word))
        return row

    def _look(self, asker: Asker, places: Mapping[str, object], *, to_change: bool) -> RowT | None:
        if self.find is not None and not to_change:
            return self.find(asker, places[self.parameter])
        above = {column: places[part] for part, column in self.above.items() if part in places}
        rows = self.visible(asker).filter(**above, **{self.column: places[self.parameter]})
        return (rows.select_for_update(of=("self",)) if to_change else rows).first()


@dataclass(frozen=True, kw_only=True)
class Operation:
    """What all operations have."""

    name: str
    """Of the address, for programs and tests: ``player-putting``."""
    id: str
    """Of the operation in the API document: ``read_player_putting``."""
    path: str
    """Below ``/api/v1/``, in Django's syntax; empty where REST has no such operation. A part that names no row is
    a parameter of the query.
    """
    summary: str
    description: str = ""
    standing: Standing = Standing.MEMBER
    """As what one asks. Functions of an operation that is not a member's get a :class:`Person`, no Asker."""
    guessable: bool = False
    """Somebody could find out a password or a secret by trying: attempts from an address are counted."""
    any_token: bool = False
    """Even a token that was made for less may do it."""
    roles: tuple[Role, ...] = ()
    """Which members may; nobody named is every member."""
    about: Subject[Any] | None = None
    query: type[Query] = Query
    field: str = ""
    """Name in GraphQL, in Python's spelling; empty where GraphQL has no such operation."""
    cost: int = 0
    """Beside one for each field of the answer; a unit is about 50 µs of work."""
    is_pending: Callable[[Mapping[str, object]], bool] | None = None
    """Whether work goes on for what an address of these places tells; a client may prefer to wait for its end."""
    deprecation: Deprecation | None = None
    tells: str = "analysis"
    """What an answer tells of somebody's golf, where the subject's rows are somebody's; nothing if empty."""

    @property
    def method(self) -> str:
        return "GET"

    @property
    def parameters(self) -> type[Query]:
        """What may be said beside the address."""
        return self.query

    def seen(self, asker: Asker, rows: Iterable[AnyRow]) -> None:
        """Somebody reads the answer about these rows."""
        if self.tells and self.about is not None and self.about.whose is not None:
            asker.looks_at(self.tells, map(self.about.whose, rows))


@dataclass(frozen=True, kw_only=True)
class Reading(Operation):
    """One answer. ``read(asker, query)``, or ``read(asker, rows, query)`` with one answer for each row."""

    answer: type
    read: Callable[..., Any]
    version: Callable[[AnyRow], int] | None = None
    """Of the row that it is about; becomes the ETag."""
    written: Mapping[str, Callable[..., str | bytes]] = field(default_factory=dict)
    """Other media types: ``written[type](asker, row, query)`` gives the text, or the bytes of a file."""
    for_people: bool = False
    """Whether people read its words: REST then says them in the language that the request accepts."""


@dataclass(frozen=True, kw_only=True)
class Listing(Operation):
    """Rows in pages, in an order whose last column is unique. ``rows(asker)`` are those that one may see."""

    rows: Callable[[Asker], QuerySet[Any]]
    order: tuple[str, ...]
    of: Line[Any]
    """How the rows are told; a :class:`Subject` where questions can be asked about each."""
    parent: str = ""
    """With ``about``: the column that holds the key of the row it is about."""
    sorts: tuple[str, ...] = ()
    """By which columns one may have it sorted beside the first of ``order``: none has nulls, each has an index."""

    kept: bool = False
    """Whether the statement of its pages is written once and kept: ``rows`` asks about a member nothing but their
    role, club and key, and has no objects beside those beside its rows. For lists that are read often.
    """

    is_dated: bool = True
    """Whether it tells what was written since a moment, where rows know (``Dated``)."""

    @cached_property
    def parameters(self) -> type[Query]:
        columns = (self.order[0].removeprefix("-"), *self.sorts)
        return with_order(self.dated_query, self.line.__name__, columns)

    @property
    def dated_query(self) -> type[Query]:
        if not (self.is_dated and issubclass(self.of.model, Dated)):
            return self.query
        bases = (UpdatedQuery,) if self.query is Query else (self.query, UpdatedQuery)
        return type(self.query.__name__, bases, {"__doc__": self.query.__doc__, "__module__": __name__})

    @property
    def line(self) -> type:
        return self.of.head

    def stretch(self, asker: Asker, parent: UUID | None, query: Query, wanted: Stretch) -> list[Any]:
        """Some of its rows, as objects or plain, below ``parent`` where it is about a row."""
        plain = self.of.plain
        if self.kept and not query.model_fields_set:
            return self._kept.find(plain, asker.member, parent, wanted)
        if plain is None:
            return list(wanted.of(self._below(asker, parent, query)))
        return plain.read(wanted.of(self._below(asker, parent, query).values_list(*plain.columns)))

    @cached_property
    def _kept(self) -> KeptStretches:
        nothing_asked = self.parameters()
        return KeptStretches(
            self.of.model, lambda member, parent: self._below(Asker(member), parent, nothing_asked)
        )

    def _below(self, asker: Asker, parent: UUID | None, query: Query) -> QuerySet[Any, Any]:
        rows = filtered(self.rows(asker), query)
        return rows if parent is None else rows.filter(**{self.parent: parent})


@dataclass(frozen=True, kw_only=True)
class Gathering(Operation):
    """A list computed as a whole: ``gather(asker, query)``, or ``gather(asker, rows, query)`` for each row."""

    line: type
    gather: Callable[..., Any]
    key: Callable[[Any], str] | None = None
    """Tells one line from another; with it GraphQL gives the list in pages."""
    longest: int = 20
    """How many there usually are, for what GraphQL charges."""


@dataclass(frozen=True, kw_only=True)
class Download(Operation):
    """A file in pieces, for programs that take everything along. Not in GraphQL."""

    pieces: Callable[[Asker, Any], Iterator[str] | Iterator[bytes]]
    media_type: str
    file_name: str
    answer: type | None = None
    """The value as which the pieces of a JSON file read together."""


@dataclass(frozen=True)
class Done:
    """What came of a change: the row (with ``of``) or the answer, and what an answer by HTTP says beside it."""

    answer: Any = None
    version: int | None = None
    """Becomes the ETag."""
    location: str = ""
    """Name of the reading that tells of it, whose address is given with ``places``."""
    places: Mapping[str, object] = field(default_factory=dict)
    status: int | None = None


@dataclass(frozen=True, kw_only=True)
class Change(Operation):
    """Whatever writes: ``do(asker, [row,] [body,] [query])`` gives the row (with ``of``) or the answer, or a
    :class:`Done`. It gets a query where one of its own is declared.
    """

    verb: str
    """POST, PUT, PATCH or DELETE."""
    do: Callable[..., Any]
    of: Line[Any] | None = None
    """How the row is told that came of it."""
    gives: type | None = None
    """The answer's class, where it is no row."""
    body: type[BaseModel] | None = None
    present: Callable[[AnyRow], Mapping[str, object]] | None = None
    """Of a PATCH: the row's present values, over which those of the body are laid before they are checked."""
    accepts: Mapping[str, Callable[[bytes, str], Any]] = field(default_factory=dict)
    """Media types beside JSON, or without ``body`` in its place: from the bytes and the full content type to what
    ``do`` gets as body.
    """
    form: type[BaseModel] | None = None
    """What a multipart form among them has for fields."""
    limit: int = 64 * 1024
    """Bytes that a body may have."""
    version: Callable[[AnyRow], int] | None = None
    """Of the row as it is: compared with If-Match."""
    creates: Callable[[Asker, UUID, Any], Any] | None = None
    """Of a PUT: makes the row under the id that the client chose, from the body, where there is none."""
    is_repeated: Callable[[AnyRow, Any], bool] | None = None
    """Whether the row is as this very body left it. Then nothing is done, whatever version is meant."""
    version_needed: bool = False
    """Refused without If-Match, so that nobody overwrites what they have not seen."""
    status: int = 0
    """Of the answer; usually 201 for POST, 204 without an answer, else 200."""
    sends: tuple[Event, ...] = ()
    """What programs are told once it is done."""
    sends_later: tuple[Event, ...] = ()
    """What they are told as soon as the worker has done what follows from it."""
    also: Mapping[int, type] = field(default_factory=dict)
    """Answers of other statuses that a :class:`Done` may have."""

    @property
    def method(self) -> str:
        return self.verb

    @property
    def body_needed(self) -> bool:
        """Whether it cannot be left out: it can where each of its fields can."""
        return self.body is None or any(field.is_required() for field in self.body.model_fields.values())

    @property
    def answer(self) -> type | None:
        return self.gives if self.of is None else self.of.head
