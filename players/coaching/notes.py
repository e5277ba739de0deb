"""Practice notes: what was worked on, and the figure before and after. The only code that writes them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

import numpy as np
from django.db.models import QuerySet
from django.utils.translation import gettext

from golfstats.ground.clubs.models import Member
from golfstats.ground.events import tells
from golfstats.ground.faults import Fault, ProblemError, Refusal, invalid
from golfstats.ground.operations import Asker
from golfstats.sentences import Sentence
from players.coaching import models
from players.coaching.announcing import NOTE_DELETED, NOTE_WRITTEN
from players.coaching.comparison import Pair, pair
from players.coaching.history import History, histories, known_spec, observed
from players.coaching.questions import NoteBody
from players.golf.answers import Figure, FigureName, figure_name, figure_of
from players.people import permissions
from players.people.answers import Named
from players.people.models import Player

ROUNDS_EACH_SIDE = 10
"""A note's figure is taken over so many rounds before the practice and so many from that day on."""


@dataclass(frozen=True, kw_only=True)
class NoteFigure(FigureName):
    """What was practised, before and after."""

    before: Figure
    """Over the last ten rounds before the practice."""
    after: Figure
    """Over the first ten rounds from its day on."""
    comparison: Pair
    """The two periods against each other."""


@dataclass(frozen=True)
class PracticeNote:
    """What coach and player worked on; both see it."""

    id: UUID
    player: Named
    written_by: str | None
    written_at: datetime
    practised_on: date
    """Day of the practice."""
    text: str
    """What was practised."""
    figure: NoteFigure | None
    """Null for a note about no figure."""


def visible_notes(member: Member) -> QuerySet[models.PracticeNote]:
    """Notes on the players this member may read: player and coach see the same."""
    return all_notes().filter(player__in=permissions.visible_players(member).values("id"))


def all_notes() -> QuerySet[models.PracticeNote]:
    """On all players."""
    return models.PracticeNote.objects.select_related("player", "written_by")


@tells(NOTE_WRITTEN)
def write_note(
    member: Member, player: Player, golf: History, given: NoteBody, today: date
) -> models.PracticeNote:
    """Refused for practice still to come and for an unknown figure."""
    if given.practised_on > today:
        raise invalid([Fault("/practised_on", "in_the_future", Sentence("today is {today}", today=today))])
    if given.figure:
        known_spec(golf, given.figure, "/figure")
    return models.PracticeNote.objects.create(player=player, written_by=member, **given.model_dump())


@tells(NOTE_DELETED)
def delete_note(member: Member, note: models.PracticeNote) -> None:
    """Take a note back; only its writer may."""
    if note.written_by_id != member.id:
        raise ProblemError("not-allowed", Sentence("Only its writer may delete a note"), Refusal.NOT_ALLOWED)
    note.delete()


def note_answers(asker: Asker, notes: Sequence[models.PracticeNote]) -> list[PracticeNote]:
    """Each note with its figure before and after; the rounds of all their players are read at once."""
    players = list({note.player_id: note.player for note in notes if note.figure}.values())
    golf = dict(zip((one.id for one in players), histories(asker, players) if players else (), strict=True))
    return [
        PracticeNote(
            note.id,
            Named(note.player_id, note.player.name),
            note.written_by and note.written_by.name,
            note.written_at,
            note.practised_on,
            note.text,
            _before_and_after(golf[note.player_id], note, asker.distance_unit) if note.figure else None,
        )
        for note in notes
    ]


def _before_and_after(golf: History, note: models.PracticeNote, unit: str) -> NoteFigure:
    figure = observed(golf, note.player_id, note.figure)
    spec, observations = figure.spec, figure.observations
    rounds = np.unique(observations.round)  # in order of play
    practised = golf.analysed.record.rounds.day[rounds] >= note.practised_on.toordinal()
    earlier, later = rounds[~practised][-ROUNDS_EACH_SIDE:], rounds[practised][:ROUNDS_EACH_SIDE]
    before, after = (
        figure.figure(observations.select(np.isin(observations.round, rows))) for rows in (earlier, later)
    )
    return NoteFigure(
        **vars(figure_name(spec, unit)),
        before=figure_of(spec, before, unit),
        after=figure_of(spec, after, unit),
        comparison=pair(spec, (gettext("after"), after), (gettext("before"), before), unit),
    )
