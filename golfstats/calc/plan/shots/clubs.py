"""How far each club goes as a share of the drive, and which clubs to plan with."""

from __future__ import annotations

from collections.abc import Iterable

from golfstats.calc.clubs import one_name

SHARES = {
    "driver": 1.00,
    "2-wood": 0.95,
    "3-wood": 0.92,
    "4-wood": 0.89,
    "5-wood": 0.86,
    "7-wood": 0.81,
    "9-wood": 0.76,
    "2-hybrid": 0.87,
    "3-hybrid": 0.84,
    "4-hybrid": 0.80,
    "5-hybrid": 0.755,
    "6-hybrid": 0.705,
    "2-iron": 0.87,
    "3-iron": 0.83,
    "4-iron": 0.785,
    "5-iron": 0.74,
    "6-iron": 0.69,
    "7-iron": 0.64,
    "8-iron": 0.59,
    "9-iron": 0.54,
    "pitching-wedge": 0.49,
    "gap-wedge": 0.44,
    "sand-wedge": 0.38,
    "lob-wedge": 0.32,
}
"""Longest first within a kind (common practice, no source)."""
USUAL_CLUBS = (
    "driver", "3-wood", "5-wood", "4-hybrid", "5-iron", "6-iron", "7-iron", "8-iron", "9-iron",
    "pitching-wedge", "gap-wedge", "sand-wedge", "lob-wedge",
)  # fmt: skip
FEWEST_CLUBS = 6
"""With fewer of them named, a bag is not the player's whole bag: the usual clubs fill it."""


def club_word(name: str) -> str | None:
    """The usual name of a club that a plan knows the length of; ``None`` for any other (a putter among them)."""
    word = one_name(name)
    return word if word in SHARES else None


def known_clubs(names: Iterable[str]) -> dict[str, str]:
    """The usual name of each of a player's clubs that we know."""
    words = {name: club_word(name) for name in names}
    return {name: word for name, word in words.items() if word is not None}


def clubs_in_bag(names: Iterable[str]) -> tuple[str, ...]:
    """The clubs to plan with, longest first: the player's own, filled up with usual ones if those are few."""
    own = {name for name in names if name in SHARES}
    clubs = own | {"driver"} if len(own) >= FEWEST_CLUBS else own | set(USUAL_CLUBS)
    return tuple(sorted(clubs, key=lambda name: (-SHARES[name], name)))
