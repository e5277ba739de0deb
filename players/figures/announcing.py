"""What programs are told of a round that has been analysed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from uuid import UUID

from golfstats.ground.events import Event, Happening, Hearers
from players.figures.models import RoundFigures
from players.people.announcing import hearers_of
from players.rounds.announcing import RoundMessage, round_in_message


@dataclass(frozen=True)
class RoundAnalysedMessage(RoundMessage):
    """A round with its score and its strokes gained."""

    score: int | None
    """Null where holes are missing."""
    holes_played: int
    benchmark: str
    """Whom it was measured by."""
    strokes_gained: float | None
    """Over the holes with every shot recorded; null where there is none."""


def _figures(row: RoundFigures) -> RoundAnalysedMessage:
    return RoundAnalysedMessage(
        **vars(round_in_message(row.round)),
        score=row.score,
        holes_played=row.holes_played,
        benchmark=row.benchmark,
        strokes_gained=row.total,
    )


def _hearers(row: RoundFigures) -> Hearers:
    return hearers_of(row.round.player)


ROUND_ANALYSED = Event(
    Happening.ROUND_ANALYSED,
    of=RoundFigures,
    message=RoundAnalysedMessage,
    says=_figures,
    hearers=_hearers,
    own=True,
)


def rounds_analysed(round_ids: Iterable[UUID]) -> None:
    """Announce rounds whose figures have just been stored. One query where nobody wants to know."""
    ROUND_ANALYSED.send(_figures_of(round_ids))


def _figures_of(round_ids: Iterable[UUID]) -> Iterator[RoundFigures]:
    figures = RoundFigures.objects.filter(round__in=list(round_ids)).select_related(
        "round__player", "round__tee_set__course"
    )
    yield from figures.order_by("round__played_on", "round_id")
