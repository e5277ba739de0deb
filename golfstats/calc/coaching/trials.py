"""A trial: does it go better with A than with B (a ball, a club, a shaft, a routine)?

What else differs between A and B and is known is adjusted for (:mod:`~golfstats.calc.coaching.trial_designs`).
Where tags change within rounds they are compared within rounds; where each round was played with one tag, rounds are
the units. One may look after every round: the test (:mod:`~golfstats.calc.coaching.sequential`) stays valid, at 5%,
and the interval is one that holds at all times together with a chance of 90%. Tags that ran in blocks are not compared:
form and season ran in the same blocks.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from typing import Literal

import numpy as np
from scipy import stats

from golfstats.calc.coaching.sequential import Evidence
from golfstats.calc.coaching.trial_designs import (
    LEVEL,
    MINIMUM_SHOTS,
    TrialShots,
    among_rounds,
    in_blocks,
    within_rounds,
)
from golfstats.calc.coaching.words import Better
from golfstats.calc.figure import INTERVAL, Figure, clustered_mean_figure, decimals_within, mean_figure
from golfstats.calc.record import Bools, Floats, Ints
from golfstats.calc.units import Unit
from golfstats.sentences import Sentence, counted, joined

POWER = 0.80
"""The number of shots still needed gives this chance to tell a difference as large as it looks now."""
TOO_LONG = 5000
"""More shots than this and the trial is not worth going on with."""
MOSTLY = 0.5
"""Of the shots: with less of the wind known than this, a trial among rounds is warned of."""

__all__ = ["TrialResult", "TrialShots", "TrialWarning", "Verdict", "run_trial", "side_deviation"]


class Verdict(Enum):
    FIRST = "first"
    """A is better, as far as the golf tells."""
    SECOND = "second"
    """B is better, as far as the golf tells."""
    CANNOT_TELL = "cannot_tell"
    """The golf does not tell which is better."""
    TOO_FEW = "too_few"
    """There is too little golf with one of them."""


class TrialWarning(Enum):
    """Why a trial says less than it seems to."""

    IN_BLOCKS = "in_blocks"
    """The two were used at different times."""
    DIFFERENT_HOLES = "different_holes"
    """The two were hardly ever used on the same holes."""
    WIND_NOT_KNOWN = "wind_not_known"
    """The wind of most shots is not known."""

    @property
    def words(self) -> str:
        return _WARNINGS[self]


_WARNINGS = {
    TrialWarning.IN_BLOCKS: Sentence(
        "The two were used at different times, so form and season cannot be told from them: change from round to "
        "round, or from shot to shot."
    ),
    TrialWarning.DIFFERENT_HOLES: Sentence("The two were hardly ever used on the same holes."),
    TrialWarning.WIND_NOT_KNOWN: Sentence("The wind was seldom noted, so it could not be allowed for."),
}


@dataclass(frozen=True)
class TrialResult:
    first: Figure
    """Plain mean with tag A, not adjusted."""
    second: Figure
    difference: Figure
    """A minus B, adjusted."""
    p_value: float | None
    """Valid however often one looks."""
    unit_of_trial: Literal["shot", "round"]
    verdict: Verdict
    more_shots: int | None
    """Further shots needed to tell; ``None`` if it is told, or would take too many."""
    warnings: tuple[TrialWarning, ...] = ()

    def words(self, first: str, second: str) -> str:
        """The outcome in a sentence or two, naming the tags."""
        return joined(" ", [self._outcome(first, second), *(warning.words for warning in self.warnings)])

    def _outcome(self, first: str, second: str) -> str:
        if self.verdict is Verdict.TOO_FEW:
            return Sentence("Too few shots to compare {first} with {second}.", first=first, second=second)
        if self.verdict is Verdict.CANNOT_TELL:
            open_yet = Sentence("This trial cannot tell {first} from {second}.", first=first, second=second)
            in_blocks = TrialWarning.IN_BLOCKS in self.warnings
            return open_yet if in_blocks else joined(" ", [open_yet, self._outlook()])
        better, other = (first, second) if self.verdict is Verdict.FIRST else (second, first)
        size, low, high = _sizes(self.difference)
        return Sentence(
            "{better} is better than {other} by {size} {unit} ({low} to {high}), {shots}.",
            better=better,
            other=other,
            size=size,
            low=low,
            high=high,
            unit=Sentence(self.difference.unit),
            shots=counted(self.difference.n, "shot"),
        )

    def _outlook(self) -> str:
        if self.more_shots is None:
            return Sentence("No trial of a sensible length would, the difference looks so small.")
        return Sentence(
            "If the difference is what it looks like, about {shots} more shots would.", shots=self.more_shots
        )


def _sizes(difference: Figure) -> tuple[str, str, str]:
    """How large a difference is, and the ends of its interval, whichever way it goes."""
    value, low, high = difference.value or 0.0, difference.low or 0.0, difference.high or 0.0
    if value < 0:
        value, low, high = -value, -high, -low
    decimals = decimals_within(low, high, 2)
    size, least, most = (f"{one:.{decimals}f}".replace("-", "−") for one in (value, low, high))
    return size, least, most


def side_deviation(offline: Floats, first: Bools) -> Floats:
    """Distance of each shot from the middle line of its tag's shots: the outcome for side spread.

    A tag that only goes further left then does not count as wider (Brown and Forsythe 1974).
    """
    deviation = np.empty_like(offline)
    for tag in (True, False):
        rows = first == tag
        if np.any(rows):
            deviation[rows] = np.abs(offline[rows] - np.nanmedian(offline[rows]))
    return deviation


def run_trial(shots: TrialShots, unit: Unit, better: Better) -> TrialResult:
    """Compare tag A with tag B on one outcome.

    The kind of round (both tags, or one) that holds most shots is used, the other left out; so are lies from which
    only one of the two was played.
    """
    shots = shots.select(np.isfinite(shots.outcome) & np.isfinite(shots.distance))
    shared = np.intersect1d(shots.lie[shots.first], shots.lie[~shots.first])
    shots = shots.select(np.isin(shots.lie, shared))
    mixed = _in_mixed_round(shots)
    within = bool(np.sum(mixed) * 2 >= len(mixed))
    used = shots.select(mixed if within else ~mixed)
    evidence = within_rounds(used) if within else among_rounds(used)
    means = (_plain_mean(shots, shots.first, unit), _plain_mean(shots, ~shots.first, unit))
    kind: Literal["shot", "round"] = "shot" if within else "round"
    n, warnings = len(used.outcome), _warnings(used, within=within)
    half = None if evidence is None else evidence.half_width(1 - INTERVAL)
    if evidence is None or half is None:
        too_few = Figure.too_few(n, 2 * MINIMUM_SHOTS, unit)
        return TrialResult(*means, too_few, None, kind, Verdict.TOO_FEW, None, warnings)
    difference = Figure(
        evidence.difference,
        evidence.difference - half,
        evidence.difference + half,
        n,
        2 * MINIMUM_SHOTS,
        unit,
    )
    verdict = _verdict(evidence, better, warnings)
    more = _more_shots(evidence, n, used) if verdict is Verdict.CANNOT_TELL else None
    return TrialResult(*means, difference, evidence.p_value(), kind, verdict, more, warnings)


def _verdict(evidence: Evidence, better: Better, warnings: tuple[TrialWarning, ...]) -> Verdict:
    if evidence.p_value() > LEVEL or TrialWarning.IN_BLOCKS in warnings:
        return Verdict.CANNOT_TELL
    return Verdict.FIRST if (evidence.difference > 0) == (better == "higher") else Verdict.SECOND


def _warnings(shots: TrialShots, *, within: bool) -> tuple[TrialWarning, ...]:
    if len(shots.outcome) == 0:
        return ()
    remarks = []
    if in_blocks(shots, within=within):
        remarks.append(TrialWarning.IN_BLOCKS)
    if shots.hole is not None and _on_shared_holes(shots.hole, shots.first) < MINIMUM_SHOTS:
        remarks.append(TrialWarning.DIFFERENT_HOLES)
    known = np.zeros(1) if shots.wind is None else np.isfinite(shots.wind)
    if not within and np.mean(known) < MOSTLY:
        remarks.append(TrialWarning.WIND_NOT_KNOWN)
    return tuple(remarks)


def _on_shared_holes(hole: Ints, first: Bools) -> int:
    """Shots of the rarer tag on holes on which both were used."""
    shared = np.isin(hole, np.intersect1d(hole[first], hole[~first]))
    return min(int(np.sum(shared & first)), int(np.sum(shared & ~first)))


def _more_shots(evidence: Evidence, n: int, shots: TrialShots) -> int | None:
    """Shots until the present difference would be told with a chance of 80%; errors shrink as 1/sqrt(n)."""
    luck = float(stats.norm.ppf(POWER))
    units = n if evidence.freedom > len(np.unique(shots.round)) else len(np.unique(shots.round))
    for times in np.geomspace(1 + 1 / n, 1 + TOO_LONG / n, 200):
        if evidence.after(float(times), units * (float(times) - 1), luck) >= 1 / LEVEL:
            return max(1, math.ceil(n * (float(times) - 1)))
    return None


def _plain_mean(shots: TrialShots, rows: Bools, unit: Unit) -> Figure:
    if len(np.unique(shots.round[rows])) < 2:
        return mean_figure(shots.outcome[rows], unit, MINIMUM_SHOTS)
    return clustered_mean_figure(shots.outcome[rows], shots.round[rows], unit, MINIMUM_SHOTS)


def _in_mixed_round(shots: TrialShots) -> Bools:
    """Whether each shot was played in a round with both tags."""
    rounds, index = np.unique(shots.round, return_inverse=True)
    with_first = np.bincount(index, weights=shots.first, minlength=len(rounds))
    count = np.bincount(index, minlength=len(rounds))
    mixed: Bools = ((with_first > 0) & (with_first < count))[index]
    return mixed
