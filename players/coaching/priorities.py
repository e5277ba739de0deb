"""What a player should work on, and what it would be worth: strokes to gain, score and handicap index."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from golfstats.calc.coaching.priorities import (
    Effect,
    JudgedShots,
    Priority,
    band_priorities,
    effect_of_closing,
    part_priorities,
)
from golfstats.calc.figures.approach import Band
from golfstats.calc.figures.approach import bands as bands_between
from golfstats.calc.figures.windows import last_rounds
from golfstats.calc.record import Ints
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Part
from players.coaching.index_replay import IndexOf
from players.queries.analysed import Golf

USUAL_ROUNDS = 40
"""Priorities are about the last so many rounds: enough to be certain, recent enough to be true."""
USUAL_SHARE = 0.5
USUAL_EFFECTS = 1
REPLAYS = 20
SEED = 6

PUTT_BANDS_FT = bands_between((0, 3, 6, 10, 20, 30))

_WORDS = {
    Part.TEE: "tee shots",
    Part.APPROACH: "approaches",
    Part.SHORT_GAME: "short game",
    Part.PUTTING: "putts",
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
            return _WORDS[self.part]
        length = "feet" if self.unit == "ft" else "yards"
        return f"{_WORDS[self.part]} from {self.band.word.replace('-', '–')} {length}"


@dataclass(frozen=True)
class RankedGroup:
    group: GroupOfShots
    rank: int | None
    """1 is the first to work on; None with too few shots."""
    priority: Priority
    effect: Effect | None
    """What closing the stated share would do; only for the first few."""
    words: str


@dataclass(frozen=True)
class PlayerPriorities:
    benchmark: str
    share: float
    rounds: int
    parts: list[RankedGroup]
    bands: list[RankedGroup]


def priorities(
    golf: Golf,
    index_of: IndexOf,
    *,
    share: float = USUAL_SHARE,
    rounds: int = USUAL_ROUNDS,
    effects: int = USUAL_EFFECTS,
) -> PlayerPriorities:
    """Priorities of the one player of ``golf`` over his last rounds, against the golf's benchmark.

    ``golf`` has to hold all his rounds, as the handicap index rests on them. ``effects`` says for how many
    of the first parts, and of the first bands, the effect of closing ``share`` of the gap is worked out; the replays
    have a fixed seed, so that an answer can be had again.
    """
    bands = _bands(golf)
    shots = judged_shots(golf, bands, rounds)
    worth = _Worth(shots, golf, index_of, share, effects)
    return PlayerPriorities(
        benchmark=golf.benchmark.name,
        share=share,
        rounds=int(np.sum(shots.holes_recorded > 0)),
        parts=worth.ranked(part_priorities(shots), bands),
        bands=worth.ranked(band_priorities(shots), bands),
    )


@dataclass(frozen=True, eq=False)
class _Worth:
    shots: JudgedShots
    golf: Golf
    index_of: IndexOf
    share: float
    effects: int

    def ranked(self, found: list[Priority], bands: list[Band]) -> list[RankedGroup]:
        return [self._group(place, priority, bands) for place, priority in enumerate(found, start=1)]

    def _group(self, place: int, priority: Priority, bands: list[Band]) -> RankedGroup:
        group = _group_of(priority, bands)
        enough = priority.sure is not None
        worth_it = enough and place <= self.effects and (priority.to_gain.value or 0) > 0
        effect = self._effect(priority) if worth_it else None
        return RankedGroup(
            group, place if enough else None, priority, effect, self._words(group, priority, effect)
        )

    def _effect(self, priority: Priority) -> Effect:
        return effect_of_closing(
            self.shots,
            priority,
            self.golf.analysed.record.holes.score,
            self.index_of,
            np.random.default_rng(SEED),
            self.share,
            REPLAYS,
        )

    def _words(self, group: GroupOfShots, priority: Priority, effect: Effect | None) -> str:
        name = f"a {self.golf.benchmark.name.lower()}"
        if effect is not None:
            return effect.words(group.words, name, self.share)
        if priority.to_gain.value is None:
            return f"{group.words}: too few shots"
        if priority.to_gain.value <= 0:
            return f"{group.words}: nothing to gain on {name}"
        return f"{group.words}: {priority.to_gain.value:.1f} strokes a round behind {name}"


def judged_shots(golf: Golf, bands: list[Band], rounds: int) -> JudgedShots:
    """The shots of the last ``rounds`` rounds with their strokes gained, part and band; others count nowhere."""
    record = golf.analysed.record
    recent = last_rounds(record.rounds, rounds)
    complete = record.holes.complete & recent[record.holes.round]
    return JudgedShots(
        strokes_gained=np.where(recent[record.shots.round], golf.analysed.strokes_gained, np.nan),
        part=golf.analysed.part,
        band=_band_numbers(golf, bands),
        round=record.shots.round,
        hole=record.shots.hole,
        holes_recorded=np.bincount(record.holes.round, weights=complete, minlength=len(record.rounds)).astype(
            np.float64
        ),
    )


def _bands(golf: Golf) -> list[Band]:
    """From the hole outwards: two near bands, then the club's own approach bands, so that none is lost."""
    edges = [band.low for band in golf.bands]
    near = [edge for edge in (0.0, 20.0, 50.0) if edge < edges[0]]
    return bands_between([*near, *edges])


def _band_numbers(golf: Golf, bands: list[Band]) -> Ints:
    """Distance band of each shot: putts by feet, other shots by yards, tee shots none."""
    shots, part = golf.analysed.record.shots, golf.analysed.part
    yards = np.searchsorted([band.low for band in bands], shots.distance, side="right") - 1
    feet = (
        np.searchsorted([band.low for band in PUTT_BANDS_FT], FEET_PER_YARD * shots.distance, side="right")
        - 1
    )
    numbers: Ints = np.where(part == Part.PUTTING, feet, np.where(part == Part.TEE, -1, yards))
    return numbers


def _group_of(priority: Priority, bands: list[Band]) -> GroupOfShots:
    part = Part(priority.part)
    if part == Part.PUTTING:
        band = None if priority.band is None else PUTT_BANDS_FT[priority.band]
        return GroupOfShots(part, band, "ft")
    return GroupOfShots(part, None if priority.band is None else bands[priority.band], "yd")
