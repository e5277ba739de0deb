"""What to work on: strokes a round to gain by part of the game and by distance band.

Strokes to gain of a group of shots are what the player loses a round there against the benchmark:
frequency x gap. **The rule of the ranking:** groups are ordered by the strokes a round that are
three-in-four certain, that is by the lower quartile of what is believed about the strokes to gain.
So a large but doubtful loss ranks below a smaller sure one, and a group with too few shots last.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special, stats

from golfstats.calc.coaching.belief import t_half_width
from golfstats.calc.coaching.words import index_words
from golfstats.calc.figure import INTERVAL, Figure, clustered_mean_figure
from golfstats.calc.record import Bools, Floats, Ints

MINIMUM_SHOTS = 10
MINIMUM_ROUNDS = 5
"""Of a group of shots, below either of which it is "too few" (our choice)."""


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

    def words(self, group: str, benchmark: str, share: float = 1.0) -> str:
        """For instance "approaches from 75–125 yards as a 2-handicap: 0.7 fewer strokes a round, index 3.4 → 2.8"."""
        how = f"as {benchmark}" if share == 1 else f"with {share:.0%} of the gap to {benchmark} closed"
        if self.fewer_strokes.value is None:
            return f"{group} {how}: too few shots"
        saved = f"{group} {how}: {self.fewer_strokes.value:.1f} fewer strokes a round"
        if self.index_before is None or self.index_after.value is None:
            return saved
        return f"{saved}, index {index_words(self.index_before)} → {index_words(self.index_after.value)}"


def effect_of_closing(
    shots: JudgedShots,
    priority: Priority,
    hole_scores: Ints,
    index_of: Callable[[Ints], float | None],
    generator: np.random.Generator,
    share: float = 1.0,
    replays: int = 100,
) -> Effect:
    """Replay the rounds with ``share`` of the priority's gap closed.

    The strokes are saved on the shots that lost strokes, in proportion to what each lost, rounded
    at random to whole strokes so that hole scores stay integers. Values are means over replays
    with the gap as estimated; intervals come from as many replays in which the gap is drawn from
    what is believed about it. ``shots.hole`` is a row of ``hole_scores``; ``index_of`` turns
    changed hole scores into the handicap index, doing with them what the handicap rules do (net
    double bogey, differentials). A gap that is not there saves nothing.
    """
    if not 0 < share <= 1:
        raise ValueError(f"share must be above 0 and at most 1, not {share}")
    n, to_gain = priority.to_gain.n, priority.to_gain
    before = index_of(hole_scores)
    if to_gain.value is None:
        too_few = [Figure.too_few(n, MINIMUM_SHOTS, unit) for unit in ("strokes a round", "index")]
        return Effect(share, too_few[0], before, too_few[1])
    rows = group_rows(shots, priority.part, priority.band)
    loss = np.maximum(-shots.strokes_gained[rows], 0)
    rounds_of_18 = float(np.sum(shots.holes_recorded)) / 18

    def replay(strokes_a_round: float) -> tuple[float, float | None]:
        fewer = _saved_by_hole(
            strokes_a_round * rounds_of_18, loss, shots.hole[rows], len(hole_scores), generator
        )
        changed = np.maximum(hole_scores - fewer, 1)
        return float(np.sum(hole_scores - changed)) / rounds_of_18, index_of(changed)

    as_estimated = [replay(share * to_gain.value) for _ in range(replays)]
    as_drawn = [replay(share * _draw(to_gain, generator)) for _ in range(replays)]
    saved, index = zip(*as_estimated, strict=True)
    saved_drawn, index_drawn = zip(*as_drawn, strict=True)
    return Effect(
        share,
        _replayed_figure(saved, saved_drawn, n, "strokes a round"),
        before,
        _replayed_figure(index, index_drawn, n, "index"),
    )


def _saved_by_hole(
    strokes: float, loss: Floats, hole: Ints, holes: int, generator: np.random.Generator
) -> Ints:
    """Whole strokes saved on each hole: ``strokes`` in all on average, and never more than were lost."""
    lost = float(np.sum(loss))
    proportion = min(max(strokes / lost, 0.0), 1.0) if lost > 0 else 0.0
    saved = np.floor(proportion * loss + generator.random(len(loss))).astype(np.int64)
    by_hole = np.zeros(holes, dtype=np.int64)
    np.add.at(by_hole, hole, saved)
    return by_hole


def _draw(figure: Figure, generator: np.random.Generator) -> float:
    """One value from the normal distribution with the figure's value and 90% interval."""
    if figure.value is None or figure.high is None:
        raise ValueError("no value to draw around")
    z = float(stats.norm.ppf(0.5 + INTERVAL / 2))
    return float(generator.normal(figure.value, (figure.high - figure.value) / z))


def _replayed_figure(
    values: Sequence[float | None], drawn: Sequence[float | None], n: int, unit: str
) -> Figure:
    known, known_drawn = ([v for v in column if v is not None] for column in (values, drawn))
    if not known or not known_drawn:
        return Figure.too_few(n, MINIMUM_SHOTS, unit)
    low, high = np.quantile(known_drawn, [0.5 - INTERVAL / 2, 0.5 + INTERVAL / 2])
    return Figure(float(np.mean(known)), float(low), float(high), n, MINIMUM_SHOTS, unit)
