"""Finished answers about players, remembered for as long as everything that they rest on stays as it was.

An answer is stored with a stamp of every row that it may rest on: the player's rounds with their figures, their index
and what the committee decided of it, goals and words for clubs, the club's settings, courses and fit, and the code. The
stamp is made of PostgreSQL's own marks of a row's version (``xmin``, who wrote it; ``ctid``, where it stands), so
whoever writes one of these need know nothing of answers. Where the stamp differs the answer is computed and remembered
anew.
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
from pydantic import TypeAdapter

from golfstats import calc
from golfstats.ground.clubs.models import Club
from golfstats.ground.ids import new_id
from golfstats.ground.operations import Asker
from golfstats.ground.postgres.trouble import passes
from golfstats.ground.walls.scope import current_club_id
from players.figures.models import RememberedAnswer
from players.golf.questions import BenchmarkQuery
from players.people.models import Player

AnswerT = TypeVar("AnswerT")
QueryT = TypeVar("QueryT", bound=BenchmarkQuery)
Stamps = Mapping[UUID, str]
Mates = Callable[[Sequence[Player]], Mapping[UUID, set[UUID]]]
MOST = 24
"""Answers remembered of a player: those asked for last. Enough for every page and dashboard."""
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
    beside: Mates | None = None
    """The other players on whose golf a player's answer rests."""

    def __post_init__(self) -> None:
        _ALL.append(self)

    def __call__(self, asker: Asker, players: Sequence[Player], query: QueryT) -> list[AnswerT]:
        stamps = self._stamps(asker, players)
        question = self.question(asker.club, query)
        answers = self._kept(question, players, stamps)
        missing = [player for player in players if player.id not in answers]
        if missing:
            fresh = self.compute(asker, missing, query)
            answers |= {player.id: answer for player, answer in zip(missing, fresh, strict=True)}
            self._remember(question, {player.id: answers[player.id] for player in missing}, stamps)
        return [answers[player.id] for player in players]

    def keep(self, club: Club, player: Player, query: QueryT, answer: AnswerT) -> None:
        """Remember an answer that was worked out anyway, in the transaction that read what it rests on.

        Only of questions that rest on this player alone and not on the day.
        """
        marks = stamps_of({player.id})
        self._remember(
            self.question(club, query), {player.id: answer}, {player.id: _digest("", marks[player.id])}
        )

    def question(self, club: Club, query: QueryT) -> str:
        """What tells this question from every other."""
        asked = query.model_dump_json(exclude_none=True)
        return sha256(f"{self.name} {club.distance_unit} {get_language()} {asked}".encode()).hexdigest()

    @cached_property
    def written(self) -> TypeAdapter[AnswerT]:
        """Writes an answer as it is kept, and reads it."""
        return TypeAdapter(self.answer)

    def _stamps(self, asker: Asker, players: Sequence[Player]) -> Stamps:
        mates = self.beside(players) if self.beside else {}
        everybody = {player.id for player in players}.union(*mates.values())
        stamped = asker.once(("stamps", frozenset(everybody)), lambda: stamps_of(everybody))
        day = asker.today.isoformat() if self.daily else ""
        return {
            player.id: _digest(
                day, stamped[player.id], *(stamped[one] for one in sorted(mates.get(player.id, ())))
            )
            for player in players
        }

    def _kept(self, question: str, players: Sequence[Player], stamps: Stamps) -> dict[UUID, AnswerT]:
        rows = RememberedAnswer.objects.filter(question=question, player__in=[one.id for one in players])
        return {
            player: self.written.validate_json(body)
            for player, stamp, body in rows.values_list("player_id", "stamp", "body")
            if stamp == stamps[player]
        }

    def _remember(self, question: str, answers: Mapping[UUID, AnswerT], stamps: Stamps) -> None:
        players = sorted(answers)  # one order for all, or two that remember at once could wait for each other
        bodies = [self.written.dump_json(answers[player]).decode() for player in players]
        values: dict[str, Any] = {
            "club": current_club_id(),
            "question": question,
            "ids": [new_id() for _ in players],
            "players": players,
            "stamps": [stamps[player] for player in players],
            "bodies": bodies,
            "most": MOST,
        }
        try:
            with transaction.atomic(), connection.cursor() as cursor:
                cursor.execute(_REMEMBER, values)
        except DatabaseError as fault:
            # Somebody remembers the same at this very moment. What was computed is told all the same: to begin the
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
)
INSERT INTO players_rememberedanswer (id, club_id, player_id, question, stamp, body)
SELECT id, %(club)s, player, %(question)s, stamp, body
FROM unnest(%(ids)s::uuid[], %(players)s::uuid[], %(stamps)s::text[], %(bodies)s::text[])
    AS fresh (id, player, stamp, body)
