"""A player's golf over a window at a glance: strokes gained by part, scoring, and one line a round."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from uuid import UUID

import numpy as np

from golfstats.calc.figures import gained, scoring
from golfstats.calc.strokes.parts import totals_by_round
from golfstats.calc.vocabulary import UNKNOWN, Part
from players.queries.analysed import Golf
from players.queries.figures import NamedFigure, family


@dataclass(frozen=True)
class RoundLine:
    round_id: UUID
    played_on: date
    course: str
    score: int
    to_par: int | None
    """None where the par of a hole is not known for the player's rating."""
    holes_played: int
    holes_covered: int
    """Holes with every shot recorded: the ones that the strokes gained cover."""
    total: float | None
    parts: dict[str, float] | None


@dataclass(frozen=True)
class Summary:
    gained: list[NamedFigure]
    """In all, then by part."""
    scoring: list[NamedFigure]
    rounds: list[RoundLine]
    """Newest first."""


def summary(golf: Golf) -> Summary:
    return Summary(family(golf, gained.SPECS), family(golf, scoring.SPECS), round_lines(golf))


def round_lines(golf: Golf) -> list[RoundLine]:
    record = golf.analysed.record
    holes, rounds = record.holes, len(record.rounds)
    totals = totals_by_round(record, golf.analysed.strokes_gained, golf.analysed.part)
    played = np.bincount(holes.round, minlength=rounds)
    score = np.bincount(holes.round, weights=holes.score, minlength=rounds)
    par = np.bincount(holes.round, weights=holes.par, minlength=rounds)
    par_known = np.bincount(holes.round[holes.par == UNKNOWN], minlength=rounds) == 0
    lines = []
    for row in reversed(range(rounds)):
        covered = int(totals.holes[row])
        lines.append(
            RoundLine(
                round_id=golf.loaded.round_ids[row],
                played_on=golf.played_on(row),
                course=golf.course_name(row),
                score=int(score[row]),
                to_par=int(score[row] - par[row]) if par_known[row] else None,
                holes_played=int(played[row]),
                holes_covered=covered,
                total=float(totals.total[row]) if covered else None,
                parts={part.word: float(totals.gained[row, part]) for part in Part} if covered else None,
            )
        )
    return lines
