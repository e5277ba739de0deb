"""Groups of shots that priorities are told of: parts of the game, and bands of distances within them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.calc.coaching.priorities import Priority
from golfstats.calc.figures.approach import Band
from golfstats.calc.figures.approach import bands as bands_between
from golfstats.calc.record import Ints
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Part
from players.golf.analysed import Golf

PUTT_BANDS_FT = bands_between((0, 3, 6, 10, 20, 30))

_WORDS = {
    Part.TEE: noop("tee shots"),
    Part.APPROACH: noop("approaches"),
    Part.SHORT_GAME: noop("short game"),
    Part.PUTTING: noop("putts"),
}
_FROM_A_BAND = {
    Part.APPROACH: noop("approaches from {band} yards"),
    Part.SHORT_GAME: noop("short game from {band} yards"),
    Part.PUTTING: noop("putts from {band} feet"),
}


@dataclass(frozen=True)
class GroupOfShots:
    """A part of the game (``band`` is None), or a distance band of it in ``unit``."""

    part: Part
    band: Band | None
    unit: Literal["yd", "ft"]

    @property
    def key(self) -> str:
        """``approach``, ``approach.75-100``."""
        return self.part.word if self.band is None else f"{self.part.word}.{self.band.word}"

    @property
    def words(self) -> str:
        """``approaches from 75–100 yards``."""
        if self.band is None:
            return gettext(_WORDS[self.part])
        return gettext(_FROM_A_BAND[self.part]).format(band=self.band.word.replace("-", "–"))


def bands_of(golf: Golf) -> list[Band]:
    """From the hole outwards: two near bands, then the club's own approach bands, so that none is lost."""
    edges = [band.low for band in golf.bands]
    near = [edge for edge in (0.0, 20.0, 50.0) if edge < edges[0]]
    return bands_between([*near, *edges])


def band_numbers(golf: Golf, bands: list[Band]) -> Ints:
    """Distance band of each shot: putts by feet, other shots by yards, tee shots none."""
    shots, part = golf.analysed.record.shots, golf.analysed.part
    yards = np.searchsorted([band.low for band in bands], shots.distance, side="right") - 1
    feet = (
        np.searchsorted([band.low for band in PUTT_BANDS_FT], FEET_PER_YARD * shots.distance, side="right")
        - 1
    )
    numbers: Ints = np.where(part == Part.PUTTING, feet, np.where(part == Part.TEE, -1, yards))
    return numbers


def group_of(priority: Priority, bands: list[Band]) -> GroupOfShots:
    part = Part(priority.part)
    if part == Part.PUTTING:
        band = None if priority.band is None else PUTT_BANDS_FT[priority.band]
        return GroupOfShots(part, band, "ft")
    return GroupOfShots(part, None if priority.band is None else bands[priority.band], "yd")
