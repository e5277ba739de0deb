"""What to work on: strokes a round to gain by part of the game and by distance band.

Strokes to gain of a group of shots are what the player loses a round there against the benchmark:
frequency x gap. The groups are judged together (:mod:`~golfstats.calc.coaching.shrinkage`), as the one
that looks worst has been picked for it. **The rule of the ranking:** groups are ordered by the strokes a round
that are three-in-four certain, that is by a low quantile of what is believed about the strokes to gain.
So a large but doubtful loss ranks below a smaller sure one, and a group with too few shots last. Groups that
the rounds cannot tell apart share a rank.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from golfstats.calc.coaching.shrinkage import Together, judge_together
from golfstats.calc.figure import (
    INTERVAL,
    ROUNDING,
    Figure,
    clustered_mean_figure,
    t_half_width,
    unseen_share,
)
from golfstats.calc.record import Bools, Floats, Ints
from golfstats.calc.units import Unit

MINIMUM_SHOTS = 10
MINIMUM_ROUNDS = 5
"""Of a group of shots, below either of which it is "too few" (our choice)."""
CLEARLY = 0.9
"""A group ranks behind another where the chance that the other loses more is 90%."""
SURE = 0.88
"""Share of the draws above what is called three-in-four certain. More than three in four, as the group was picked
for looking worst: where all groups are truly alike it then holds in three of four players (by simulation)."""


@dataclass(frozen=True)
class JudgedShots:
    """Shots with their strokes gained against the benchmark; equally long columns.

    ``band`` numbers the distance bands of a part as the caller likes (-1: no band). ``round`` is a
    row of ``holes_recorded``, the number of holes of each round whose shots are all recorded: a
    round of nine holes counts half. Strokes gained of NaN are left out. ``peer_gained`` are the same shots
    against a golfer of the player's own handicap, where the benchmark is another. ``doubt`` is the standard deviation
    of what was given back to each shot for disturbed greens: all are wrong by one unknown number of these.
    """

    strokes_gained: Floats
    part: Ints
    band: Ints
    round: Ints
    hole: Ints
    holes_recorded: Floats
    peer_gained: Floats | None = None
    doubt: Floats | None = None

    def since(self, round: int, hole: int) -> JudgedShots:
        """Those of the rounds from this row on, of which ``hole`` is the first hole's: rows count from there."""
        rows = self.round >= round
        return JudgedShots(
            self.strokes_gained[rows],
            self.part[rows],
            self.band[rows],
            self.round[rows] - round,
            self.hole[rows] - hole,
            self.holes_recorded[round:],
            None if self.peer_gained is None else self.peer_gained[rows],
            None if self.doubt is None else self.doubt[rows],
        )


@dataclass(frozen=True)
class Priority:
    """A group of shots: a part of the game (``band`` is ``None``) or a distance band of it."""

    part: int
    band: int | None
    shots_a_round: float
    gap: Figure
    """Strokes lost a shot against the benchmark, as measured."""
    measured: Figure
    """Strokes lost a round of 18 holes, as measured; the groups add up to what is lost in all."""
    to_gain: Figure
    """Strokes lost a round of 18 holes as they are believed, all groups judged together."""
    sure: float | None
    """Strokes a round that are three-in-four certain; the ranking's key. ``None`` with too few shots."""
    chance: float | None
    """Chance that there is anything to gain."""
    chance_first: float | None
    """Chance that more is lost here than in any other group."""
    rank: int | None
    """One more than the number of groups that clearly lose more; ``None`` with too few shots."""
    tied: bool
    """Whether another group has the same rank: the rounds cannot tell them apart."""
    against_peer: Figure | None
    """Strokes lost a round against a golfer of the own handicap; ``None`` where none was given."""


def part_priorities(shots: JudgedShots, generator: np.random.Generator) -> list[Priority]:
    """The parts of the game, first the one to work on."""
    parts = np.unique(shots.part[shots.part >= 0])
    return _ranked(shots, [(int(part), None) for part in parts], generator)


