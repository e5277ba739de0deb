"""What to work on: strokes a round to gain by part of the game and by distance band.

Strokes to gain of a group of shots are what the player loses a round there against the benchmark:
frequency x gap. **The rule of the ranking:** groups are ordered by the strokes a round that are
three-in-four certain, that is by the lower quartile of what is believed about the strokes to gain.
So a large but doubtful loss ranks below a smaller sure one, and a group with too few shots last.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy import special, stats

from golfstats.calc.coaching.belief import t_half_width
from golfstats.calc.figure import INTERVAL, Figure, clustered_mean_figure
from golfstats.calc.record import Bools, Floats, Ints

MINIMUM_SHOTS = 10
MINIMUM_ROUNDS = 5


@dataclass(frozen=True)
class JudgedShots:
    """Shots with their strokes gained against the benchmark; equally long columns.

    ``band`` numbers the distance bands of a part as the caller likes (-1: no band). ``round`` is a
    row of ``holes_recorded``, the number of holes of each round whose shots are all recorded: a
    round of nine holes counts half. Strokes gained of NaN are left out.
    """

    strokes_gained: Floats
    part: Ints
    band: Ints
    round: Ints
    hole: Ints
    holes_recorded: Floats


@dataclass(frozen=True)
class Priority:
    """A group of shots: a part of the game (``band`` is ``None``) or a distance band of it."""

    part: int
    band: int | None
    shots_a_round: float
    gap: Figure
    """Strokes lost a shot against the benchmark."""
    to_gain: Figure
    """Strokes lost a round of 18 holes."""
    sure: float | None
    """Strokes a round that are three-in-four certain; the ranking's key. ``None`` with too few shots."""
    chance: float | None
    """Chance that there is anything to gain."""


def part_priorities(shots: JudgedShots) -> list[Priority]:
    """The parts of the game, first the one to work on."""
    parts = np.unique(shots.part[shots.part >= 0])
    return _ranked([_priority(shots, int(part), None) for part in parts])


def band_priorities(shots: JudgedShots) -> list[Priority]:
    """The distance bands of all parts, first the one to work on."""
    pairs = np.unique(np.stack([shots.part, shots.band]), axis=1).T
    return _ranked(
        [_priority(shots, int(part), int(band)) for part, band in pairs if part >= 0 and band >= 0]
    )


def group_rows(shots: JudgedShots, part: int, band: int | None) -> Bools:
    """The judged shots of a part, or of one of its bands."""
    rows: Bools = (shots.part == part) & np.isfinite(shots.strokes_gained)
    if band is not None:
        rows &= shots.band == band
    return rows


def _ranked(priorities: list[Priority]) -> list[Priority]:
    return sorted(priorities, key=lambda p: -math.inf if p.sure is None else p.sure, reverse=True)


def _priority(shots: JudgedShots, part: int, band: int | None) -> Priority:
    rows = group_rows(shots, part, band)
    n = int(np.sum(rows))
    lost = -shots.strokes_gained[rows]
    played = shots.holes_recorded > 0
    rounds = int(np.sum(played))
    rounds_of_18 = float(np.sum(shots.holes_recorded)) / 18
    shots_a_round = n / rounds_of_18 if rounds else 0.0
    if n < MINIMUM_SHOTS or rounds < MINIMUM_ROUNDS:
        return Priority(
            part,
            band,
            shots_a_round,
            Figure.too_few(n, MINIMUM_SHOTS, "strokes a shot"),
            Figure.too_few(n, MINIMUM_SHOTS, "strokes a round"),
            None,
            None,
        )
    lost_by_round = np.zeros(len(shots.holes_recorded))
    np.add.at(lost_by_round, shots.round[rows], lost)
    mean, error = _ratio_a_round(lost_by_round[played], shots.holes_recorded[played] / 18)
    half = t_half_width(rounds - 1) * error
    return Priority(
        part=part,
        band=band,
        shots_a_round=shots_a_round,
        gap=clustered_mean_figure(lost, shots.round[rows], "strokes a shot", MINIMUM_SHOTS),
        to_gain=Figure(mean, mean - half, mean + half, n, MINIMUM_SHOTS, "strokes a round"),
        sure=mean - float(stats.t.ppf(0.75, rounds - 1)) * error,
        chance=float(special.stdtr(rounds - 1, mean / error)) if error > 0 else float(mean > 0),
    )


