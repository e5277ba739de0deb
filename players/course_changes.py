"""What has to be computed again when a course or a day's playing conditions turn out other than thought.

Courses know nothing of rounds: they ask for this work, and here is how it is done.
"""

from __future__ import annotations

from datetime import date
from uuid import UUID

from courses.services.days import CONDITIONS_CHANGED
from courses.services.layout import COURSE_CHANGED
from golfstats.outbox import work
from players import analysis, posting
from players.models import Round

ROUNDS_AT_ONCE = 250
"""Bounds the memory of a course with many years of rounds."""


@work.handler(COURSE_CHANGED)
def course_changed(course: str) -> None:
    """Analyse every round of the course again, and the records of those who played it."""
    rounds = Round.objects.filter(tee_set__course_id=UUID(course)).order_by("played_on", "id")
    played = list(rounds.values_list("id", "player_id"))
    for start in range(0, len(played), ROUNDS_AT_ONCE):
        analysis.analyse_rounds([round_id for round_id, _ in played[start : start + ROUNDS_AT_ONCE]])
    for player_id in sorted({player_id for _, player_id in played}):
        work.ask(posting.HANDICAP, str(player_id))
        work.ask(posting.PLAYER_REPORT, str(player_id))


@work.handler(CONDITIONS_CHANGED)
def conditions_changed(key: str) -> None:
    """Compute the records again of those who played the course that day: later differentials rest on it."""
    course, day = key.split(":")
    rounds = Round.objects.filter(tee_set__course_id=UUID(course), played_on=date.fromisoformat(day))
    for player_id in sorted(set(rounds.values_list("player_id", flat=True))):
        work.ask(posting.HANDICAP, str(player_id))