def band_priorities(shots: JudgedShots, generator: np.random.Generator) -> list[Priority]:
    """The distance bands of all parts, first the one to work on."""
    pairs = np.unique(np.stack([shots.part, shots.band]), axis=1).T
    groups = [(int(part), int(band)) for part, band in pairs if part >= 0 and band >= 0]
    return _ranked(shots, groups, generator)


def group_rows(shots: JudgedShots, part: int, band: int | None) -> Bools:
    """The judged shots of a part, or of one of its bands."""
    rows: Bools = (shots.part == part) & np.isfinite(shots.strokes_gained)
    if band is not None:
        rows &= shots.band == band
    return rows


Group = tuple[int, int | None]


def _ranked(shots: JudgedShots, groups: Sequence[Group], generator: np.random.Generator) -> list[Priority]:
    rounds = int(np.sum(shots.holes_recorded > 0))
    enough = [
        rounds >= MINIMUM_ROUNDS and int(np.sum(group_rows(shots, *group))) >= MINIMUM_SHOTS
        for group in groups
    ]
    judged = [group for group, some in zip(groups, enough, strict=True) if some]
    few = [group for group, some in zip(groups, enough, strict=True) if not some]
    priorities = _judged(shots, judged, rounds, generator) if judged else []
    in_order = sorted(priorities, key=lambda p: p.sure or 0.0, reverse=True)
    return in_order + [_too_few(shots, group) for group in few]


def _judged(
    shots: JudgedShots, groups: Sequence[Group], rounds: int, generator: np.random.Generator
) -> list[Priority]:
    lost = np.stack([_lost_by_round(shots, shots.strokes_gained, group) for group in groups], axis=1)
    size = shots.holes_recorded[shots.holes_recorded > 0] / 18
    counts = np.array([np.sum(group_rows(shots, *group)) for group in groups], dtype=np.int64)
    measured, covariance = _ratios_a_round(lost, size, counts)
    covariance = covariance + _doubt_of_greens(shots, groups, float(np.sum(size)))
    together = judge_together(measured, covariance, rounds - 1, generator)
    tail = (1 - INTERVAL) / 2
    mean, low, high = together.mean, together.quantile(tail), together.quantile(1 - tail)
    sure, chance, first = together.quantile(1 - SURE), together.chance_positive(), together.chance_first()
    ranks = _ranks(together)
    priorities = []
    for number, (part, band) in enumerate(groups):
        rows, n = group_rows(shots, part, band), int(counts[number])
        error = math.sqrt(float(covariance[number, number]))
        alone = _figure(float(measured[number]), error, rounds, n)
        priorities.append(
            Priority(
                part=part,
                band=band,
                shots_a_round=n / float(np.sum(size)),
                gap=clustered_mean_figure(
                    -shots.strokes_gained[rows], shots.round[rows], Unit.STROKES_A_SHOT, MINIMUM_SHOTS
                ),
                measured=alone,
                to_gain=_either_way(float(mean[number]), float(low[number]), float(high[number]), alone),
                sure=float(sure[number]),
                chance=float(chance[number]),
                chance_first=float(first[number]),
                rank=ranks[number],
                tied=ranks.count(ranks[number]) > 1,
                against_peer=_against_peer(shots, (part, band), size),
            )
        )
    return priorities


def _doubt_of_greens(shots: JudgedShots, groups: Sequence[Group], rounds: float) -> Floats:
    """Covariance of what the groups lose a round that comes from the doubt about the greens."""
    doubt = np.zeros(len(shots.part)) if shots.doubt is None else shots.doubt
    a_round = np.array([float(np.sum(doubt[group_rows(shots, *group)])) for group in groups]) / rounds
    covariance: Floats = np.outer(a_round, a_round)
    return covariance


def _too_few(shots: JudgedShots, group: Group) -> Priority:
    n = int(np.sum(group_rows(shots, *group)))
    rounds_of_18 = float(np.sum(shots.holes_recorded)) / 18
    a_shot, a_round = (
        Figure.too_few(n, MINIMUM_SHOTS, unit) for unit in (Unit.STROKES_A_SHOT, Unit.STROKES_A_ROUND)
    )
    shots_a_round = n / rounds_of_18 if rounds_of_18 else 0.0
    return Priority(
        *group, shots_a_round, a_shot, a_round, a_round, None, None, None, None, tied=False, against_peer=None
    )