def _ratio_a_round(total: Floats, size: Floats) -> tuple[float, float]:
    """Ratio of the sums over rounds and its standard error.

    Linearised variance of a ratio estimator (Cochran, Sampling Techniques, 1977, section 6.3, from
    memory): rounds are the clusters, so the number of such shots in a round varies with it.
    """
    rounds = len(total)
    ratio = float(np.sum(total) / np.sum(size))
    residual = total - ratio * size
    variance = rounds / (rounds - 1) * float(np.sum(residual**2)) / float(np.sum(size)) ** 2
    return ratio, math.sqrt(variance)


@dataclass(frozen=True)
class Effect:
    """What closing a share of a gap would do, from replays of the player's own rounds.

    Intervals cover both what is not known about the gap and where in the rounds the strokes are saved.
    """

    share: float
    fewer_strokes: Figure
    """Strokes a round of 18 holes fewer."""
    index_before: float | None
    index_after: Figure

    def words(self, group: str, benchmark: str) -> str:
        """For instance "approaches from 75–125 yards as a 2-handicap: 0.7 fewer strokes a round, index 3.4 → 2.8"."""
        if self.fewer_strokes.value is None:
            return f"{group} as {benchmark}: too few shots"
        saved = f"{group} as {benchmark}: {self.fewer_strokes.value:.1f} fewer strokes a round"
        if self.index_before is None or self.index_after.value is None:
            return saved
        return f"{saved}, index {self.index_before:.1f} → {self.index_after.value:.1f}"


def effect_of_closing(
    shots: JudgedShots,
    priority: Priority,
    hole_scores: Ints,
    index_of: Callable[[Ints], float | None],
    generator: np.random.Generator,
    share: float = 1.0,
    replays: int = 200,
) -> Effect:
    """Replay the rounds with ``share`` of the priority's gap closed.

    In every replay the gap is drawn from what is believed about it, and the strokes are saved on
    the shots that lost strokes, in proportion to what each lost, rounded at random to whole
    strokes so that hole scores stay integers. ``shots.hole`` is a row of ``hole_scores``;
    ``index_of`` turns changed hole scores into the handicap index, doing with them what the
    handicap rules do (net double bogey, differentials). A gap that is not there saves nothing.
    """
    if not 0 < share <= 1:
        raise ValueError(f"share must be above 0 and at most 1, not {share}")
    n = priority.to_gain.n
    before = index_of(hole_scores)
    if not priority.gap.enough:
        return Effect(
            share,
            Figure.too_few(n, MINIMUM_SHOTS, "strokes a round"),
            before,
            Figure.too_few(n, MINIMUM_SHOTS, "index"),
        )
    rows = group_rows(shots, priority.part, priority.band)
    loss = np.maximum(-shots.strokes_gained[rows], 0)
    hole = shots.hole[rows]
    rounds_of_18 = float(np.sum(shots.holes_recorded)) / 18
    saved = np.empty(replays)
    index: list[float] = []
    for replay in range(replays):
        to_save = share * _draw(priority.to_gain, generator) * rounds_of_18
        proportion = min(max(to_save / max(float(np.sum(loss)), 1e-9), 0.0), 1.0)
        strokes = np.floor(proportion * loss + generator.random(len(loss)))
        fewer = np.bincount(hole, weights=strokes, minlength=len(hole_scores)).astype(np.int64)
        changed = np.maximum(hole_scores - fewer, 1)
        saved[replay] = float(np.sum(hole_scores - changed)) / rounds_of_18
        after = index_of(changed)
        if after is not None:
            index.append(after)
    return Effect(
        share,
        _replayed_figure(saved, n, "strokes a round"),
        before,
        _replayed_figure(np.array(index), n, "index") if index else Figure.too_few(n, MINIMUM_SHOTS, "index"),
    )


def _draw(figure: Figure, generator: np.random.Generator) -> float:
    """One value from the normal distribution with the figure's value and 90% interval."""
    if figure.value is None or figure.high is None:
        raise ValueError("no value to draw around")
    z = float(stats.norm.ppf(0.5 + INTERVAL / 2))
    return float(generator.normal(figure.value, (figure.high - figure.value) / z))


def _replayed_figure(values: Floats, n: int, unit: str) -> Figure:
    low, high = np.quantile(values, [0.5 - INTERVAL / 2, 0.5 + INTERVAL / 2])
    return Figure(float(np.mean(values)), float(low), float(high), n, MINIMUM_SHOTS, unit)
