"""Finished answers about players, remembered for as long as everything that they rest on stays as it was.

An answer is stored with a stamp of every row that it may rest on: the player's rounds with their figures and notes,
their index and what the committee decided of it, goals and words for clubs, the club's settings, courses and fit, and
the code. The stamp is made of PostgreSQL's own marks of a row's version (``xmin``, who wrote it; ``ctid``, where it
stands); for all rounds of a player stands one row that triggers write anew whenever one of them is written
(``GolfMark``). So whoever writes any of these need know nothing of answers. The function ``golf_stamps`` of the
migrations makes it. Where the stamp differs the answer is computed and remembered anew.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from hashlib import sha256
from pathlib import Path
from typing import Any, Generic, TypeVar
from uuid import UUID

from django.db import DatabaseError, connection, transaction
from django.utils.translation import get_language
from orjson import Fragment
from pydantic import TypeAdapter

from golfstats import calc
from golfstats.ground.answers import as_json
from golfstats.ground.clubs.models import Club
from golfstats.ground.ids import new_id
from golfstats.ground.operations import Asker, Query
from golfstats.ground.postgres.trouble import passes
from golfstats.ground.statements import prepared_cursor
from golfstats.ground.walls.scope import current_club_id
from players.people.models import Player, RememberedAnswer

AnswerT = TypeVar("AnswerT")
QueryT = TypeVar("QueryT", bound=Query)
Stamps = Mapping[UUID, str]
Mates = Callable[[Sequence[Player]], Mapping[UUID, set[UUID]]]
MOST = 24
"""Answers remembered of a player: those asked for last. Enough for every page and dashboard."""
BETWEEN_BODIES = "\x1e"
"""JSON has it nowhere: control characters are written as escapes."""
_ALL: list[Remembered[Any, Any]] = []
"""Every remembered reading of this process."""


@dataclass(frozen=True, eq=False)
class Remembered(Generic[AnswerT, QueryT]):
    """A reading of players that looks first whether it has given this very answer before."""

    name: str
    compute: Callable[[Asker, Sequence[Player], QueryT], Sequence[AnswerT]]
    answer: Any
    """The class of an answer."""
    daily: bool = False
    """The answer tells of today."""
    greens: bool = False
    """The answer rests on green work and what such work is known to cost, beside what the analysis wrote of them."""
    linked: bool = False
    """The answer has addresses of other pages, which a door looks for in it."""
    begins: Callable[[QueryT], bool] | None = None
    """Which questions are remembered; all if left out."""
    beside: Mates | None = None
    """The other players on whose golf a player's answer rests."""

    def __post_init__(self) -> None:
        _ALL.append(self)

    def __call__(self, asker: Asker, players: Sequence[Player], query: QueryT) -> list[AnswerT]:
        return self._told(asker, players, query, self.written.validate_json)

    def as_sent(self, asker: Asker, players: Sequence[Player], query: QueryT) -> list[AnswerT | Fragment]:
        """The same for a door that sends JSON: what is remembered is sent as it stands, and never read."""
        return self._told(asker, players, query, self.written.validate_json if self.linked else Fragment)

    def _told(
        self, asker: Asker, players: Sequence[Player], query: QueryT, read: Callable[[str], Any]
    ) -> list[Any]:
        if self.begins is not None and not self.begins(query):
            return list(self.compute(asker, players, query))
        question = self.question(asker.club, query)
        stamps, bodies = self._kept(asker, players, question)
        answers = {player: read(body) for player, body in bodies.items()}
        missing = [player for player in players if player.id not in answers]
        if missing:
            fresh = dict(zip((one.id for one in missing), self.compute(asker, missing, query), strict=True))
            self._remember(question, fresh, stamps)
            answers |= fresh
        return [answers[player.id] for player in players]

    def keep(self, club: Club, player: Player, query: QueryT, answer: AnswerT) -> None:
        """Remember an answer that was worked out anyway, in the transaction that read what it rests on.

        Only of questions that rest on this player alone and not on the day.
        """
        ((_, mark),) = _rows(_STAMPS, everybody=[player.id], greens=self.greens)
        self._remember(self.question(club, query), {player.id: answer}, {player.id: self._stamp("", mark)})

    def question(self, club: Club, query: QueryT) -> str:
        """What tells this question from every other."""
        asked = query.model_dump_json(exclude_none=True)
        return sha256(f"{self.name} {club.distance_unit} {get_language()} {asked}".encode()).hexdigest()

    @cached_property
    def written(self) -> TypeAdapter[AnswerT]:
        """Reads an answer as it is kept."""
        return TypeAdapter(self.answer)

    def _kept(self, asker: Asker, players: Sequence[Player], question: str) -> tuple[Stamps, dict[UUID, str]]:
        """Of each player the stamp that an answer has now, and the answer's text where one is kept that has it."""
        mates = self.beside(players) if self.beside else {}
        ids = [player.id for player in players]
        everybody = sorted({*ids}.union(*mates.values()))
        found: list[tuple[Any, ...]] = []

        def look() -> dict[UUID, str]:
            asked = {"everybody": everybody, "greens": self.greens, "players": ids, "question": question}
            found.extend(_rows(_STAMPS_AND_KEPT, **asked))
            return {player: mark for player, mark, *_ in found}

        marks = asker.once(("stamps", self.greens, *everybody), look)
        day = asker.today.isoformat() if self.daily else ""
        stamps = {
            player: self._stamp(day, marks[player], *(marks[one] for one in sorted(mates.get(player, ()))))
            for player in ids
        }
        kept = [(player, stamp, body) for player, _, stamp, body in found] or self._kept_of(ids, question)
        return stamps, {player: body for player, stamp, body in kept if stamp and stamp == stamps[player]}

    def _kept_of(self, players: Sequence[UUID], question: str) -> list[tuple[UUID, str, str]]:
        """Where another question of the same request has looked for the stamps."""
        rows = RememberedAnswer.objects.filter(question=question, player__in=players)
        return list(rows.values_list("player_id", "stamp", "body"))

    def _stamp(self, day: str, *marks: str) -> str:
        return _digest(edition(), day, *marks)

    def _remember(self, question: str, answers: Mapping[UUID, AnswerT], stamps: Stamps) -> None:
        players = sorted(answers)  # one order for all, or two that remember at once could wait for each other
        bodies = [as_json(answers[player]).decode() for player in players]
        values: dict[str, Any] = {
            "club": current_club_id(),
            "question": question,
            "ids": [new_id() for _ in players],
            "players": players,
            "stamps": [stamps[player] for player in players],
            # As one text: of an array each quotation mark would be written anew, which took longer than the rest.
            "bodies": BETWEEN_BODIES.join(bodies),
            "most": MOST,
        }
        try:
            with transaction.atomic(), connection.cursor() as cursor:
                cursor.execute(_REMEMBER, values)
        except DatabaseError as fault:
            # Somebody remembers the same, or changed the player. What was computed is told all the same: to begin the
            # request anew would have many who ask at once compute it several times each, and at last refused.
            if not passes(fault):
                raise


