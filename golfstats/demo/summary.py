"""What the service makes of the demo club, as plain text."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

import numpy as np

from courses.greens.models import CourseNote
from golfstats.calc.a_round import figure_a_round
from golfstats.calc.figure import Figure
from golfstats.calc.strokes.table import professional_provenance
from golfstats.calc.units import Unit
from golfstats.calc.vocabulary import Part
from golfstats.ground.clubs.models import Club
from players.conditions.models import RoundNote
from players.figures.models import RoundFigures
from players.golf.benchmarks import PEER_WORDS
from players.handicap.models import PlayerHandicap
from players.people.models import Player

COLUMNS = (*Part.words(), "total")
UNOFFICIAL = "Handicap figures are unofficial: only an authorised association issues a Handicap Index."


def lines(club: Club) -> Iterator[str]:
    """The summary, line by line. Expects the club in scope."""
    yield f"{club.name} (everything invented)"
    yield ""
    yield from _players()
    yield ""
    yield from _notes()
    yield ""
    yield "Strokes gained a round of 18 holes over all holes with shots, ± half a 90% interval."
    yield f"{PEER_WORDS} {_provenance()}."
    yield UNOFFICIAL


def _players() -> Iterator[str]:
    heading = "".join(f"{name.replace('_', ' '):>16}" for name in COLUMNS)
    yield f"{'player':<24}{'index':>7}{'rounds':>8}{heading}"
    indexes = {row.player_id: row.index for row in PlayerHandicap.objects.all()}
    covered = RoundFigures.objects.filter(holes_covered__gt=0).select_related("round__player")
    by_player: dict[Player, list[RoundFigures]] = defaultdict(list)
    for figures in covered:
        by_player[figures.round.player].append(figures)
    gained = {player: _gained(rows) for player, rows in by_player.items()}
    for player in sorted(gained, key=lambda player: -(gained[player]["total"].value or 0.0)):
        numbers = "".join(f"{_with_interval(figure):>16}" for figure in gained[player].values())
        yield f"{player.name:<24}{shown(indexes.get(player.id)):>7}{len(by_player[player]):>8}{numbers}"


def _gained(rounds: Sequence[RoundFigures]) -> dict[str, Figure]:
    holes = np.array([row.holes_covered for row in rounds], dtype=np.int64)
    return {
        name: figure_a_round(np.array([getattr(row, name) for row in rounds]), holes, Unit.STROKES)
        for name in COLUMNS
    }


def _with_interval(figure: Figure) -> str:
    if figure.value is None or figure.low is None or figure.high is None:
        return "too few"
    return f"{figure.value:+.2f} ± {(figure.high - figure.low) / 2:.2f}"


def shown(index: object) -> str:
    """A handicap index as it is written: better than scratch with a plus."""
    if index is None:
        return "–"
    text = str(index)
    return f"+{text[1:]}" if text.startswith("-") else text


def _notes() -> Iterator[str]:
    yield "Some of the condition notes, the latest two of each kind:"
    course_notes = CourseNote.objects.select_related("course").order_by("-day")[:2]
    for note in course_notes:
        yield f"  {note.day} {note.course.name}: {note.text}"
    notes = RoundNote.objects.select_related("round__player").order_by("-round__played_on")
    for verdict in (": mostly the greens", ": mostly not the greens", "cannot be told"):
        for round_note in notes.filter(text__contains=verdict)[:2]:
            yield f"  {round_note.round.played_on} {round_note.round.player.name}: {round_note.text}"
    if not course_notes:
        yield "  none"


def _provenance() -> str:
    return professional_provenance().rstrip(".")
