"""Greens as a player finds them, in a line: ``cored 7 days, slow, bumpy 4, firm``.

Players tell speed badly (448 golfers could not rank measured speeds: Dest and others 2010), so a word for it moves
the plan only a little: slow is taken as 8 feet, medium 9.5, fast 11.5, and a reading counts as it is. Bumpiness, from
1 (smooth) to 5, is the eye's; each step is taken as a fifth of full disturbance, because no study ties one to the other
(our choice). Of work and bumpiness the larger disturbance counts. Firmness is kept and changes nothing yet.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

import numpy as np

from golfstats.calc.greens.surface.disturbance import share_left
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.calc.plan.greens import USUAL_GROWTH, USUAL_SPEED_FT, Greens
from golfstats.sentences import Sentence

WORDS_FOR_WORK = {
    "cored": "coring_medium",
    "cored small": "coring_small",
    "cored large": "coring_large",
}
SPEEDS = {"slow": 8.0, "medium": 9.5, "fast": 11.5}
FIRMNESS = ("soft", "firm", "hard")
BUMPY_STEP = 0.2
_WORK = re.compile(r"(.+?) (\d{1,3}) days?(?: ago)?")
_READING = re.compile(r"(?:speed|stimpmeter) (\d{1,2}(?:\.\d)?)")
_BUMPY = re.compile(r"bumpy ([1-5])")


class FoundGreensFault(ValueError):  # noqa: N818 - named like the service's other faults
    """A part of the line that cannot be read."""


@dataclass(frozen=True)
class FoundGreens:
    """What a player says of the greens; ``None`` and "" are not said."""

    work: str = ""
    """A kind of green work."""
    days: int | None = None
    """Since it was done."""
    speed_ft: float | None = None
    bumpiness: int | None = None
    """1 smooth … 5 very bumpy."""
    firmness: str = ""

    @property
    def disturbance(self) -> float:
        """0 undisturbed … 1 just cored."""
        by_eye = BUMPY_STEP * ((self.bumpiness or 1) - 1)
        if not self.work:
            return by_eye
        kind = work_types()[self.work]
        left = float(share_left(np.array(float(self.days or 0)), kind.recovery_days))
        return max(by_eye, kind.severity * left)

    def greens(
        self,
        direction_sd: float,
        distance_sd: float,
        known_disturbance: float = 0.0,
        growth: tuple[float, float] = USUAL_GROWTH,
        own: tuple[tuple[float, ...], ...] = (),
    ) -> Greens:
        """The greens to plan for; ``known_disturbance`` is what the club's own calendar says of the day."""
        return Greens(
            direction_sd,
            distance_sd,
            disturbance=max(self.disturbance, known_disturbance),
            speed_ft=self.speed_ft or USUAL_SPEED_FT,
            growth=growth,
            own=own,
        )


def read_found(text: str) -> FoundGreens:
    """The line as values; :class:`FoundGreensFault` says what was not understood."""
    greens = FoundGreens()
    for part in (" ".join(part.lower().split()) for part in text.split(",")):
        if part:
            greens = _with(greens, part)
    return greens


def _with(greens: FoundGreens, part: str) -> FoundGreens:
    if part in SPEEDS:
        return replace(greens, speed_ft=SPEEDS[part])
    if part in FIRMNESS:
        return replace(greens, firmness=part)
    if match := _BUMPY.fullmatch(part):
        return replace(greens, bumpiness=int(match[1]))
    if (match := _READING.fullmatch(part)) and 3.0 <= float(match[1]) <= 16.0:
        return replace(greens, speed_ft=float(match[1]))
    if (match := _WORK.fullmatch(part)) and (kind := _kind(match[1])):
        return replace(greens, work=kind, days=int(match[2]))
    raise FoundGreensFault(
        Sentence(
            "“{part}” is not understood; for example: cored 7 days, slow, bumpy 4 (slow, medium, fast or speed 9.5; "
            "bumpy 1 to 5; soft, firm, hard)",
            part=part,
        )
    )


def _kind(words: str) -> str | None:
    if words in WORDS_FOR_WORK:
        return WORDS_FOR_WORK[words]
    kind = words.replace(" ", "_")
    return kind if kind in work_types() else None
