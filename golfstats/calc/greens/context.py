"""What else moves a round: unfamiliar courses, breaks, weather, time of day, competition. One linear model.

Round residuals (strokes beyond what was expected of the player) = contexts × their effects + season + player, and what
each measured context means to them + course-day + rest. Effects are not drawn towards zero: an interval around
a shrunk one held the truth in half of the worlds only (``tests/worlds/rounds_contexts.py``). Players and
course-days are random, so that fifty rounds of one windy day count as one windy day; so is what wind, cold and breaks
do to each player. The season is a wave a year that nothing draws towards zero once rounds span half a year (it would
leave a part of winter to the cold), and a smaller one within it. An interval is never narrower than players who go
their own ways make it: a variance by clusters beside the model's own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import sparse

from golfstats.calc.figure import Figure, t_half_width
from golfstats.calc.greens.effect.mixed_model import MixedFit, fit_mixed, indicator
from golfstats.calc.record import Floats, Ints, Rounds
from golfstats.calc.units import Unit
from golfstats.sentences import Sentence

SETTLED_ROUNDS = 5
"""A player's first rounds on record: a course met among them may be an old friend, so visits are not known."""
EARLY_VISITS = 4
"""After so many visits a course is known."""
DAYS_IN_A_YEAR = 365.25
LONGEST_BREAK_DAYS = 42
"""A longer break counts as one of this length."""
COMFORTABLE_CELSIUS = 20.0
"""Colder than this counts as cold, by degrees."""
AFTERNOON_HOUR = 12.0
"""A start from here on is one in the afternoon. All four are our choice."""
MINIMUM_ROUNDS = 10
"""Rounds in which a context was present (or measured), below which it is "too few"."""
MINIMUM_MODEL_ROUNDS = 40
"""Rounds altogether, below which every context is "too few"."""


@dataclass(frozen=True)
class Context:
    """One context: its key, the words for one unit of it, and its value a round (NaN not known)."""

    key: str
    words: str
    value: Floats
    yes_or_no: bool

    @property
    def n(self) -> int:
        """Rounds that speak for it: where it was present if yes or no, where it was measured otherwise."""
        known = np.isfinite(self.value)
        return int(np.sum(self.value[known] > 0) if self.yes_or_no else np.sum(known))


@dataclass(frozen=True)
class ContextEffect:
    """Strokes a round that one unit of a context costs (positive) or saves (negative)."""

    key: str
    """Name for programs."""
    words: str
    strokes: Figure
    """Per unit of it."""


def contexts(rounds: Rounds) -> list[Context]:
    """The contexts of rounds in order of play."""
    visit, gap = _visits_and_gaps(rounds)
    known_visit = np.isfinite(visit)
    early = (visit >= 2) & (visit <= EARLY_VISITS)
    hour, celsius = rounds.start_hour, rounds.temperature
    return [
        Context(
            "first_visit",
            Sentence("first visit to a course"),
            np.where(known_visit, visit == 1, np.nan),
            True,
        ),
        Context(
            "early_visits",
            Sentence("second to fourth visit to a course"),
            np.where(known_visit, early, np.nan),
            True,
        ),
        Context(
            "break",
            Sentence("each week since the last round, up to six"),
            np.minimum(gap, LONGEST_BREAK_DAYS) / 7,
            False,
        ),
        Context("wind", Sentence("each 10 mph of wind"), rounds.wind_speed / 10, False),
        Context(
            "cold",
            Sentence("each 10 °C below 20 °C"),
            np.where(np.isfinite(celsius), np.maximum(COMFORTABLE_CELSIUS - celsius, 0) / 10, np.nan),
            False,
        ),
        Context(
            "afternoon",
            Sentence("start after noon"),
            np.where(np.isfinite(hour), hour >= AFTERNOON_HOUR, np.nan),
            True,
        ),
        Context("competition", Sentence("competition"), rounds.competition.astype(np.float64), True),
    ]


def context_effects(rounds: Rounds, residual: Floats, minimum_n: int = MINIMUM_ROUNDS) -> list[ContextEffect]:
    """Strokes a round of each context, with 90% intervals; ``residual`` in strokes a round, higher is worse.

    Rounds without a residual (NaN) are left out. A context that does not vary is "too few" as well.
    """
    asked_of = contexts(rounds)
    usable = np.isfinite(residual)
    if (n := int(np.sum(usable))) < MINIMUM_MODEL_ROUNDS:
        few = Figure.too_few(n, MINIMUM_MODEL_ROUNDS, Unit.STROKES_A_ROUND)
        return [ContextEffect(context.key, context.words, few) for context in asked_of]
    rows = [Context(c.key, c.words, c.value[usable], c.yes_or_no) for c in asked_of]
    estimable = [context.n >= minimum_n and float(np.nanstd(context.value)) > 0 for context in rows]
    estimates = _estimate(
        rounds.select(usable),
        residual[usable],
        [c for c, tell in zip(rows, estimable, strict=True) if tell],
        minimum_n,
    )
    return [
        estimates[context.key] if tell else _too_few(context, minimum_n)
        for context, tell in zip(rows, estimable, strict=True)
    ]