def warm_up() -> None:
    """Make what every remembered reading needs once a process."""
    edition()
    for reading in _ALL:
        _ = reading.written


def forget(player: UUID) -> None:
    """Leave nothing of golf that has changed or gone: an answer may tell of a round that was deleted."""
    RememberedAnswer.objects.filter(player=player).delete()


_REMEMBER = """
WITH forgotten AS (
    DELETE FROM players_rememberedanswer WHERE id IN (
        SELECT id FROM (
            SELECT id, row_number() OVER (PARTITION BY player_id ORDER BY id DESC) AS age
            FROM players_rememberedanswer
            WHERE club_id = %(club)s AND player_id = ANY(%(players)s) AND question <> %(question)s
        ) AS aged WHERE age >= %(most)s
    )
), there AS (
    SELECT id FROM players_player WHERE club_id = %(club)s AND id = ANY(%(players)s) AND erased_at IS NULL
    FOR SHARE SKIP LOCKED
)
INSERT INTO players_rememberedanswer (id, club_id, player_id, question, stamp, body)
SELECT fresh.id, %(club)s, player, %(question)s, stamp, body
FROM unnest(%(ids)s::uuid[], %(players)s::uuid[], %(stamps)s::text[], string_to_array(%(bodies)s, chr(30)))
    AS fresh (id, player, stamp, body)
WHERE player IN (SELECT id FROM there)
ON CONFLICT (club_id, player_id, question)
DO UPDATE SET id = EXCLUDED.id, stamp = EXCLUDED.stamp, body = EXCLUDED.body
"""
"""Nothing of a player who was erased since it was read, or is just being erased: it would stay behind them."""

_STAMPS = "SELECT player_id, stamp FROM golf_stamps(%(club)s, %(everybody)s::uuid[], %(greens)s)"
_STAMPS_AND_KEPT = """
SELECT stamped.player_id, stamped.stamp, kept.stamp, kept.body
FROM golf_stamps(%(club)s, %(everybody)s::uuid[], %(greens)s) AS stamped
LEFT JOIN players_rememberedanswer AS kept ON kept.club_id = %(club)s AND kept.player_id = stamped.player_id
    AND kept.question = %(question)s AND kept.player_id = ANY(%(players)s::uuid[])
"""
"""What an answer told again needs of the database, in one statement. The function is the migrations'."""


def _rows(statement: str, **values: Any) -> list[tuple[Any, ...]]:
    with prepared_cursor() as cursor:
        cursor.execute(statement, {"club": current_club_id(), **values})
        return list(cursor.fetchall())


@cache
def edition() -> str:
    """Of the code that computes, so that nothing outlives a release that computes otherwise."""
    packages = [Path(calc.__file__).parent, Path(__file__).parent.parent]
    files = sorted(
        file for package in packages for file in package.rglob("*") if file.suffix in {".py", ".csv"}
    )
    return _digest(*(sha256(file.read_bytes()).hexdigest() for file in files))


def _digest(*parts: str) -> str:
    return sha256("\n".join(parts).encode()).hexdigest()
