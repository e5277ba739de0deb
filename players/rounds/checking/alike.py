"""Which rounds of a player's day are one and the same."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, time
from uuid import UUID

from players.rounds.checking.cards import Card
from players.rounds.models import PlayedHole, Round


@dataclass(frozen=True)
class OfDay:
    """What tells one round of a player's day from another."""

    id: UUID
    tee_set: UUID
    started: time | None
    scores: dict[int, int | None]
    """By hole; None where only the service could tell, a ball picked up."""

    def is_same(self, other: OfDay) -> bool:
        """A player begins one round a minute; without the time, tee and scores have to tell."""
        if self.started is not None and other.started is not None:
            return self.started == other.started
        return (
            self.tee_set == other.tee_set
            and self.scores.keys() == other.scores.keys()
            and all(
                None in (score, other.scores[hole]) or score == other.scores[hole]
                for hole, score in self.scores.items()
            )
        )


Days = dict[tuple[UUID, date], list[OfDay]]
"""By player and day."""


def of_day(card: Card) -> OfDay:
    """Of a settled card."""
    scores = {
        played.hole.number: None if played.reported is None and played.hole.picked_up else played.hole.score
        for played in card.holes
    }
    return OfDay(card.round.id, card.round.tee_set_id, card.round.start_time, scores)


def days_of(cards: Iterable[Card]) -> Days:
    """The stored rounds on the days of these cards, but the cards' own: two queries at most."""
    rounds = [card.round for card in cards]
    there = _rounds_there({one.player_id for one in rounds}, [one.played_on for one in rounds])
    own = {one.id for one in rounds}
    return {day: [one for one in rounds if one.id not in own] for day, rounds in there.items()}


def like(card: Card) -> set[UUID]:
    """The stored rounds of its player's day that are the same as this card."""
    own = of_day(card)
    same_day = days_of([card]).get((card.round.player_id, card.round.played_on), [])
    return {one.id for one in same_day if own.is_same(one)}


def _rounds_there(players: set[UUID], days: Sequence[date]) -> Days:
    """The stored rounds of these players between the first and the last of these days."""
    if not days:
        return {}
    stored = Round.objects.filter(player__in=players, played_on__range=(min(days), max(days)))
    rows = list(stored.order_by("id").values_list("id", "player_id", "played_on", "tee_set_id", "start_time"))
    if not rows:
        return {}
    scores: dict[UUID, dict[int, int | None]] = {}
    holes = PlayedHole.objects.filter(round_id__any_of=[round_id for round_id, *_ in rows])
    for round_id, number, score in holes.values_list("round_id", "number", "score"):
        scores.setdefault(round_id, {})[number] = score
    cards: Days = {}
    for round_id, player, day, tee_set, started in rows:
        one = OfDay(round_id, tee_set, started, scores.get(round_id, {}))
        cards.setdefault((player, day), []).append(one)
    return cards
