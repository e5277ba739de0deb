"""The clubs of one player: under which name each is kept, and which were ever used."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from uuid import UUID

from golfstats.calc import clubs
from players.rounds.models import BagWord, Shot


@dataclass
class Bag:
    """Asks the database only about clubs that not everybody knows."""

    player_id: UUID
    but_round: UUID | None = None
    """A round that is about to be replaced: its clubs do not count as used."""

    def one_name(self, written: str) -> str:
        name = clubs.one_name(written)
        return name if clubs.is_usual(name) else self.own_words.get(name, name)

    def knows(self, name: str) -> bool:
        return clubs.is_usual(name) or name in self.own_words.values() or name in self.used

    def saw(self, name: str) -> None:
        self.used.add(name)

    @cached_property
    def own_words(self) -> dict[str, str]:
        return dict(BagWord.objects.filter(player_id=self.player_id).values_list("word", "kept_as"))

    @cached_property
    def used(self) -> set[str]:
        shots = Shot.objects.filter(played_hole__round__player_id=self.player_id).exclude(club_used="")
        if self.but_round is not None:
            shots = shots.exclude(played_hole__round_id=self.but_round)
        return set(shots.order_by().values_list("club_used", flat=True).distinct())
