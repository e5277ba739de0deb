"""What the service makes of the demo club, as plain text."""

from __future__ import annotations

from collections.abc import Iterator

from django.db.models import Avg, Count

from courses.models import CourseNote
from golfstats.calc.strokes.table import professional_provenance
from golfstats.calc.vocabulary import Part
from golfstats.clubs.models import Club
from players.models import PlayerHandicap, RoundFigures, RoundNote

UNOFFICIAL = "Handicap figures are unofficial: only an authorised association issues a Handicap Index."


def lines(club: Club) -> Iterator[str]:
    """The summary, line by line. Expects the club in scope."""
    yield f"{club.name} (everything invented)"
    yield ""
    yield from _players()
    yield ""
    yield from _notes()
    yield ""
    yield f"Strokes gained a round over all rounds with shots, against the professional table ({_provenance()})."
    yield UNOFFICIAL


def _players() -> Iterator[str]:
    parts = Part.words()
    heading = "".join(f"{part.replace('_', ' '):>12}" for part in [*parts, "total"])
    yield f"{'player':<24}{'index':>7}{'rounds':>8}{heading}"
    indexes = {row.player_id: row.index for row in PlayerHandicap.objects.all()}
    averages = (
        RoundFigures.objects.filter(holes_covered=18)
        .values("round__player_id", "round__player__name")
        .annotate(rounds=Count("id"), **{f"mean_{name}": Avg(name) for name in [*parts, "total"]})
        .order_by("-mean_total")
    )
    for row in averages:
        numbers = "".join(f"{row[f'mean_{name}']:>+12.2f}" for name in [*parts, "total"])
        index = shown(indexes.get(row["round__player_id"]))
        yield f"{row['round__player__name']:<24}{index:>7}{row['rounds']:>8}{numbers}"


def shown(index: object) -> str:
    """A handicap index as it is written: better than scratch with a plus."""
    if index is None:
        return "–"
    text = str(index)
    return f"+{text[1:]}" if text.startswith("-") else text


def _notes() -> Iterator[str]:
    yield "Condition notes so far, the latest first:"
    course_notes = CourseNote.objects.select_related("course").order_by("-day")[:3]
    for note in course_notes:
        yield f"  {note.day} {note.course.name}: {note.text}"
    round_notes = RoundNote.objects.select_related("round__player").order_by("-round__played_on")[:5]
    for round_note in round_notes:
        yield f"  {round_note.round.played_on} {round_note.round.player.name}: {round_note.text}"
    if not course_notes and not round_notes:
        yield "  none"


def _provenance() -> str:
    return professional_provenance().rstrip(".")