def _ranks(together: Together) -> list[int]:
    above = together.chance_above()
    return [1 + int(np.sum(above[:, group] >= CLEARLY)) for group in range(above.shape[1])]


def _against_peer(shots: JudgedShots, group: Group, size: Floats) -> Figure | None:
    if shots.peer_gained is None:
        return None
    lost = _lost_by_round(shots, shots.peer_gained, group)[:, None]
    n = int(np.sum(group_rows(shots, *group)))
    value, variance = _ratios_a_round(lost, size, np.array([n]))
    return _figure(float(value[0]), math.sqrt(float(variance[0, 0])), len(size), n)


def _either_way(value: float, low: float, high: float, alone: Figure) -> Figure:
    """What is believed, with an interval that reaches as far as the group's own measurement does.

    Drawing groups together is right on average over them, too much for one that truly differs a little; nobody knows
    which group that is.
    """
    if alone.low is None or alone.high is None:
        raise ValueError("a group that is judged has been measured")
    return Figure(value, min(low, alone.low), max(high, alone.high), alone.n, alone.minimum_n, alone.unit)


def _figure(value: float, error: float, rounds: int, n: int) -> Figure:
    half = t_half_width(rounds - 1) * error
    return Figure(value, value - half, value + half, n, MINIMUM_SHOTS, Unit.STROKES_A_ROUND)


def _lost_by_round(shots: JudgedShots, gained: Floats, group: Group) -> Floats:
    """Strokes lost in each round that has any hole recorded."""
    rows = group_rows(shots, *group) & np.isfinite(gained)
    lost: Floats = np.bincount(
        shots.round[rows], weights=-gained[rows], minlength=len(shots.holes_recorded)
    ).astype(np.float64)
    return lost[shots.holes_recorded > 0]


def _ratios_a_round(total: Floats, size: Floats, shots: Ints) -> tuple[Floats, Floats]:
    """Ratios of the sums over rounds (a column of ``total`` a group, ``shots`` of each) and their covariance.

    Linearised variance of a ratio estimator (Cochran, Sampling Techniques, 1977, section 6.3, from
    memory): rounds are the clusters, so the number of such shots in a round varies with it. Few rounds
    say little about covariances, so these are drawn to zero; and rounds that resemble the one before (form)
    say less than as many others, so that the whole is stretched by their autocorrelation. A group that lost the
    same in every round (every tap-in holed) is as doubtful as shots that were not seen make it, a stroke each
    (:func:`~golfstats.calc.figure.unseen_share`).
    """
    rounds, groups = total.shape
    ratio = np.sum(total, axis=0) / np.sum(size)
    residual = total - size[:, None] * ratio
    covariance = rounds / (rounds - 1) * (residual.T @ residual) / np.sum(size) ** 2
    kept = (rounds - 1) / (rounds - 1 + groups)
    covariance = kept * covariance + (1 - kept) * np.diag(np.diag(covariance))
    covariance *= autocorrelation_stretch(residual)
    agreeing = np.sqrt(np.diag(covariance)) <= ROUNDING * np.abs(ratio)
    unseen = shots / np.sum(size) * unseen_share(np.maximum(shots, 1)) / t_half_width(rounds - 1)
    return ratio, covariance + np.diag(np.where(agreeing, unseen**2, 0.0))


def autocorrelation_stretch(residual: Floats) -> float:
    """Factor on the variance of a mean for series that remember: (1 + r) / (1 - r), at least 1.

    ``r`` is the autocorrelation of neighbouring rounds over all columns together, with Kendall's
    correction of its bias, (1 + 3 r) / n (Kendall 1954, from memory); that of a first-order process.
    """
    spread = np.std(residual, axis=0)
    scaled = residual[:, spread > 0] / spread[spread > 0]
    if scaled.size == 0:
        return 1.0
    rounds = len(scaled)
    correlation = float(np.sum(scaled[1:] * scaled[:-1])) / scaled.size
    corrected = (correlation * rounds + 1) / (rounds - 3) if rounds > 6 else correlation
    r = min(max(float(corrected), 0.0), 0.8)
    return (1 + r) / (1 - r)