ON CONFLICT (club_id, player_id, question)
DO UPDATE SET id = EXCLUDED.id, stamp = EXCLUDED.stamp, body = EXCLUDED.body
"""

_STAMPS = """
WITH of_club AS (
    SELECT sum(mark) AS mark FROM (
        SELECT hashtextextended('club' || id::text || xmin::text || ctid::text, 0) AS mark
        FROM clubs_club WHERE id = %(club)s
        UNION ALL SELECT hashtextextended(id::text || xmin::text || ctid::text, 0)
        FROM players_clubbenchmark WHERE club_id = %(club)s
        UNION ALL SELECT hashtextextended(id::text || xmin::text || ctid::text, 0)
        FROM courses_course WHERE club_id = %(club)s
        UNION ALL SELECT hashtextextended(id::text || xmin::text || ctid::text, 0)
        FROM courses_teeset WHERE club_id = %(club)s
        UNION ALL SELECT hashtextextended(id::text || xmin::text || ctid::text, 0)
        FROM courses_rating WHERE club_id = %(club)s
        UNION ALL SELECT hashtextextended(id::text || xmin::text || ctid::text, 0)
        FROM courses_hole WHERE club_id = %(club)s
        UNION ALL SELECT hashtextextended(id::text || xmin::text || ctid::text, 0)
        FROM courses_playingconditions WHERE club_id = %(club)s
    ) AS rows
), of_players AS (
    SELECT id AS player_id, hashtextextended(xmin::text || ctid::text, 0) AS mark
    FROM players_player WHERE club_id = %(club)s AND id = ANY(%(players)s)
    UNION ALL SELECT player_id, hashtextextended(id::text || xmin::text || ctid::text, 0)
    FROM players_playerhandicap WHERE club_id = %(club)s AND player_id = ANY(%(players)s)
    UNION ALL SELECT player_id, hashtextextended(id::text || xmin::text || ctid::text, 0)
    FROM players_bagword WHERE club_id = %(club)s AND player_id = ANY(%(players)s)
    UNION ALL SELECT player_id, hashtextextended(id::text || xmin::text || ctid::text, 0)
    FROM players_goal WHERE club_id = %(club)s AND player_id = ANY(%(players)s)
    UNION ALL SELECT player_id, hashtextextended(id::text || xmin::text || ctid::text, 0)
    FROM players_committeeaction WHERE club_id = %(club)s AND player_id = ANY(%(players)s)
    UNION ALL SELECT player_id, hashtextextended(id::text || xmin::text || ctid::text, 0)
    FROM players_round WHERE club_id = %(club)s AND player_id = ANY(%(players)s)
    UNION ALL SELECT round.player_id, hashtextextended(
        figures.id::text || figures.xmin::text || figures.ctid::text, 0)
    FROM players_round AS round JOIN players_roundfigures AS figures
        ON figures.club_id = round.club_id AND figures.round_id = round.id
    WHERE round.club_id = %(club)s AND round.player_id = ANY(%(players)s)
)
SELECT player_id, count(*) || ' ' || sum(mark) || ' ' || (SELECT mark FROM of_club)
FROM of_players GROUP BY player_id
"""


def stamps_of(players: set[UUID]) -> dict[UUID, str]:
    """Of each player what all their answers rest on, but for today and other players. One query."""
    with connection.cursor() as cursor:
        cursor.execute(_STAMPS, {"club": current_club_id(), "players": sorted(players)})
        return {player: f"{edition()} {mark}" for player, mark in cursor.fetchall()}


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
