"""From a round to its text in the notation."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

from players.rounds.fields import SHOT_FIELDS, WORD_FIELDS
from players.rounds.input import RoundInput
from players.rounds.notation.forgiving import escaped
from players.rounds.notation.grammar import (
    FLAG_DETAILS,
    FREE_TEXT,
    HEADERS,
    LIE_LETTERS,
    NUMBER_DETAILS,
    PENALTY_LETTERS,
    SAID,
    word_of,
)

_PLAIN_CLUB = re.compile(r"[A-Za-z0-9.+-]+")


def write(posted: Any) -> str:
    """A round in the notation, from the names of :class:`RoundInput`. Reading it again gives the same round."""
    return "\n".join([*_header_lines(posted), *(hole_line(hole) for hole in posted.holes)]) + "\n"


_HEADER_WRITERS: dict[str, Callable[[Any], str]] = {
    "counting": lambda value: "yes" if value else "no",
    "competition": lambda value: "yes" if value else "no",
    "tags": " ".join,
    **dict.fromkeys(FREE_TEXT, escaped),
}


def _header_lines(posted: Any) -> Iterator[str]:
    for name, field in HEADERS.items():
        value = getattr(posted, field)
        if value == RoundInput.model_fields[field].get_default(call_default_factory=True):
            continue
        written = _HEADER_WRITERS.get(field, str)(value)
        yield f"{name}: {written}"


def hole_line(hole: Any) -> str:
    """The line of a hole, from the names of :class:`HoleInput`."""
    words = [str(hole.number), *(_shot_word(shot) for shot in hole.shots)]
    if hole.picked_up:
        words.append("x" if hole.score is None else f"x{hole.score}")
    if hole.putts is not None and hole.score is not None:
        words.append(f"={hole.score}/{hole.putts}")
    elif hole.score is not None and not hole.picked_up:
        words.append(f"={hole.score}")
    for name, fact in (("fw", hole.fairway_hit), ("gir", hole.green_in_regulation)):
        if fact is not None:
            words.append(f"{name}{'+' if fact else '-'}")
    if hole.penalties is not None:
        words.append(f"pen{hole.penalties}")
    return " ".join(words)


def _shot_word(shot: Any) -> str:
    details = ",".join(_details(shot))
    penalty = penalty_of(shot) if shot.penalty_strokes else ""
    return f"{lie_and_distance(shot.lie, shot.distance)}{f'({details})' if details else ''}{penalty}"


def lie_and_distance(lie: str, distance: float) -> str:
    letter = next(letter for letter, word in LIE_LETTERS.items() if word == lie)
    return f"{letter}{_number(distance)}"


def penalty_of(shot: Any, strokes: int | None = None) -> str:
    """The shot's penalty, or one of the same kind with so many strokes."""
    kind = next(letters for letters, kind in PENALTY_LETTERS.items() if kind == shot.penalty_kind)
    return f"+{shot.penalty_strokes if strokes is None else strokes}{kind}"


def _details(shot: Any) -> Iterator[str]:
    if shot.club is not None:
        plain = _PLAIN_CLUB.fullmatch(shot.club) and word_of(shot.club) not in SAID
        yield shot.club if plain else f"club={shot.club}"
    values = {one.name: getattr(shot, one.name) for one in SHOT_FIELDS}
    yield from (values[one.name] for one in WORD_FIELDS if values[one.name] is not None)
    yield from (word for word, (name, value) in FLAG_DETAILS.items() if values[name] is value)
    for key, name in NUMBER_DETAILS.items():
        if values[name] is not None:
            yield f"{key}={_number(values[name])}"
    yield from (f"#{tag}" for tag in shot.tags)


def _number(value: float) -> str:
    return f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")  # the sum turns minus zero into zero