def _estimate(
    rounds: Rounds, residual: Floats, chosen: Sequence[Context], minimum_n: int
) -> dict[str, ContextEffect]:
    if not chosen:
        return {}
    columns = np.stack([np.nan_to_num(c.value - np.nanmean(c.value)) for c in chosen], axis=1)
    players = indicator(rounds.player)
    measured = [
        column for c, column in zip(chosen, (columns / columns.std(axis=0)).T, strict=True) if not c.yes_or_no
    ]
    differs = (
        [sparse.hstack([players.multiply(column[:, None]) for column in measured], "csr")] if measured else []
    )
    waves = _waves(rounds.day)
    whole_waves = 2 if np.ptp(rounds.day) >= DAYS_IN_A_YEAR / 2 else 0
    fixed = np.column_stack([columns, np.ones(len(residual)), waves[:, :whole_waves]])
    blocks = [
        *differs,
        sparse.csr_array(waves[:, whole_waves:]),
        players,
        indicator(np.stack([rounds.course, rounds.day], axis=1)),
    ]
    fit = fit_mixed(residual - residual.mean(), fixed, blocks)
    effects, errors = fit.effects[: len(chosen)], _errors(fit, residual, fixed, blocks, rounds.player)
    t = t_half_width(max(players.shape[1] - 1, 1))
    return {
        context.key: ContextEffect(
            context.key,
            context.words,
            Figure(
                effect, effect - t * error, effect + t * error, context.n, minimum_n, Unit.STROKES_A_ROUND
            ),
        )
        for context, effect, error in zip(
            chosen, effects.tolist(), errors[: len(chosen)].tolist(), strict=True
        )
    }


def _errors(
    fit: MixedFit, residual: Floats, fixed: Floats, blocks: Sequence[sparse.csr_array], player: Ints
) -> Floats:
    """Standard errors of the fixed effects: the larger of the model's and of the sum over players of what each does to
    them (cluster-robust; Liang and Zeger 1986, Cameron and Miller 2015, from memory).
    """
    columns = fixed.shape[1]
    design = sparse.hstack([sparse.csr_array(fixed), *blocks], format="csr")
    influence = design @ (fit.covariance / fit.residual_variance)
    left = residual - residual.mean() - fixed @ fit.effects[:columns]
    _, row = np.unique(player, return_inverse=True)
    of_player = np.zeros((row.max() + 1, columns))
    np.add.at(of_player, row, influence * left[:, None])
    by_players = np.sum(of_player**2, axis=0) * len(of_player) / max(len(of_player) - 1, 1)
    errors: Floats = np.sqrt(np.maximum(np.diag(fit.covariance), by_players))
    return errors


def _waves(day: Ints) -> Floats:
    """One wave a year, then two."""
    angle = 2 * np.pi * day / DAYS_IN_A_YEAR
    return np.stack([np.sin(angle), np.cos(angle), np.sin(2 * angle), np.cos(2 * angle)], axis=1)


def _too_few(context: Context, minimum_n: int) -> ContextEffect:
    return ContextEffect(
        context.key, context.words, Figure.too_few(context.n, minimum_n, Unit.STROKES_A_ROUND)
    )


def _visits_and_gaps(rounds: Rounds) -> tuple[Floats, Floats]:
    """Number of this visit to the course and days since the last round; NaN where the record cannot tell."""
    visit, gap = np.full(len(rounds), np.nan), np.full(len(rounds), np.nan)
    for player in np.unique(rounds.player):
        own: Ints = np.flatnonzero(rounds.player == player)
        own = own[np.argsort(rounds.day[own], kind="stable")]
        gap[own[1:]] = np.diff(rounds.day[own])
        seen: dict[int, int] = {}
        old_friends = set(rounds.course[own[:SETTLED_ROUNDS]].tolist())
        for row in own[SETTLED_ROUNDS:].tolist():
            course = int(rounds.course[row])
            seen[course] = seen.get(course, 0) + 1
            visit[row] = np.inf if course in old_friends else seen[course]
    return np.where(np.isposinf(visit), EARLY_VISITS + 1.0, visit), gap
