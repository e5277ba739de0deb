"""Many rounds in one request, one JSON value a line (NDJSON), each saved or refused by itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from uuid import UUID

import orjson
from django.conf import settings
from django.db import transaction

from golfstats.ground import inputs
from golfstats.ground.answers import up_to
from golfstats.ground.faults import Fault, ProblemError, Refusal, invalid
from golfstats.ground.operations import Asker, Change
from golfstats.ground.seats import seat
from golfstats.sentences import Sentence
from players.rounds import answers, services
from players.rounds.announcing import ROUND_POSTED
from players.rounds.input import RoundInput

NDJSON = "application/x-ndjson"
MOST_ROUNDS = 200


@dataclass(frozen=True)
class FaultOfLine:
    """One thing that is wrong in a round."""

    pointer: str
    """JSON pointer (RFC 6901) into the line."""
    code: str
    """Name for programs."""
    detail: str
    """What is wrong, in words."""
    hole: int | None
    shot: int | None


@dataclass(frozen=True, kw_only=True)
class RefusedLine:
    """Why a round was not saved, in the words of a problem (RFC 9457)."""

    type: str
    """Stable name of the kind of problem, a URI reference."""
    title: str
    """What kind of problem it is, in words."""
    detail: str
    """What to do about it, in words."""
    errors: list[FaultOfLine] = up_to(5)
    """Everything that is wrong in the line."""


@dataclass(frozen=True)
class AnswerToLine:
    """What became of one line."""

    line: int
    """From 1."""
    round: answers.Round | None
    """As it is saved."""
    problem: RefusedLine | None
    """Null where the round is saved."""


@dataclass(frozen=True, kw_only=True)
class AnswerToMany:
    """An answer to each line, in their order."""

    results: list[AnswerToLine] = up_to(50)
    """One for each line."""


def lines_of(body: bytes, _: str) -> list[str]:
    lines = [line for line in inputs.decoded(body).split("\n") if line.strip()]
    if not 1 <= len(lines) <= MOST_ROUNDS:
        raise invalid(
            [Fault("", "lines", Sentence("1 to {most_rounds} lines, each a round", most_rounds=MOST_ROUNDS))]
        )
    return lines


def put_many(asker: Asker, lines: list[str]) -> AnswerToMany:
    with seat(asker.member.club.id):
        return AnswerToMany(results=list(_answers(asker, lines)))


def _answers(asker: Asker, lines: list[str]) -> Iterator[AnswerToLine]:
    for number, line in enumerate(lines, start=1):
        try:
            with transaction.atomic():
                round_id, posted = _read(line)
                services.put_round(asker.member, round_id, posted)
        except ProblemError as problem:
            yield AnswerToLine(number, None, _refused(problem))
        else:
            saved = answers.visible_rounds(asker.member).filter(id=round_id)
            yield AnswerToLine(number, answers.round_heads(asker, list(saved))[0], None)


def _read(line: str) -> tuple[UUID, RoundInput]:
    try:
        value: Any = orjson.loads(line)
    except orjson.JSONDecodeError as error:
        raise ProblemError("not-json", Sentence("The line is not JSON"), Refusal.UNCLEAR, error.msg) from None
    if not isinstance(value, dict):
        raise invalid(
            [Fault("", "not_a_round", Sentence("a line is an object with a round's fields and its id"))]
        )
    try:
        round_id = UUID(str(value.pop("id", "")))
    except ValueError:
        raise invalid([Fault("/id", "not_an_id", Sentence("a UUID of your own choice"))]) from None
    return round_id, inputs.checked(RoundInput, value)


def _refused(problem: ProblemError) -> RefusedLine:
    faults = [FaultOfLine(one.pointer, one.code, one.detail, one.hole, one.shot) for one in problem.faults]
    return RefusedLine(
        type=f"/problems/{problem.kind}", title=problem.title, detail=problem.detail, errors=faults
    )


OPERATION = Change(
    name="many-rounds",
    id="post_many_rounds",
    path="rounds/many",
    verb="POST",
    summary="Post many rounds, each under an id of your own, one a line",
    description=(
        "Each line is the JSON of a round with an `id` (a UUID that you choose) beside its fields, 200 at most. "
        "Each is saved or refused by itself, and each has its answer; what is saved already is answered as saved, "
        "so the whole may be sent again."
    ),
    accepts={NDJSON: lines_of},
    limit=settings.DATA_UPLOAD_MAX_MEMORY_SIZE,
    sends=(ROUND_POSTED,),
    do=put_many,
    gives=AnswerToMany,
    status=200,
)
