"""Colours of pictures that are drawn elsewhere: those of the pages' style sheet, for both schemes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum


class Scheme(StrEnum):
    """On what ground a picture stands."""

    LIGHT = "light"
    """On white."""
    DARK = "dark"
    """On a dark page."""


@dataclass(frozen=True)
class Palette:
    """What the style sheet calls its colours. A part of the game has the same hue everywhere (after Okabe and Ito, for
    all eyes: https://jfly.uni-koeln.de/color/), and good and bad are told by place and sign, never by colour.
    """

    sheet: str
    ink: str
    soft: str
    line: str
    edge: str
    accent: str
    care: str
    band: str
    peers: str
    tee: str
    approach: str
    short_game: str
    putting: str

    @property
    def hues(self) -> Mapping[str, str]:
        """By what a mark is coloured by."""
        return {
            "bar": self.accent,
            "level": self.accent,
            "tee": self.tee,
            "approach": self.approach,
            "short_game": self.short_game,
            "putting": self.putting,
        }


PALETTES = {
    Scheme.LIGHT: Palette(
        sheet="#ffffff",
        ink="#22302b",
        soft="#4c5854",
        line="#d9d9d2",
        edge="#7d8783",
        accent="#1d5f7a",
        care="#6b5310",
        band="#c9dde4",
        peers="#e4e4de",
        tee="#0072b2",
        approach="#a8620b",
        short_game="#00785a",
        putting="#a3478a",
    ),
    Scheme.DARK: Palette(
        sheet="#1c2623",
        ink="#e6ebe8",
        soft="#aab6b1",
        line="#35423d",
        edge="#7b8983",
        accent="#8cc6de",
        care="#e5cf8a",
        band="#2c4954",
        peers="#2b3531",
        tee="#56b4e9",
        approach="#e69f00",
        short_game="#35b891",
        putting="#d98fbd",
    ),
}
