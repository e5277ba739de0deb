"""What the first putts of a round say about its greens: strokes a round over the player's own putting on usual greens.

A stroke may be to blame as well as the greens, and a few putts say little: the estimate is drawn towards nothing by a
prior with a standard deviation of one stroke a round (our choice: coring costs about so much, section 7 of the sources
under ``greens``), and no direction is claimed while its 90% interval holds zero.

How they differ is told by the misses of first putts against the player's own earlier ones, each as what it left by the
length of the putt, short negative: slower or quicker where they lie shorter or longer (Mann and Whitney 1947), bumpier
where they spread more round their own middle (Brown and Forsythe 1974), so that slow greens alone are not called bumpy.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy import stats

from golfstats.calc.figure import NORMAL_QUANTILE, decimals_within
from golfstats.calc.plan.greens import FEET, Greens
from golfstats.calc.putting.tendencies import first_putts
from golfstats.calc.record import Floats, Record
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import UNKNOWN, Lie, MissDepth
from golfstats.sentences import Sentence, begun, joined

PRIOR_SD = 1.0
"""Strokes over 18 holes."""
LEAST_HOLES = 3
LEAST_MISSES, LEAST_USUAL_MISSES = 8, 30
"""Today's and earlier ones, to say how the greens differ (our choice)."""
LEAST_FEET = 10.0
"""What nearer first putts leave says more of the stroke than of the greens (our choice)."""
LEVEL = 0.05
"""Of each of the two tests, so that no more than one usual round in ten is called anything."""


@dataclass(frozen=True)
class Misses:
    """What missed first putts left, as a share of their length, short negative."""

    today: Floats
    usual: Floats
    """The player's own earlier ones."""

    @property
    def enough(self) -> bool:
        return len(self.today) >= LEAST_MISSES and len(self.usual) >= LEAST_USUAL_MISSES

    def manner(self) -> str:
        """Slower, quicker, bumpier than usual, or nothing."""
        if not self.enough:
            return ""
        differences = []
        today, usual = self.today - np.median(self.today), self.usual - np.median(self.usual)
        if stats.mannwhitneyu(self.today, self.usual).pvalue <= LEVEL:
            slower = np.median(self.today) < np.median(self.usual)
            differences.append(Sentence("slower") if slower else Sentence("quicker"))
        wider = np.abs(today).mean() > np.abs(usual).mean()
        if wider and stats.levene(self.today, self.usual, center="median").pvalue <= LEVEL:
            differences.append(Sentence("bumpier"))
        if len(differences) == 2:
            return Sentence("{one} and {other}", one=differences[0], other=differences[1])
        return differences[0] if differences else ""


@dataclass(frozen=True)
class TodaysGreens:
    """Cost of the greens as the putts so far tell it."""

    holes: int
    """With a first putt of known length."""
    cost: float | None
    """Strokes over 18 holes; None with fewer than three holes."""
    low: float | None
    """Lower end of the 90% interval; None with fewer than three holes."""
    high: float | None
    """90% interval."""
    misses: int
    """First putts from ten feet or more that missed, with what they left and whether short or long."""
    words: str


def usual_misses(record: Record) -> Floats:
    """What a player's missed first putts left, where it was noted whether they were short or long."""
    shots = record.shots
    usable = first_putts(shots) & ~shots.holed & (shots.lie_after == Lie.GREEN) & (shots.distance_after > 0)
    chosen = shots.select(usable & (shots.miss_depth != UNKNOWN))
    return left_by(
        chosen.distance * FEET_PER_YARD,
        chosen.distance_after * FEET_PER_YARD,
        np.where(chosen.miss_depth == MissDepth.SHORT, -1.0, 1.0),
    )


def left_by(feet: Floats, left_feet: Floats, way: Floats) -> Floats:
    """Of the putts from :data:`LEAST_FEET` or more; ``way`` is -1 short and 1 long."""
    far = feet >= LEAST_FEET
    return np.asarray(way[far] * left_feet[far] / feet[far])


def todays_greens(first_putt_feet: Floats, putts: Floats, usual: Greens, misses: Misses) -> TodaysGreens:
    """One entry a hole; ``usual`` is the player's own putting on usual greens."""
    holes, missed = len(putts), len(misses.today)
    if holes < LEAST_HOLES:
        words = Sentence("Too few: {least} first putts of known length at least.", least=LEAST_HOLES)
        return TodaysGreens(holes, None, None, None, missed, words)
    outcomes = usual.outcomes
    one, two = (np.interp(first_putt_feet, FEET, chance) for chance in (outcomes.one, outcomes.two))
    expected = usual.putts(first_putt_feet)
    variance = one + 4 * two + 9 * (1 - one - two) - (one + 2 * two + 3 * (1 - one - two)) ** 2
    seen = 18.0 * float(np.mean(putts - expected))
    seen_variance = 18.0**2 * float(np.sum(variance)) / holes**2
    trust = PRIOR_SD**2 / (PRIOR_SD**2 + seen_variance)
    cost, half = trust * seen, NORMAL_QUANTILE * math.sqrt(trust * seen_variance)
    return TodaysGreens(
        holes, cost, cost - half, cost + half, missed, _words(cost - half, cost + half, misses)
    )


def _words(low: float, high: float, misses: Misses) -> str:
    manner = misses.manner()
    if manner and low > 0:
        return Sentence(
            "{manner} than usual, about {low} to {high} strokes a round.",
            manner=begun(manner),
            **_told(low, high),
        )
    if manner and high >= 0:
        return Sentence("{manner} than usual; what that costs cannot be told yet.", manner=begun(manner))
    told = [Sentence("{manner} than usual.", manner=begun(manner))] if manner else []
    told.append(_cost(low, high))
    return joined(" ", told if misses.enough else [*told, _too_few(misses)])


def _cost(low: float, high: float) -> Sentence:
    if low > 0:
        return Sentence(
            "They take more putts than usual: about {low} to {high} strokes a round.",
            **_told(low, high),
        )
    if high < 0:
        return Sentence(
            "They take fewer putts than usual: about {low} to {high} strokes a round.",
            **_told(-high, -low),
        )
    return Sentence("No difference from usual greens can be told yet.")


def _told(low: float, high: float) -> dict[str, str]:
    decimals = decimals_within(low, high, 1)
    return {"low": f"{low:.{decimals}f}", "high": f"{high:.{decimals}f}"}


def _too_few(misses: Misses) -> Sentence:
    return Sentence(
        "Too few to say how they differ: first putts that missed from ten feet or more with what they left, short or "
        "long, {today} today ({least} at least) and {usual} before ({least_usual} at least).",
        today=len(misses.today),
        least=LEAST_MISSES,
        usual=len(misses.usual),
        least_usual=LEAST_USUAL_MISSES,
    )
