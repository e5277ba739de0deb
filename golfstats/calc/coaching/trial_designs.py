"""How the difference between two tags is estimated: within rounds, or among rounds.

Either way by least squares on the tag and on all else that moves a shot or a round and is known: distance, lie,
hole, wind, temperature, course and date. Errors allow for tags of unequal spread (White 1980, scaled by n over
the degrees of freedom, MacKinnon and White 1985), and among rounds for rounds that resemble the one before.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace

import numpy as np
from scipy import linalg

from golfstats.calc.coaching.sequential import Evidence, precision_for
from golfstats.calc.record import Bools, Floats, Ints

LEVEL = 0.05
"""Chance that a trial of no difference ever tells one."""
MINIMUM_SHOTS = 10
"""Shots with each tag, where tags change within rounds."""
MINIMUM_FREEDOM = 10
"""Degrees of freedom left by rounds, distance, lie and hole, where tags change within rounds."""
MINIMUM_ROUNDS = 4
"""Rounds with each tag, where they do not."""
MINIMUM_ROUND_FREEDOM = 4
"""Degrees of freedom left by wind, temperature, course and date among rounds."""
FEWEST_CHANGES = 4
"""With fewer changes of the tag from round to round, tags and times are the same thing."""
PRECISION_OF_SHOTS = precision_for(50.0, LEVEL)
"""Planned for 200 shots, half with each tag."""
PRECISION_OF_ROUNDS = precision_for(6.0, LEVEL)
"""Planned for 24 rounds, half with each tag."""


@dataclass(frozen=True)
class TrialShots:
    """Shots of a trial in order of play; equally long columns. Rows with an outcome or a distance of NaN are left out.

    What is not known of a whole trial may be left out; what is not known of a shot is NaN.
    """

    outcome: Floats
    first: Bools
    """True for tag A, False for tag B."""
    round: Ints
    distance: Floats
    lie: Ints
    hole: Ints | None = None
    """Number of the very hole of the course, where A and B may only be compared on the same holes."""
    wind: Floats | None = None
    """Miles an hour, of the shot or the round."""
    temperature: Floats | None = None
    """Degrees Celsius."""
    course: Ints | None = None
    day: Floats | None = None
    """Day number."""

    def select(self, rows: Bools | Ints) -> TrialShots:
        return replace(
            self,
            **{
                column.name: getattr(self, column.name)[rows]
                for column in fields(self)
                if getattr(self, column.name) is not None
            },
        )


def within_rounds(shots: TrialShots) -> Evidence | None:
    """A against B where tags change within rounds: each round, and each hole if told apart, is its own measure."""
    n = len(shots.outcome)
    if min(int(np.sum(shots.first)), int(np.sum(~shots.first))) < MINIMUM_SHOTS:
        return None
    round = np.unique(shots.round, return_inverse=True)[1]
    columns = np.column_stack([shots.first.astype(np.float64), shots.outcome, _of_shots(shots)])
    columns = less_group_mean(columns, round)
    basis = linalg.orth(columns[:, 2:], rcond=1e-9) if columns.shape[1] > 2 else columns[:, 2:]
    tag, outcome = (columns[:, :2] - basis @ (basis.T @ columns[:, :2])).T
    information = float(tag @ tag)
    freedom = n - 1 - len(np.unique(round)) - basis.shape[1]
    if information < 1e-9 * n or freedom < MINIMUM_FREEDOM:
        return None  # rounds, holes and distance explain (nearly) all
    difference = float(tag @ outcome) / information
    error = _error(outcome - difference * tag, tag, freedom)
    return (
        Evidence(difference, error, freedom, information, PRECISION_OF_SHOTS)
        if error > 1e-9 * float(np.std(shots.outcome))
        else None
    )


def among_rounds(shots: TrialShots) -> Evidence | None:
    """A against B where each round was played with one tag: rounds are the units."""
    _, start, round = np.unique(shots.round, return_index=True, return_inverse=True)
    first = shots.first[start]
    if min(int(np.sum(first)), int(np.sum(~first))) < MINIMUM_ROUNDS:
        return None
    of_shots = _of_shots(shots)
    centred = less_group_mean(np.column_stack([shots.outcome, of_shots]), round)
    slopes = np.linalg.lstsq(centred[:, 1:], centred[:, 0], rcond=1e-9)[0]
    adjusted = shots.outcome - (of_shots - np.mean(of_shots, axis=0)) @ slopes
    count = np.bincount(round).astype(np.float64)
    value = np.bincount(round, weights=adjusted) / count
    others = _of_rounds(shots, start, round)
    scale = np.sqrt(_weights(adjusted - value[round], value, count))
    basis = linalg.orth(scale[:, None] * others, rcond=1e-9)
    both = scale[:, None] * np.column_stack([first.astype(np.float64), value])
    tag, outcome = (both - basis @ (basis.T @ both)).T
    information = float(tag @ tag)
    freedom = len(first) - 1 - basis.shape[1]
    if freedom < MINIMUM_ROUND_FREEDOM or information < 1e-6 * len(first):
        return None
    difference = float(tag @ outcome) / information
    residual = outcome - difference * tag
    order = np.arange(len(first)) if shots.day is None else np.argsort(shots.day[start], kind="stable")
    stretch = _memory_stretch(residual[order], tag[order], basis.shape[1] + 1)
    error = _error(residual, tag, freedom) * math.sqrt(stretch)
    return (
        Evidence(difference, error, freedom, information / stretch, PRECISION_OF_ROUNDS)
        if error > 1e-9 * float(np.std(shots.outcome))
        else None
    )


def in_blocks(shots: TrialShots, *, within: bool) -> bool:
    """Whether the tags ran in so few stretches that nothing tells them from the times they were used at.

    Among rounds: fewer changes from round to round than :data:`FEWEST_CHANGES`. Within rounds: in every round one
    tag first and the other after it, always the same way.
    """
    _, start, round = np.unique(shots.round, return_index=True, return_inverse=True)
    if not within:
        order = start if shots.day is None else start[np.argsort(shots.day[start], kind="stable")]
        return int(np.sum(np.diff(shots.first[order].astype(int)) != 0)) < FEWEST_CHANGES
    orders = set()
    for number in range(len(start)):
        tags = shots.first[round == number].astype(int)
        changes = np.flatnonzero(np.diff(tags))
        orders.add(int(tags[0]) if len(changes) == 1 else -1)
    return len(orders) == 1 and -1 not in orders


def less_group_mean(values: Floats, group: Ints) -> Floats:
    """Columns of ``values`` less their mean over the group; groups numbered from 0."""
    count = np.bincount(group)
    means = np.stack([np.bincount(group, weights=column) / count for column in values.T], axis=1)
    left: Floats = values - means[group]
    return left


def _error(residual: Floats, tag: Floats, freedom: int) -> float:
    """Error of the slope on the tag: the larger of the robust and the plain one."""
    information = float(tag @ tag)
    robust = float(residual**2 @ tag**2) * len(tag) / freedom / information**2
    plain = float(residual @ residual) / freedom / information
    return math.sqrt(max(robust, plain))


def _of_shots(shots: TrialShots) -> Floats:
    """What is known of each shot: distance and its square, lie, hole, wind."""
    columns = [np.zeros(len(shots.outcome)), *_indicators(shots.lie)]
    if np.ptp(shots.distance) > 1e-6:
        distance = (shots.distance - np.mean(shots.distance)) / float(np.std(shots.distance))
        columns += [distance, distance**2]
    if shots.hole is not None:
        columns += _indicators(shots.hole)
    columns += _known(shots.wind)
    return np.column_stack(columns)


def _of_rounds(shots: TrialShots, start: Ints, round: Ints) -> Floats:
    """What is known of each round: wind, temperature, course, date and its square; with a column of ones."""
    count = np.bincount(round)
    columns = [np.ones(len(start))]
    for values in (shots.wind, shots.temperature):
        if values is not None:
            known = np.isfinite(values)
            some = np.bincount(round[known], minlength=len(count)).astype(np.float64)
            total = np.bincount(round[known], weights=values[known], minlength=len(count))
            columns += _known(np.where(some > 0, total / np.maximum(some, 1), np.nan))
    if shots.course is not None:
        columns += _indicators(shots.course[start])
    if shots.day is not None:
        day = shots.day[start]
        since = (day - np.mean(day)) / max(float(np.std(day)), 1.0)
        columns += [since, since**2]
    return np.column_stack(columns)


def _indicators(codes: Ints) -> list[Floats]:
    """One column a code, but for the first and for those met only once (which then count as the first)."""
    labels, times = np.unique(codes, return_counts=True)
    return [(codes == label).astype(np.float64) for label in labels[times > 1][1:]]


def _known(values: Floats | None) -> list[Floats]:
    """The values with their mean where they are not known, and whether they are known; nothing if none is."""
    if values is None or not np.any(np.isfinite(values)):
        return []
    known = np.isfinite(values)
    filled = np.where(known, values, np.mean(values[known]))
    columns = [filled - np.mean(filled)] if np.ptp(filled) > 0 else []
    return columns if np.all(known) else [*columns, known.astype(np.float64)]


def _weights(within: Floats, value: Floats, count: Floats) -> Floats:
    """Weights of the rounds' means, 1 on average: days differ, and many shots say more than few."""
    freedom = len(within) - len(count)
    of_shot = float(within @ within) / freedom if freedom > 0 else 0.0
    between = max(float(np.var(value, ddof=1)) - of_shot * float(np.mean(1 / count)), 0.0)
    weight = 1 / (between + of_shot / count) if between + of_shot > 0 else np.ones(len(count))
    scaled: Floats = weight / np.mean(weight)
    return scaled


def _memory_stretch(residual: Floats, tag: Floats, fitted: int) -> float:
    """Factor on the variance of the difference, as neighbouring rounds are alike and the tag stays for some.

    With autocorrelation r of neighbours and r^k of rounds k apart. Least squares takes about one over the number of
    rounds off r for every fitted column, which is put back; r is at most 0.8.
    """
    rounds = len(residual)
    square = float(residual @ residual)
    if square == 0:
        return 1.0
    r = min(max(float(residual[1:] @ residual[:-1]) / square + fitted / rounds, 0.0), 0.8)
    apart = np.abs(np.subtract.outer(np.arange(rounds), np.arange(rounds)))
    return max(float(tag @ r**apart @ tag) / float(tag @ tag), 1.0)
