"""How far each club in a player's bag goes."""

from __future__ import annotations

from dataclasses import dataclass

from golfstats.calc.figures.distances import ClubDistance, Gap, bag, gaps
from players.queries.analysed import Golf


@dataclass(frozen=True)
class Distances:
    clubs: list[ClubDistance]
    """Longest first; clubs with too few shots last."""
    gaps: list[Gap]
    names: dict[int, str]
    """Name of the club of each number."""


def distances(golf: Golf) -> Distances:
    names = dict(enumerate(golf.loaded.clubs))
    # A putter is played from the fringe as well, but nobody plans a distance with it.
    clubs = [club for club in bag(golf.analysed) if names[club.club].lower() != "putter"]
    return Distances(clubs, gaps(clubs), names)
