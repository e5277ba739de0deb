"""A player's golf over a window at a glance: strokes gained by part, scoring, and one line a round."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

import numpy as np
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.calc.figures import gained, scoring
from golfstats.calc.strokes.parts import totals_by_round
from golfstats.calc.vocabulary import UNKNOWN
from golfstats.ground.answers import up_to
from golfstats.ground.operations import Asker
from golfstats.ground.words import a_golfer, spoken
from players.figures.named import family
from players.golf.analysed import Golf
from players.golf.answers import AboutPlayer, NamedFigure, Teller, about
from players.golf.one_player import golf_of_each
from players.golf.questions import WindowQuery
from players.golf.words import ends, strokes_words
from players.people.models import Player

_PARTS = {
    "gained.tee": noop("off the tee"),
    "gained.approach": noop("on approach"),
    "gained.short_game": noop("in the short game"),
    "gained.putting": noop("putting"),
}


@dataclass(frozen=True)
class GainedByPart:
    """Strokes gained a round, in all and by part of the game; ``n`` counts holes with every shot recorded."""

    total: NamedFigure
    """In all."""
    tee: NamedFigure
    """Tee shots of par 4 and 5."""
    approach: NamedFigure
    """Approaches."""
    short_game: NamedFigure
    """Short game."""
    putting: NamedFigure
    """Putting."""


@dataclass(frozen=True)
class GainedInRound:
    """Strokes gained in one round, in all and by part of the game."""

    total: float
    """Strokes, in all."""
    tee: float
    """Strokes, tee shots of par 4 and 5."""
    approach: float
    """Strokes, approaches."""
    short_game: float
    """Strokes, short game."""
    putting: float
    """Strokes, putting."""


@dataclass(frozen=True)
class RoundLine:
    """One round in a line."""

    round: UUID
    played_on: dt.date
    course: str
    score: int
    """Strokes and penalty strokes over the holes played."""
    to_par: int | None
    """Null where the par of a hole is not known for the player's rating."""
    holes_played: int
    holes_covered: int
    """Holes with every shot recorded: the ones that the strokes gained cover."""
    holes_picked_up: int
    """Holes that were not finished: their score, and the end of what they gained, is the most likely one."""
    strokes_gained: GainedInRound | None


@dataclass(frozen=True, kw_only=True)
class PlayerSummary(AboutPlayer):
    """A player's golf over a window."""

    words: str
    """Where most strokes are gained and lost, in a sentence."""
    strokes_gained: GainedByPart
    scoring: list[NamedFigure] = up_to(20)
    """Figures that a scorecard gives."""
    rounds: list[RoundLine] = up_to(20)
    """Newest first."""


def summary(asker: Asker, players: Sequence[Player], query: WindowQuery) -> list[PlayerSummary]:
    unit = query.shown_unit(asker)
    return [
        summary_of(player, golf, Teller(player.id, query, unit))
        for player, golf in zip(players, golf_of_each(asker, players, query), strict=True)
    ]


def summary_of(player: Player, golf: Golf, tell: Teller) -> PlayerSummary:
    """The summary of golf that is loaded already."""
    gains = [tell.named(one.spec, one.figure) for one in family(golf, gained.SPECS)]
    return PlayerSummary(
        **vars(about(player, golf)),
        words=_words(gains, spoken(golf.benchmark.name)),
        strokes_gained=GainedByPart(*gains),
        scoring=[tell.named(one.spec, one.figure) for one in family(golf, scoring.SPECS)],
        rounds=_lines(golf),
    )


def _words(gains: Sequence[NamedFigure], benchmark: str) -> str:
    total, *parts = gains
    known = [part for part in parts if part.value is not None]
    if total.value is None or not known:
        return gettext("Too few holes with every shot recorded to say where strokes are gained and lost.")
    best, worst = (pick(known, key=lambda part: part.value or 0.0) for pick in (max, min))
    won, lost = (best.value or 0.0) > 0, (worst.value or 0.0) < 0
    first = gettext("most gained {part}, {gain}") if won else gettext("least lost {part}, {gain}")
    last = gettext("most lost {part}, {gain}") if lost else gettext("least gained {part}, {gain}")
    return gettext(
        "{gain} strokes a round ({low} to {high}), {sample}, against {golfer}: {first}; {last}."
    ).format(
        gain=_gain(total),
        low=_gain(total, total.low),
        high=_gain(total, total.high),
        sample=total.words.partition("), ")[2],
        golfer=a_golfer(benchmark),
        first=first.format(part=_part_words(best), gain=_gain_between(best)),
        last=last.format(part=_part_words(worst), gain=_gain_between(worst)),
    )


def _part_words(part: NamedFigure) -> str:
    """``with the tee shot``: what the gain of the part is called, within a sentence."""
    return gettext(_PARTS[part.key])


def _gain(figure: NamedFigure, end: float | None = None) -> str:
    """The figure, or an end of its interval."""
    return strokes_words((figure.value if end is None else end) or 0.0, within=ends(figure))


def _gain_between(figure: NamedFigure) -> str:
    """``+0.55 (+0.02 to +1.08)``."""
    return gettext("{value} ({low} to {high})").format(
        value=_gain(figure), low=_gain(figure, figure.low), high=_gain(figure, figure.high)
    )


def _lines(golf: Golf) -> list[RoundLine]:
    record = golf.analysed.record
    holes, rounds = record.holes, len(record.rounds)
    totals = totals_by_round(record, golf.analysed.strokes_gained, golf.analysed.part)
    played = np.bincount(holes.round, minlength=rounds)
    score = np.bincount(holes.round, weights=holes.score, minlength=rounds)
    par = np.bincount(holes.round, weights=holes.par, minlength=rounds)
    picked_up = np.bincount(holes.round[holes.picked_up], minlength=rounds)
    par_known = np.bincount(holes.round[holes.par == UNKNOWN], minlength=rounds) == 0
    lines = []
    for row in reversed(range(rounds)):
        covered = int(totals.holes[row])
        gains = [float(totals.total[row]), *map(float, totals.gained[row])]
        lines.append(
            RoundLine(
                round=golf.loaded.round_ids[row],
                played_on=golf.played_on(row),
                course=golf.course_name(row),
                score=int(score[row]),
                to_par=int(score[row] - par[row]) if par_known[row] else None,
                holes_played=int(played[row]),
                holes_covered=covered,
                holes_picked_up=int(picked_up[row]),
                strokes_gained=GainedInRound(*gains) if covered else None,
            )
        )
    return lines
