"""What closing a gap would do to scores and handicap index, from replays of the player's own rounds.

Where the strokes are saved matters to the index, which looks at the better rounds. If better play takes away bad
shots in proportion, bad rounds gain most and the index less; if it makes every such shot a little better, all rounds
gain alike and the index more. Nobody knows which, so half is saved in one way and half in the other, and the
intervals reach from one end to the other.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from golfstats.calc.coaching.priorities import MINIMUM_SHOTS, JudgedShots, Priority, group_rows
from golfstats.calc.coaching.words import index_words
from golfstats.calc.figure import INTERVAL, NORMAL_QUANTILE, Figure
from golfstats.calc.record import Floats, Ints
from golfstats.calc.units import Unit
from golfstats.sentences import Sentence, counted

IndexOf = Callable[[Ints], Floats]
"""From strokes fewer (replays × holes) to the handicap index of each replay, NaN where there is none."""


@dataclass(frozen=True)
class HolesPlayed:
    """Every hole the handicap rests on, in order of play, whether its shots were recorded or not."""

    score: Ints
    round: Ints
    par: Ints


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
        """For instance "approaches from 75–125 yards as a 2-handicap: 0.7 fewer strokes a round (0.4 to 1.0),
        212 shots, index 3.4 → 2.8 (2.5 to 3.1)".
        """
        how = Sentence("{group} as {golfer}", group=group, golfer=benchmark)
        if share != 1:
            how = Sentence(
                "{group}, {percent} of the strokes lost to {golfer} won back",
                group=group,
                percent=Sentence("{percent}%", percent=f"{100 * share:.0f}"),
                golfer=benchmark,
            )
        fewer, after = self.fewer_strokes, self.index_after
        if fewer.value is None or fewer.low is None or fewer.high is None:
            return Sentence("{group}: too few shots", group=how)
        saved = Sentence(
            "{group}: {strokes} fewer strokes a round ({low} to {high}), {shots}",
            group=how,
            strokes=f"{fewer.value:.1f}",
            low=f"{fewer.low:.1f}",
            high=f"{fewer.high:.1f}",
            shots=counted(fewer.n, "shot"),
        )
        if self.index_before is None or after.value is None or after.low is None or after.high is None:
            return saved
        before, then, low, high = map(index_words, (self.index_before, after.value, after.low, after.high))
        if before == then:
            return Sentence(
                "{saved}, index still {index} ({low} to {high})", saved=saved, index=then, low=low, high=high
            )
        return Sentence(
            "{saved}, index {before} → {after} ({low} to {high})",
            saved=saved,
            before=before,
            after=then,
            low=low,
            high=high,
        )


def effects_of_closing(
    shots: JudgedShots,
    priorities: Sequence[Priority],
    holes: HolesPlayed,
    index_of: IndexOf,
    generators: Sequence[np.random.Generator],
    share: float = 1.0,
    replays: int = 300,
) -> list[Effect]:
    """Replay the rounds with ``share`` of a priority's gap closed, for each of them with a generator of its own.

    ``shots.hole`` is a row of ``holes``; ``index_of`` does with the strokes fewer what the handicap rules do
    (net double bogey, differentials). Values are means over a third as many replays with the gap as it is
    believed; intervals come from ``replays`` in which the gap is drawn. A gap that is not there saves nothing.
    """
    if not 0 < share <= 1:
        raise ValueError(f"share must be above 0 and at most 1, not {share}")
    if not priorities:
        return []
    nothing = np.zeros((1, len(holes.score)), dtype=np.int64)
    fewer = [
        nothing[:0] if one.to_gain.value is None else _fewer(shots, one, holes, generator, share, replays)
        for one, generator in zip(priorities, generators, strict=True)
    ]
    # One fold for all, with the record as it is as one replay more: it takes little longer than that of a single one.
    before, *rest = np.split(
        index_of(np.concatenate([nothing, *fewer])), np.cumsum([1, *map(len, fewer[:-1])])
    )
    return [
        _effect(share, one, saved, _number(before[0]), index, _believed(replays))
        for one, saved, index in zip(priorities, fewer, rest, strict=True)
    ]


def _believed(replays: int) -> int:
    """So many replays with the gap as it is believed come before those in which it is drawn."""
    return max(replays // 3, 1)


@dataclass(frozen=True)
class Due:
    """Strokes to be saved on each hole of each replay, told for some holes at a time: all holes at once leave the
    processor's cache.
    """

    a_shot: Floats
    """For each replay."""
    evenness: Floats
    """For each replay the share that is saved by every shot alike; the rest goes by what the shots lost."""
    evenly: Floats
    """Shots on each hole."""
    by_loss: Floats
    """Shots on each hole, weighted by what each lost."""

    def on(self, holes: slice) -> Floats:
        """Holes × replays."""
        shots = self.evenness * self.evenly[holes, None] + (1 - self.evenness) * self.by_loss[holes, None]
        return self.a_shot * shots


def _fewer(
    shots: JudgedShots,
    priority: Priority,
    holes: HolesPlayed,
    generator: np.random.Generator,
    share: float,
    replays: int,
) -> Ints:
    """Strokes fewer on each hole of each replay."""
    evenly, by_loss = expected_shots(shots, priority, holes)
    believed = _believed(replays)
    lost = np.concatenate(
        [np.full(believed, priority.to_gain.value), _drawn(priority.to_gain, replays, generator)]
    )
    evenness = np.concatenate([np.full(believed, 0.5), generator.random(replays)])
    a_shot = share * np.maximum(lost, 0.0) / priority.shots_a_round
    saved = saved_by_hole(Due(a_shot, evenness, evenly, by_loss), holes.round, generator)
    return np.minimum(saved, holes.score - 1, out=saved)


def _effect(
    share: float, priority: Priority, fewer: Ints, before: float | None, index: Floats, believed: int
) -> Effect:
    n = priority.to_gain.n
    if priority.to_gain.value is None:
        strokes, after = (
            Figure.too_few(n, MINIMUM_SHOTS, unit) for unit in (Unit.STROKES_A_ROUND, Unit.INDEX)
        )
        return Effect(share, strokes, before, after)
    saved = 18 * np.mean(fewer, axis=1)
    return Effect(
        share,
        _replayed_figure(saved, believed, n, Unit.STROKES_A_ROUND),
        before,
        _replayed_figure(index, believed, n, Unit.INDEX),
    )


def _number(index: float) -> float | None:
    return None if np.isnan(index) else float(index)


def expected_shots(shots: JudgedShots, priority: Priority, holes: HolesPlayed) -> tuple[Floats, Floats]:
    """Shots of the group on each hole, plainly counted and weighted by what each lost (as many in all).

    Holes without recorded shots get as many as holes of their par have.
    """
    rows = group_rows(shots, priority.part, priority.band)
    recorded = np.zeros(len(holes.score), dtype=np.bool_)
    recorded[shots.hole[np.isfinite(shots.strokes_gained)]] = True
    loss = np.maximum(-shots.strokes_gained[rows], 0.0)
    weight = loss / np.mean(loss) if np.any(loss > 0) else np.ones(len(loss))
    count, weighted = (
        np.bincount(shots.hole[rows], weights=values, minlength=len(holes.score))
        for values in (np.ones(len(weight)), weight)
    )
    usual = np.full(len(holes.score), np.mean(count[recorded]))
    for par in np.unique(holes.par[recorded]):
        of_par = holes.par == par
        usual[of_par] = np.mean(count[of_par & recorded])
    return np.where(recorded, count, usual), np.where(recorded, weighted, usual)


def saved_by_hole(due: Due, round: Ints, generator: np.random.Generator) -> Ints:
    """Whole strokes saved on each hole of each replay (replays × holes), what is due on average.

    Systematic rounding along each round: a round saves its due to within one stroke, as rounding every hole for
    itself would make rounds more uneven than they are.
    """
    starts = np.flatnonzero(np.concatenate([[True], round[1:] != round[:-1]]))
    replays = len(due.a_shot)
    begun = np.ascontiguousarray(generator.random((replays, len(starts))).T)
    saved = np.empty((len(round), replays), dtype=np.int64)
    before = np.zeros(replays)
    for number, (start, end) in enumerate(itertools.pairwise([*starts.tolist(), len(round)])):
        upto = due.on(slice(start, end))
        first = upto[0].copy()
        upto[0] += before
        upto = np.cumsum(upto, axis=0)
        before = upto[-1].copy()
        upto -= upto[0] - first
        upto += begun[number]
        so_far = upto.astype(np.int64)  # neither is below zero
        saved[start] = so_far[0]
        np.subtract(so_far[1:], so_far[:-1], out=saved[start + 1 : end])
    return saved.T


def _drawn(figure: Figure, draws: int, generator: np.random.Generator) -> Floats:
    """Values from the normal distribution with the figure's value and the width of its 90% interval."""
    if figure.value is None or figure.high is None or figure.low is None:
        raise ValueError("no value to draw around")
    return generator.normal(figure.value, (figure.high - figure.low) / 2 / NORMAL_QUANTILE, draws)


def _replayed_figure(values: Floats, as_believed: int, n: int, unit: Unit) -> Figure:
    if np.any(np.isnan(values)):
        return Figure.too_few(n, MINIMUM_SHOTS, unit)
    low, high = np.quantile(values[as_believed:], [0.5 - INTERVAL / 2, 0.5 + INTERVAL / 2])
    return Figure(float(np.mean(values[:as_believed])), float(low), float(high), n, MINIMUM_SHOTS, unit)
