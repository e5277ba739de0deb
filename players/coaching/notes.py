"""Practice notes: what was worked on, and the figure before and after. The only code that writes them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from django.db import transaction
from django.db.models import QuerySet

from golfstats.api.problems import Fault, invalid
from golfstats.calc.figure import Figure
from golfstats.calc.figures.catalogue import UnknownFigureError
from golfstats.calc.observations import FigureSpec
from golfstats.clubs.models import Member
from players import permissions
from players.coaching.comparison import Pair, pair
from players.coaching.history import observed
from players.models import Player, PracticeNote
from players.queries.analysed import Golf
from players.queries.figures import spec_of

ROUNDS_EACH_SIDE = 10
"""A note's figure is taken over so many rounds before the practice and so many from that day on."""


@dataclass(frozen=True)
class NewNote:
    practised_on: date
    text: str
    figure: str = ""


@dataclass(frozen=True)
class BeforeAndAfter:
    spec: FigureSpec
    before: Figure
    after: Figure
    pair: Pair


@dataclass(frozen=True)
class NoteWithFigure:
    note: PracticeNote
    figure: BeforeAndAfter | None
    """None for a note about no figure."""


def visible_notes(member: Member) -> QuerySet[PracticeNote]:
    """Notes on the players this member may read, the latest practice first: player and coach see the same."""
    players = permissions.visible_players(member).values("id")
    found = PracticeNote.objects.filter(player__in=players)
    return found.select_related("player", "written_by").order_by("-practised_on", "-id")


@transaction.atomic
def write_note(member: Member, player: Player, golf: Golf, new: NewNote) -> PracticeNote:
    """A 422 problem if there is no such figure."""
    if new.figure:
        try:
            spec_of(golf, new.figure)
        except UnknownFigureError as error:
            raise invalid([Fault("/figure", "unknown_figure", str(error))]) from None
    return PracticeNote.objects.create(
        player=player,
        written_by=member,
        practised_on=new.practised_on,
        text=new.text,
        figure=new.figure,
    )


def delete_note(member: Member, note: PracticeNote) -> bool:
    """Take a note back; only its writer may. False if this member is not."""
    if note.written_by_id != member.id:
        return False
    note.delete()
    return True


def with_figures(golf: Golf, notes: Sequence[PracticeNote]) -> list[NoteWithFigure]:
    """Each note with its figure before and after; ``golf`` holds all rounds of the notes' players."""
    return [NoteWithFigure(note, _before_and_after(golf, note) if note.figure else None) for note in notes]


def _before_and_after(golf: Golf, note: PracticeNote) -> BeforeAndAfter:
    figure = observed(golf, note.player_id, note.figure)
    spec, found = figure.spec, figure.observations
    rounds = np.unique(found.round)  # in order of play
    practised = golf.analysed.record.rounds.day[rounds] >= note.practised_on.toordinal()
    earlier, later = rounds[~practised][-ROUNDS_EACH_SIDE:], rounds[practised][:ROUNDS_EACH_SIDE]
    before, after = (spec.figure(found.select(np.isin(found.round, rows))) for rows in (earlier, later))
    return BeforeAndAfter(spec, before, after, pair(spec, ("after", after), ("before", before)))
